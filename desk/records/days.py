"""The day: visits by technician in order of time, and the calls that have no time yet."""

from __future__ import annotations

import uuid
from collections import Counter
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.repeated import repeated_jobs
from desk.records.tables import Customer, Person, Premises, Shop, Visit
from desk.records.views import DayList, DayVisit, TechnicianDay
from desk.trade.complaints import complaint_text
from desk.wording import say

STRIP_BEFORE, STRIP_AFTER = 2, 11
"""Days of the strip before and after the day that is shown."""


def day_list(session: Session, day: date, *, now: datetime, zone: ZoneInfo) -> DayList:
    """Return a day as the counter shows it.

    Args:
        session: looking.
        day: by the office's calendar.
        now: the time; it tells which day is today.
        zone: the office's.
    """
    start, end = bounds_of(day, zone)
    booked = _visits(session, Visit.booked_for >= start, Visit.booked_for < end)
    waiting = _visits(session, Visit.state == "new_call", Visit.booked_for.is_(None))
    repeats = repeated_jobs(session, [visit for visit, _who, _where in (*booked, *waiting)], zone)
    by_technician: dict[uuid.UUID | None, list[DayVisit]] = {}
    for row in booked:
        line = _day_visit(*row, repeats)
        by_technician.setdefault(line.technician_id, []).append(line)
    return DayList(
        day=day,
        today=now.astimezone(zone).date(),
        zone=zone.key,
        technicians=tuple(
            TechnicianDay(key, name, tuple(by_technician.get(key, ())))
            for key, name in _technicians(session, by_technician)
        ),
        without_time=tuple(_day_visit(*row, repeats) for row in waiting),
        counts=_counts(session, day, zone),
    )


def zone_of(session: Session) -> str:
    """Return the office's time zone, as its IANA name."""
    return session.scalars(sa.select(Shop.zone)).one()


def bounds_of(day: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Return when a day begins and when the next one does, by the clock of a zone."""
    start = datetime.combine(day, time(), zone)
    return start, datetime.combine(day + timedelta(days=1), time(), zone)


type _Row = tuple[Visit, str, str]


def _visits(session: Session, *where: sa.ColumnElement[bool]) -> list[_Row]:
    found = session.execute(
        sa.select(
            Visit,
            sa.func.coalesce(Customer.name, Visit.caller_name),
            sa.func.coalesce(Premises.street, ""),
        )
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .where(Visit.withdrawn_at.is_(None), Visit.state != "called_off", *where)
        .order_by(sa.nulls_last(Visit.booked_for), Visit.number)
    )
    return [(visit, who, where) for visit, who, where in found]


def _day_visit(
    visit: Visit, who: str, where: str, repeats: dict[uuid.UUID, tuple[str, int]]
) -> DayVisit:
    repeated = repeats.get(visit.id)
    return DayVisit(
        visit_id=visit.id,
        number=visit.number,
        state=visit.state,
        ending=visit.ending,
        booked_for=visit.booked_for,
        minutes=visit.booked_minutes,
        technician_id=visit.technician_id,
        customer_id=visit.customer_id,
        who=who,
        where=where,
        complaint_text=say(complaint_text(visit.complaint)),
        words=visit.complaint_words,
        days_since=repeated[1] if repeated else None,
    )


def _technicians(
    session: Session, booked: dict[uuid.UUID | None, list[DayVisit]]
) -> list[tuple[uuid.UUID, str]]:
    """Return every technician, and anybody else who has a visit that day."""
    keys = [key for key in booked if key is not None]
    found = session.execute(
        sa.select(Person.id, Person.name)
        .where(
            sa.or_(
                sa.and_(Person.is_technician, Person.withdrawn_at.is_(None)), Person.id.in_(keys)
            )
        )
        .order_by(Person.name, Person.id)
    )
    return [(key, name) for key, name in found]


def _counts(session: Session, day: date, zone: ZoneInfo) -> tuple[tuple[date, int], ...]:
    days = [day + timedelta(days=n) for n in range(-STRIP_BEFORE, STRIP_AFTER + 1)]
    start, end = bounds_of(days[0], zone)[0], bounds_of(days[-1], zone)[1]
    booked = session.scalars(
        sa.select(Visit.booked_for).where(
            Visit.booked_for >= start,
            Visit.booked_for < end,
            Visit.withdrawn_at.is_(None),
            Visit.state != "called_off",
        )
    )
    counted = Counter(when.astimezone(zone).date() for when in booked if when is not None)
    return tuple((one, counted[one]) for one in days)
