"""Which calls repeat a finished job, and what a call that is being told is about already."""

from __future__ import annotations

import uuid
from collections.abc import Hashable, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.planning.job_chains import (
    JobLine,
    JobVisits,
    call_of,
    gather_jobs,
    job_of,
    lines_about,
)
from desk.records.tables import Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.call import JobBefore
from desk.trade.recurrence import Call
from desk.trade.recurrence.repeat_rule import repeated_by
from desk.trade.reference.complaints import PLANNED_SERVICE


class Repeat(NamedTuple):
    """What a call repeats: the number of the job's last visit, and the local days between."""

    number: str
    days: int


def repeated_jobs(
    session: Session, visits: Sequence[Visit], zone: ZoneInfo
) -> dict[uuid.UUID, Repeat]:
    """Return what each of some calls repeats; one that repeats nothing is left out.

    Args:
        session: reading.
        visits: the calls; one without an appliance or a complaint repeats nothing.
        zone: by whose calendar the days are counted.
    """
    appliances = {one.appliance_id for one in visits if one.appliance_id and one.complaint}
    chains = gather_jobs(lines_about(session, appliances))
    found = repeated_by(
        [job_of(chain) for chain in chains.values()],
        [call_of(chain) for chain in chains.values()],
        zone=zone,
    )
    marks: dict[uuid.UUID, Repeat] = {}
    for visit in visits:
        if repeated := found.get(visit.id):
            marks[visit.id] = Repeat(chains[repeated.job.id].last.number, repeated.days)
    return marks


def job_before(
    session: Session,
    appliance_id: uuid.UUID,
    complaint: str,
    *,
    received: datetime,
    zone: ZoneInfo,
    visit_id: uuid.UUID | None = None,
) -> JobBefore | None:
    """Return the job that a call is about already: one that it repeats, or one that is open.

    Args:
        session: looking.
        appliance_id: called about.
        complaint: its kind; planned service is about nothing before.
        received: the time of a call that is not written down yet.
        zone: the office's.
        visit_id: the visit that the call was written down as.
    """
    mine = session.get(Visit, visit_id) if visit_id else None
    if complaint == PLANNED_SERVICE or (mine is not None and mine.continues_id):
        return None
    chains = {
        key: chain
        for key, chain in gather_jobs(lines_about(session, [appliance_id])).items()
        if key != visit_id
    }
    call = Call("told", appliance_id, complaint, mine.received_at if mine else received)
    jobs = [job_of(chain) for chain in chains.values()]
    calls = [call_of(chain) for chain in chains.values()]
    repeated = repeated_by(jobs, [*calls, call], zone=zone).get(call.job)
    if repeated is not None:
        return _told(session, chains, repeated.job.id, zone, repeated.days)
    still_open = [
        job.id
        for job in jobs
        if (job.appliance, job.complaint) == (appliance_id, complaint)
        and job.finished is None
        and not job.called_off
    ]
    return _told(session, chains, still_open[-1], zone) if still_open else None


def _told(
    session: Session,
    chains: Mapping[Hashable, JobVisits[JobLine]],
    job: Hashable,
    zone: ZoneInfo,
    days: int | None = None,
) -> JobBefore:
    from desk.records.learning.names_of_ids import labels_in  # a day list is shown without

    last = session.get_one(Visit, chains[job].last.id)
    when = last.finished_at or last.booked_for or last.received_at
    return JobBefore(
        number=last.number,
        state=last.state,
        day=when.astimezone(zone).date(),
        days=days,
        cause=labels_in(session)("cause", last.cause) if last.cause else last.cause_words,
        parts=_fitted(session, chains[job].keys),
    )


def _fitted(session: Session, visits: Sequence[uuid.UUID]) -> tuple[str, ...]:
    from desk.records.tables import PartUsed

    found = session.scalars(
        sa.select(PartUsed.name)
        .where(PartUsed.visit_id.in_(visits), PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    )
    return tuple(found)
