"""What the shop has learnt of the causes: counts over its own finished jobs.

A job teaches by its last visit: one that was mended by its first cause, and a planned service
that found nothing wrong by just that. Jobs stopped, referred or called off, and withdrawn visits
teach nothing. What was called about decides which list a job teaches.
How the counts are kept in step is :mod:`desk.records.learning.lesson_cache`.
"""

from __future__ import annotations

import itertools
import uuid
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cache

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.records.learning.content_in_use import in_use
from desk.records.tables import Appliance, Visit
from desk.trade.content.checklist import Checklist, Content
from desk.trade.diagnosis.priors import Learnt, Level, Scope, learn
from desk.trade.diagnosis.sensing_evidence import with_kind
from desk.trade.reference.complaints import OTHER, PLANNED_SERVICE
from desk.trade.reference.sensing_kinds import NOT_KNOWN

_ASKED_AT_ONCE = 5_000
NOTHING_WRONG = "no_fault_found"
"""The cause that a planned service teaches when it found nothing to mend."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """What finished jobs have in common: what was called about, on what, and the cause."""

    complaint: str
    model: str
    sensing_kind: str
    cause: str


@dataclass(frozen=True, slots=True)
class Lessons:
    """All that an office has learnt, as of a number of finished visits; jobs by lesson."""

    finished_visits: int
    jobs: Mapping[Lesson, int]

    def of(
        self,
        content: Content,
        checklist: Checklist,
        *,
        model: str = "",
        sensing_kind: str = NOT_KNOWN,
    ) -> Learnt:
        """Return the priors of a checklist's causes for an appliance.

        Args:
            content: says which list is worked for which complaint.
            checklist: holds the causes and the trade's figures; only jobs of its calls count.
            model: as :func:`model_of` names it; "" where it is not known.
            sensing_kind: of the appliance; what is not known has nothing in common.
        """
        calls = _calls_of(content, checklist)
        jobs = [(one, count) for one, count in self.jobs.items() if calls(one.complaint)]
        levels = [_level(Scope.ALL, jobs, lambda _one: True)]
        if sensing_kind != NOT_KNOWN:
            of_kind = [pair for pair in jobs if pair[0].sensing_kind == sensing_kind]
            levels.append(_level(Scope.SENSING_KIND, of_kind, lambda _one: True))
        if wanted := model.casefold():
            levels.append(_level(Scope.MODEL, jobs, lambda one: one.model.casefold() == wanted))
        return learn(
            checklist.cause_weights,
            levels,
            of_kind=lambda weights: with_kind(checklist, weights, sensing_kind),
        )


def _calls_of(content: Content, checklist: Checklist) -> Callable[[str], bool]:
    """Return whether a complaint is one that a list is worked for."""
    named = {key for one in content.checklists.values() for key in one.complaints}
    own = set(checklist.complaints)
    return lambda complaint: (complaint if complaint in named else OTHER) in own


def _level(
    scope: Scope, jobs: Iterable[tuple[Lesson, int]], counts: Callable[[Lesson], bool]
) -> Level:
    found: Counter[str] = Counter()
    for one, count in jobs:
        if counts(one):
            found[one.cause] += count
    return Level(scope, found)


def model_of(maker: str, model: str) -> str:
    """Return what an appliance is called, "" where its model is not known."""
    return f"{maker} {model}".strip() if model else ""


def count_lessons(session: Session) -> Lessons:
    """Count what an office has learnt from all its rows."""
    taught = _teaching().subquery()
    jobs: Counter[Lesson] = Counter()
    for *fields, count in session.execute(
        sa.select(*taught.c, sa.func.count()).group_by(*taught.c)
    ):
        jobs[_lesson(*fields)] += count
    return Lessons(finished_visits(session), jobs)


def lessons_of_visits(session: Session, visits: Collection[uuid.UUID]) -> Counter[Lesson]:
    """Return what some visits teach as their rows stand now."""
    taught: Counter[Lesson] = Counter()
    for some in itertools.batched(visits, _ASKED_AT_ONCE):
        rows = session.connection().execute(_teaching_of_some(), {"some": some})
        taught.update(_lesson(*fields) for fields in rows)
    return taught


def finished_visits(session: Session, visits: Collection[uuid.UUID] | None = None) -> int:
    """Count the visits that are finished, of all or of some."""
    finished = sa.select(sa.func.count()).where(Visit.state.in_(("finished", "sealed")))
    connection = session.connection()
    if visits is None:
        return connection.execute(finished).scalar_one()
    return sum(
        connection.execute(finished.where(Visit.id.in_(some))).scalar_one()
        for some in itertools.batched(visits, _ASKED_AT_ONCE)
    )


def _lesson(complaint: str, maker: str, model: str, sensing_kind: str, cause: str) -> Lesson:
    return Lesson(complaint, model_of(maker, model), sensing_kind, cause)


@cache
def _teaching_of_some() -> sa.Select[str, str, str, str, str]:
    """Return the same of ``some`` visits; asked twice at every change of a visit."""
    return _teaching().where(Visit.id.in_(sa.bindparam("some", expanding=True)))


def _teaching() -> sa.Select[str, str, str, str, str]:
    """Return the statement that gives the lesson of every visit that teaches one."""
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
    mended = sa.and_(Visit.ending == "mended", Visit.cause != "")
    nothing_wrong = sa.and_(
        Visit.complaint == PLANNED_SERVICE,
        Visit.cause.in_(("", NOTHING_WRONG)),
        Visit.cause_words == "",
        Visit.ending.in_(("mended", "no_fault_found")),
    )
    return (
        sa.select(
            Visit.complaint,
            sa.func.coalesce(Appliance.maker, "").label("maker"),
            sa.func.coalesce(Appliance.model, "").label("model"),
            sa.func.coalesce(Appliance.sensing_kind, "").label("sensing_kind"),
            sa.case((Visit.cause != "", Visit.cause), else_=NOTHING_WRONG).label("cause"),
        )
        .select_from(Visit)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .where(sa.or_(mended, nothing_wrong), Visit.withdrawn_at.is_(None), ~goes_on)
    )


def learnt_for(
    session: Session, lessons: Lessons, visit: Visit, checklist: Checklist, sensing_kind: str
) -> Learnt:
    """Return the priors for a visit, by what is known of its appliance now.

    Args:
        session: reading, or of a unit of work.
        lessons: what the office has learnt.
        visit: one that has begun; its own cause counts only once it is finished.
        checklist: the one that it is worked with.
        sensing_kind: what is known now.
    """
    appliance = session.get(Appliance, visit.appliance_id) if visit.appliance_id else None
    model = model_of(appliance.maker, appliance.model) if appliance else ""
    return lessons.of(in_use(session).content, checklist, model=model, sensing_kind=sensing_kind)
