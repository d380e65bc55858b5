"""The day, and its week: visits by technician in order of time, and calls without a time."""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.texts import say
from desk.records.planning.booked_spans import LONGEST, BookedSpan, booked_spans, overlaps_among
from desk.records.planning.repeat_marks import Repeat, repeated_jobs
from desk.records.planning.reported_danger import is_open
from desk.records.tables import Customer, Person, Premises, Shop, Visit
from desk.records.views.day import STRIP_DAYS, DayList, DayVisit, Overlap, TechnicianDay
from desk.trade.reference.complaints import complaint_text


def day_list(
    session: Session, day: date, *, now: datetime, zone: ZoneInfo, is_week: bool = False
) -> DayList:
    """Return a day as the counter shows it.

    Args:
        session: looking.
        day: by the office's calendar.
        now: the time; it tells which day is today.
        zone: the office's.
        is_week: from Monday to Sunday around the day instead.
    """
    strip = [day + timedelta(days=n - day.weekday()) for n in range(STRIP_DAYS)]
    first, last = (strip[0], strip[6]) if is_week else (day, day)
    start, end = bounds_of(first, zone)[0], bounds_of(last, zone)[1]
    booked = _visits(session, Visit.booked_for >= start, Visit.booked_for < end)
    waiting = _visits(session, Visit.state == "new_call", Visit.booked_for.is_(None))
    around = booked_spans(
        session, bounds_of(strip[0], zone)[0] - LONGEST, bounds_of(strip[-1], zone)[1]
    )
    marks = _Marks(
        repeated_jobs(session, [row.visit for row in (*booked, *waiting)], zone),
        overlaps_among(around),
    )
    by_technician: dict[uuid.UUID | None, list[DayVisit]] = {}
    for row in booked:
        line = _day_visit(row, marks)
        by_technician.setdefault(line.technician_id, []).append(line)
    return DayList(
        day=day,
        first=first,
        last=last,
        today=now.astimezone(zone).date(),
        zone=zone.key,
        technicians=tuple(
            TechnicianDay(key, name, tuple(by_technician.get(key, ())))
            for key, name in _technicians(session, by_technician)
        ),
        without_time=tuple(_day_visit(row, marks) for row in waiting),
        counts=_counts(strip, around, zone),
    )


def zone_of(session: Session) -> str:
    """Return the office's time zone, as its IANA name."""
    return session.scalars(sa.select(Shop.zone)).one()


def bounds_of(day: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Return when a day begins and when the next one does, by the clock of a zone."""
    start = datetime.combine(day, time(), zone)
    return start, datetime.combine(day + timedelta(days=1), time(), zone)


@dataclass(frozen=True, slots=True)
class _Row:
    """A visit as it was read: who it is for, where, and the number of the one it goes on with."""

    visit: Visit
    who: str
    where: str
    continues: str


@dataclass(frozen=True, slots=True)
class _Marks:
    """What is said of visits beside what they are, by their keys."""

    repeats: Mapping[uuid.UUID, Repeat]
    overlaps: Mapping[uuid.UUID, tuple[Overlap, ...]]


def _visits(session: Session, *where: sa.ColumnElement[bool]) -> list[_Row]:
    earlier = aliased(Visit)
    found = session.execute(
        sa.select(
            Visit,
            sa.func.coalesce(Customer.name, Visit.caller_name),
            sa.func.coalesce(Premises.street, ""),
            sa.func.coalesce(earlier.number, ""),
        )
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .outerjoin(earlier, earlier.id == Visit.continues_id)
        .where(Visit.withdrawn_at.is_(None), Visit.state != "called_off", *where)
        .order_by(sa.nulls_last(Visit.booked_for), Visit.number)
    )
    return [_Row(*row) for row in found]


def _day_visit(row: _Row, marks: _Marks) -> DayVisit:
    visit = row.visit
    repeated = marks.repeats.get(visit.id)
    return DayVisit(
        visit_id=visit.id,
        number=visit.number,
        state=visit.state,
        ending=visit.ending,
        booked_for=visit.booked_for,
        minutes=visit.booked_minutes,
        technician_id=visit.technician_id,
        customer_id=visit.customer_id,
        who=row.who,
        where=row.where,
        complaint_text=say(complaint_text(visit.complaint)),
        words=visit.complaint_words,
        days_since=repeated.days if repeated else None,
        continues=row.continues,
        overlaps=marks.overlaps.get(visit.id, ()),
        danger_open=is_open(visit),
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


def _counts(
    strip: list[date], booked: Iterable[BookedSpan], zone: ZoneInfo
) -> tuple[tuple[date, int], ...]:
    counted = Counter(one.span.start.astimezone(zone).date() for one in booked)
    return tuple((one, counted[one]) for one in strip)
