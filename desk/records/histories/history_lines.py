"""The dated lines of a record: what was found, fitted and measured on each visit, newest first."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import say
from desk.records import tables
from desk.records.learning.names_of_ids import labels_in
from desk.records.planning.repeat_marks import repeated_jobs
from desk.records.planning.reported_danger import is_open
from desk.records.tables import Appliance, Person, Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.customer_record import HistoryLine
from desk.trade.reference.complaints import complaint_text


def history_of(
    session: Session,
    zone: ZoneInfo,
    *where: sa.ColumnElement[bool],
    most: int = 200,
    skip: int = 0,
) -> tuple[HistoryLine, ...]:
    """Return the visits that meet the conditions, newest first, in a few statements.

    Args:
        session: looking.
        zone: the office's.
        where: conditions on ``Visit``.
        most: how many lines at the most.
        skip: how many newer ones are left out.
    """
    rows = session.execute(
        sa.select(Visit, Appliance.number, Person.name)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .where(Visit.withdrawn_at.is_(None), *where)
        .order_by(Visit.received_at.desc(), Visit.number.desc())
        .limit(most)
        .offset(skip)
    ).all()
    if not rows:
        return ()
    visits = [visit for visit, _number, _name in rows]
    keys = [visit.id for visit in visits]
    parts, flows = _parts(session, keys), _flows(session, keys)
    numbers = _numbers(session, visits)
    repeats = repeated_jobs(session, visits, zone)
    label = labels_in(session)
    lines = []
    for visit, appliance, technician in rows:
        repeated = repeats.get(visit.id)
        lines.append(
            HistoryLine(
                visit_id=visit.id,
                number=visit.number,
                day=(visit.started_at or visit.booked_for or visit.received_at)
                .astimezone(zone)
                .date(),
                state=visit.state,
                ending=visit.ending,
                appliance=appliance or "",
                complaint=visit.complaint,
                complaint_text=say(complaint_text(visit.complaint)),
                words=visit.complaint_words,
                cause=label("cause", visit.cause) if visit.cause else visit.cause_words,
                parts=tuple(parts.get(visit.id, ())),
                flow_m3_per_s=flows.get(visit.id),
                technician=technician or "",
                continues=numbers.get(visit.continues_id, "") if visit.continues_id else "",
                repeats=repeated.number if repeated else "",
                days_since=repeated.days if repeated else None,
                danger_open=is_open(visit),
            )
        )
    return tuple(lines)


def _parts(session: Session, keys: Sequence[uuid.UUID]) -> dict[uuid.UUID, list[str]]:
    gathered: dict[uuid.UUID, list[str]] = {}
    for visit_id, name in session.execute(
        sa.select(tables.PartUsed.visit_id, tables.PartUsed.name)
        .where(tables.PartUsed.visit_id.in_(keys), tables.PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(tables.PartUsed))
    ):
        gathered.setdefault(visit_id, []).append(name)
    return gathered


def _flows(session: Session, keys: Sequence[uuid.UUID]) -> dict[uuid.UUID, float]:
    """Return the last flow of each visit; one left after the work goes before one found."""
    from desk.trade.readings.reading_kinds import FLOW  # a day list is shown without

    found = session.execute(
        sa.select(tables.Reading.visit_id, tables.Reading.si_value)
        .where(
            tables.Reading.visit_id.in_(keys),
            tables.Reading.kind == FLOW,
            tables.Reading.si_value.is_not(None),
            tables.Reading.withdrawn_at.is_(None),
        )
        .order_by(
            sa.case((tables.Reading.moment == "left", 1), else_=0), *in_sequence(tables.Reading)
        )
    )
    return {visit_id: flow for visit_id, flow in found if flow is not None}


def _numbers(session: Session, visits: Iterable[Visit]) -> dict[uuid.UUID, str]:
    keys = {visit.continues_id for visit in visits if visit.continues_id}
    if not keys:
        return {}
    found = session.execute(sa.select(Visit.id, Visit.number).where(Visit.id.in_(keys)))
    return {key: number for key, number in found}  # noqa: C416 - rows are no pairs to mypy
