"""Jobs: visits gathered with those that were booked to finish them."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.tables import Visit
from desk.trade.recurrence import Call, Job
from desk.trade.recurrence.repeat_rule import root_of


@dataclass(frozen=True, slots=True)
class JobLine:
    """One visit as the definition of a job reads it."""

    id: uuid.UUID
    number: str
    continues_id: uuid.UUID | None
    appliance_id: uuid.UUID | None
    state: str
    ending: str
    complaint: str
    cause: str
    received_at: datetime
    finished_at: datetime | None


@dataclass(frozen=True, slots=True)
class JobVisits[L: JobLine]:
    """A job: the visit that began it, the last one that was not called off, and which came."""

    first: L
    last: L
    keys: tuple[uuid.UUID, ...]


def lines_about(session: Session, appliances: Collection[uuid.UUID]) -> list[JobLine]:
    """Return every visit of the jobs about some appliances, by their indexes.

    A visit that belongs to such a job is among them even where it names another appliance.
    """
    found: dict[uuid.UUID, JobLine] = {}
    more = _lines(session, Visit.appliance_id.in_(appliances)) if appliances else []
    while more:
        found |= {line.id: line for line in more}
        before = {line.continues_id for line in found.values() if line.continues_id} - found.keys()
        after = sa.and_(Visit.continues_id.in_(found), Visit.id.not_in(found))
        more = _lines(session, sa.or_(Visit.id.in_(before), after))
    return list(found.values())


def _lines(session: Session, where: sa.ColumnElement[bool]) -> list[JobLine]:
    found = session.execute(
        sa.select(*_columns())
        .where(Visit.withdrawn_at.is_(None), where)
        .order_by(Visit.received_at, Visit.id)
    )
    return [JobLine(*tuple(row)) for row in found]


def _columns() -> list[sa.ColumnElement[Any]]:
    return [getattr(Visit, field.name) for field in fields(JobLine)]


def gather_jobs[L: JobLine](lines: Iterable[L]) -> Mapping[Hashable, JobVisits[L]]:
    """Gather visits into jobs, by the visit that began each; in the order of those."""
    by_id = {line.id: line for line in lines}
    before = {line.id: line.continues_id for line in by_id.values() if line.continues_id in by_id}
    visits: dict[uuid.UUID, list[L]] = {}
    for line in by_id.values():
        visits.setdefault(root_of(line.id, before), []).append(line)
    return {root: _gathered(by_id[root], visits[root]) for root in by_id if root in visits}


def _gathered[L: JobLine](first: L, visits: list[L]) -> JobVisits[L]:
    """Return a job; what was called off is none of its visits, unless there is nothing else."""
    came = [line for line in visits if line.state != "called_off"] or [first]
    never = datetime.max.replace(tzinfo=came[0].received_at.tzinfo)
    last = max(came, key=lambda line: (line.finished_at or never, line.received_at))
    return JobVisits(first, last, tuple(line.id for line in came))


def job_of[L: JobLine](chain: JobVisits[L]) -> Job:
    """Return a job as the trade's definition reads it."""
    return Job(
        id=chain.first.id,
        appliance=_trouble_place(chain.first),
        complaint=chain.first.complaint,
        finished=chain.last.finished_at,
        called_off=chain.last.state == "called_off",
        stopped_and_left=chain.last.ending == "left",
    )


def call_of[L: JobLine](chain: JobVisits[L]) -> Call:
    """Return the call that began a job."""
    return Call(
        job=chain.first.id,
        appliance=_trouble_place(chain.first),
        complaint=chain.first.complaint,
        received=chain.first.received_at,
        called_off=chain.first.state == "called_off",
    )


def _trouble_place(line: JobLine) -> uuid.UUID:
    """Return the appliance; a visit that names none can repeat nothing and stands for itself."""
    return line.appliance_id or line.id
