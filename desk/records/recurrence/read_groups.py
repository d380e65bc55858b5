"""Which group each job of an office belongs to."""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.recurrence.groupings import GROUPINGS
from desk.records.recurrence.read_columns import key_bytes
from desk.records.tables import Part, PartUsed
from desk.records.tables.sequence import in_sequence
from desk.trade.job_columns.groups import Fitted, Groups, by_month, by_part, each_in_one, fitted_on
from desk.trade.job_columns.judge_columns import JobColumns
from desk.trade.job_columns.visit_columns import Coded, Coder, VisitColumns


def groups_of(session: Session, jobs: JobColumns, name: str, read: dict[str, Coded]) -> Groups:
    """Say which group each job belongs to.

    Args:
        session: looking.
        jobs: all of an office.
        name: of the grouping.
        read: the further columns, by grouping.
    """
    visits = jobs.visits
    if name == "part":
        return by_part(jobs, fitted_parts(session, jobs.visits))
    if name == "cause":
        return each_in_one(visits.cause[jobs.last], visits.causes)
    if name == "complaint":
        return each_in_one(visits.complaint[jobs.first], visits.complaints)
    if name == "month":
        return by_month(jobs)
    grouping = GROUPINGS[name]
    place = jobs.first if grouping.visit == "first" else jobs.last
    keys = Coder()
    of_value = keys.codes([grouping.key(value) for value in read[name].values])
    return each_in_one(of_value[read[name].codes[place]], keys.values)


def fitted_parts(session: Session, visits: VisitColumns) -> Fitted:
    """Read what was fitted on some visits; a part is known by its number, else by its words."""
    on_server = session.connection().dialect.name == "postgresql"
    number = sa.func.coalesce(Part.number, PartUsed.number)
    found = session.connection().execute(
        sa.select(key_bytes(PartUsed.visit_id, on_server=on_server), number, PartUsed.name)
        .outerjoin(Part, Part.id == PartUsed.part_id)
        .where(PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    )
    rows = [(bytes(visit), part or name, name) for visit, part, name in found]
    return fitted_on(visits, rows)
