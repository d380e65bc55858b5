"""What the shop has learnt of the causes: counts over its own finished jobs.

A job teaches by its last visit, when that was mended and names a cause of the catalogue. Planned
services, jobs stopped, referred or called off, and withdrawn visits teach nothing.

The counts are kept in memory for each open office. They are taken anew, in one grouped
statement, when the number of finished visits is another one than when they were taken: a small
look along an index (figures in ``tests/benchmarks/test_learning.py``). A cause that is changed
without a visit being finished or taken up counts from the next of these on.
"""

from __future__ import annotations

import weakref
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.records.tables import Appliance, Visit
from desk.trade.content import Checklist
from desk.trade.priors import Learnt, Level, Scope, learn
from desk.trade.sensing import NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Lesson:
    """How many finished jobs on appliances of a model and sensing kind had a cause."""

    model: str
    sensing_kind: str
    cause: str
    jobs: int


@dataclass(frozen=True, slots=True)
class Lessons:
    """All that an office has learnt, as of a number of finished visits."""

    finished_visits: int
    lines: tuple[Lesson, ...]

    def of(self, checklist: Checklist, *, model: str = "", sensing_kind: str = NOT_KNOWN) -> Learnt:
        """Return the priors of a checklist's causes for an appliance.

        Args:
            checklist: holds the causes and the trade's figures.
            model: as :func:`model_of` names it; "" where it is not known.
            sensing_kind: of the appliance; what is not known has nothing in common.
        """
        levels = [self._level(Scope.ALL, lambda _line: True)]
        if sensing_kind != NOT_KNOWN:
            levels.append(
                self._level(Scope.SENSING_KIND, lambda line: line.sensing_kind == sensing_kind)
            )
        if wanted := model.casefold():
            levels.append(self._level(Scope.MODEL, lambda line: line.model.casefold() == wanted))
        return learn(checklist.cause_weights, levels)

    def _level(self, scope: Scope, counts: Callable[[Lesson], bool]) -> Level:
        found: Counter[str] = Counter()
        for line in self.lines:
            if counts(line):
                found[line.cause] += line.jobs
        return Level(scope, found)


def model_of(maker: str, model: str) -> str:
    """Return what an appliance is called, "" where its model is not known."""
    return f"{maker} {model}".strip() if model else ""


_kept: weakref.WeakKeyDictionary[sa.Pool, Lessons] = weakref.WeakKeyDictionary()  # reads, writes


def lessons_of(session: Session) -> Lessons:
    """Return what an office has learnt; counted anew only when visits were finished since.

    Args:
        session: looking, or in a deed.
    """
    office = session.connection().engine.pool
    kept = _kept.get(office)
    if kept is None or kept.finished_visits != _finished_visits(session):
        kept = _kept[office] = count_lessons(session)
    return kept


def _finished_visits(session: Session) -> int:
    finished = sa.select(sa.func.count()).where(Visit.state.in_(("finished", "sealed")))
    return session.scalar(finished) or 0


def count_lessons(session: Session) -> Lessons:
    """Count what an office has learnt from its rows."""
    later = aliased(Visit)
    goes_on = (
        sa.select(later.id)
        .where(
            later.continues_id == Visit.id,
            later.state != "called_off",
            later.withdrawn_at.is_(None),
        )
        .exists()
    )
    maker, model, kind = (
        sa.func.coalesce(column, "")
        for column in (Appliance.maker, Appliance.model, Appliance.sensing_kind)
    )
    found = session.execute(
        sa.select(maker, model, kind, Visit.cause, sa.func.count())
        .select_from(Visit)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .where(
            Visit.ending == "mended",
            Visit.withdrawn_at.is_(None),
            Visit.cause != "",
            Visit.complaint != "",
            ~goes_on,
        )
        .group_by(maker, model, kind, Visit.cause)
    )
    lines = tuple(
        Lesson(model_of(made_by, called), sensed, cause, jobs)
        for made_by, called, sensed, cause, jobs in found
    )
    return Lessons(_finished_visits(session), lines)


def learnt_for(session: Session, visit: Visit, checklist: Checklist, sensing_kind: str) -> Learnt:
    """Return the priors for a visit, by what is known of its appliance now.

    Args:
        session: looking, or in a deed.
        visit: one that has begun; its own cause counts only once it is finished.
        checklist: the one that it is worked with.
        sensing_kind: what is known now.
    """
    appliance = session.get(Appliance, visit.appliance_id) if visit.appliance_id else None
    model = model_of(appliance.maker, appliance.model) if appliance else ""
    return lessons_of(session).of(checklist, model=model, sensing_kind=sensing_kind)
