"""The visits behind a figure, told to a person page by page."""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import say
from desk.records.learning.names_of_ids import labels_in
from desk.records.recurrence.worked_choice import Worked, members_of
from desk.records.tables import Appliance, Premises, Visit
from desk.records.views.recurrence import (
    RepeatVisit,
    VisitsBehind,
)
from desk.trade.job_columns.judge_columns import NO_JOB, REASONS
from desk.trade.job_columns.local_days import day_of
from desk.trade.job_columns.visit_columns import Codes, Ints
from desk.trade.reference.complaints import complaint_text

_ASKED_AT_ONCE = 5_000


def behind(
    session: Session, worked: Worked, key: str | None, offset: int, limit: int
) -> VisitsBehind:
    """Return a page of the finished jobs of a group, or of all of them.

    Args:
        session: looking.
        worked: the choice.
        key: of the group; None for all chosen jobs.
        offset: how many jobs are passed over.
        limit: how many are told at most.
    """
    places = _behind(worked, key)
    [told] = tell(session, worked, [places[offset : offset + limit]])
    return VisitsBehind(told, offset, len(places))


def behind_each(
    session: Session, worked: Worked, keys: Sequence[str], limit: int
) -> dict[str, VisitsBehind]:
    """Return the first page of each of some groups.

    Args:
        session: looking.
        worked: the choice.
        keys: of the groups.
        limit: how many jobs of each are told at most.
    """
    places = [_behind(worked, key) for key in keys]
    told = tell(session, worked, [one[:limit] for one in places])
    return {
        key: VisitsBehind(page, 0, len(all_of_it))
        for key, page, all_of_it in zip(keys, told, places, strict=True)
    }


def _behind(worked: Worked, key: str | None) -> Ints:
    """Return the places of the finished jobs of a group: first what came back, newest on top."""
    jobs, outcomes = worked.jobs, worked.outcomes
    shown = worked.chosen & outcomes.finished
    if key is not None:
        shown &= members_of(worked.groups, key, len(jobs))
    places = np.flatnonzero(shown)
    back = outcomes.repeated_by[places] != NO_JOB
    by_end = (-places, -jobs.visits.finished[jobs.last[places]], ~back)
    return places[np.lexsort(by_end)]


@dataclass(frozen=True, slots=True)
class _Line:
    """What is told of a visit."""

    number: str
    complaint: str
    cause: str
    appliance: str
    maker: str
    model: str
    street: str


def tell(session: Session, worked: Worked, pages: Sequence[Ints]) -> list[tuple[RepeatVisit, ...]]:
    """Tell jobs to a person, page by page; their words are read for these alone.

    Args:
        session: looking.
        worked: the choice.
        pages: places of finished jobs, in the order in which they are told.
    """
    if not pages:
        return []  # a summary without a row, such as that of a month in which nothing was finished
    jobs, outcomes = worked.jobs, worked.outcomes
    places = np.concatenate(pages)
    again = outcomes.repeated_by[places]
    wanted = np.concatenate((jobs.first[places], jobs.last[places], jobs.first[again[again >= 0]]))
    lines = _lines(session, worked, wanted)
    label = labels_in(session)

    def told(place: int) -> RepeatVisit:
        first, last = (lines[key] for key in _keys(worked, (jobs.first[place], jobs.last[place])))
        by, reason = int(outcomes.repeated_by[place]), int(outcomes.left_out[place])
        back = "" if by == NO_JOB else lines[_keys(worked, (jobs.first[by],))[0]].number
        return RepeatVisit(
            number=first.number,
            finished=day_of(int(jobs.finished_on[place])),
            appliance=first.appliance,
            model=" ".join(part for part in (first.maker, first.model) if part),
            premises=first.street,
            complaint=say(complaint_text(first.complaint)),
            cause=label("cause", last.cause),
            repeated_by=back,
            days_between=int(outcomes.days[place]) if back else None,
            left_out=REASONS[reason - 1].value if reason else "",
        )

    return [tuple(told(place) for place in page.tolist()) for page in pages]


def _keys(worked: Worked, places: Iterable[int]) -> list[uuid.UUID]:
    keys = worked.jobs.visits.keys
    return [uuid.UUID(bytes=keys[place].tobytes()) for place in places]


def _lines(session: Session, worked: Worked, places: Codes) -> dict[uuid.UUID, _Line]:
    found: dict[uuid.UUID, _Line] = {}
    for some in itertools.batched(_keys(worked, np.unique(places).tolist()), _ASKED_AT_ONCE):
        rows = session.execute(
            sa.select(
                Visit.id,
                Visit.number,
                Visit.complaint,
                Visit.cause,
                sa.func.coalesce(Appliance.number, ""),
                sa.func.coalesce(Appliance.maker, ""),
                sa.func.coalesce(Appliance.model, ""),
                sa.func.coalesce(Premises.street, ""),
            )
            .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
            .outerjoin(Premises, Premises.id == Visit.premises_id)
            .where(Visit.id.in_(some))
        )
        found |= {row[0]: _Line(*row[1:]) for row in rows}
    return found
