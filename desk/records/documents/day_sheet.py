"""A day's visits as technicians take them along on paper."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.texts import say
from desk.records.planning.booked_spans import LONGEST, booked_spans, overlaps_among
from desk.records.planning.day_list import bounds_of
from desk.records.planning.repeat_marks import Repeat, repeated_jobs
from desk.records.planning.reported_danger import is_open, open_without_time
from desk.records.shop.snapshot_lines import address_lines, letterhead_of
from desk.records.tables import Appliance, Customer, CustomerPhone, Person, Premises, Visit
from desk.records.tables.sequence import in_sequence
from desk.records.views.day import DaySheet, DaySheetVisit, Overlap, TechnicianSheet
from desk.trade.reference.complaints import complaint_text
from desk.trade.scheduling.booking_text import Technician, technician_named
from desk.trade.scheduling.usual_length import DEFAULT_MINUTES


def day_sheet(session: Session, day: date, *, technician: str = "") -> DaySheet:
    """Return the sheets of a day.

    Args:
        session: looking.
        day: by the office's calendar.
        technician: the name of one, or its beginning; everybody who has a visit unless given.

    Raises:
        InputError: nobody of the shop is called so, or more than one.
    """
    letterhead = letterhead_of(session)
    people = _people(session, technician)
    found = _sheet_visits(session, day, ZoneInfo(letterhead.zone), people)
    return DaySheet(
        letterhead=letterhead,
        day=day,
        technicians=tuple(
            TechnicianSheet(name, tuple(found.get(key, ())))
            for key, name in people.items()
            if technician or key in found
        ),
        open_dangers=open_without_time(session),
    )


def _people(session: Session, technician: str) -> dict[uuid.UUID, str]:
    """Return the people of the shop by name, or the one who was asked for."""
    rows = session.execute(sa.select(Person.id, Person.name).order_by(Person.name, Person.id))
    people = {key: name for key, name in rows}  # noqa: C416 - rows are no pairs to mypy
    words = technician.casefold().split()
    if not words:
        return people
    named = technician_named(words, [Technician(key, name) for key, name in people.items()])
    return {key: name for key, name in people.items() if key == named.key}


@dataclass(frozen=True, slots=True)
class _Row:
    visit: Visit
    customer: Customer | None
    premises: Premises | None
    appliance: Appliance | None
    earlier: Visit | None


@dataclass(frozen=True, slots=True)
class _Beside:
    """What is said of visits beside their own rows."""

    phones: Mapping[uuid.UUID, list[str]]
    repeats: Mapping[uuid.UUID, Repeat]
    overlaps: Mapping[uuid.UUID, tuple[Overlap, ...]]


def _sheet_visits(
    session: Session, day: date, zone: ZoneInfo, people: Collection[uuid.UUID]
) -> dict[uuid.UUID, list[DaySheetVisit]]:
    start, end = bounds_of(day, zone)
    earlier = aliased(Visit)
    rows = [
        _Row(*row)
        for row in session.execute(
            sa.select(Visit, Customer, Premises, Appliance, earlier)
            .outerjoin(Customer, Customer.id == Visit.customer_id)
            .outerjoin(Premises, Premises.id == Visit.premises_id)
            .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
            .outerjoin(earlier, earlier.id == Visit.continues_id)
            .where(
                Visit.booked_for >= start,
                Visit.booked_for < end,
                Visit.technician_id.in_(people),
                Visit.state != "called_off",
                Visit.withdrawn_at.is_(None),
            )
            .order_by(Visit.booked_for, Visit.number)
        )
    ]
    beside = _Beside(
        _phones(session, {row.customer.id for row in rows if row.customer}),
        repeated_jobs(session, [row.visit for row in rows], zone),
        overlaps_among(booked_spans(session, start - LONGEST, end + LONGEST)),
    )
    found: dict[uuid.UUID, list[DaySheetVisit]] = {}
    for row in rows:
        if row.visit.technician_id is not None:
            found.setdefault(row.visit.technician_id, []).append(_sheet_visit(row, beside))
    return found


def _phones(session: Session, customers: Collection[uuid.UUID]) -> dict[uuid.UUID, list[str]]:
    found: dict[uuid.UUID, list[str]] = {}
    rows = session.execute(
        sa.select(CustomerPhone.customer_id, CustomerPhone.typed)
        .where(CustomerPhone.customer_id.in_(customers), CustomerPhone.withdrawn_at.is_(None))
        .order_by(*in_sequence(CustomerPhone))
    )
    for customer, typed in rows:
        found.setdefault(customer, []).append(typed)
    return found


def _sheet_visit(row: _Row, beside: _Beside) -> DaySheetVisit:
    visit = row.visit
    assert visit.booked_for is not None  # noqa: S101 - asked for in the statement
    phones = [visit.caller_phone, *beside.phones.get(visit.customer_id or visit.id, ())]
    repeated = beside.repeats.get(visit.id)
    return DaySheetVisit(
        number=visit.number,
        state=visit.state,
        start=visit.booked_for,
        end=visit.booked_for + timedelta(minutes=visit.booked_minutes or DEFAULT_MINUTES),
        who=row.customer.name if row.customer else visit.caller_name,
        phones=tuple(dict.fromkeys(phone for phone in phones if phone)),
        address=address_lines(row.premises) if row.premises else (),
        access_note=row.premises.access_note if row.premises else "",
        appliance=_appliance(row.appliance),
        complaint_text=say(complaint_text(visit.complaint)),
        words=visit.complaint_words,
        danger_reported=visit.danger_reported,
        danger_open=is_open(visit),
        danger_outcome=visit.danger_outcome,
        continues=row.earlier.number if row.earlier else "",
        left_to_do=row.earlier.next_step if row.earlier else "",
        days_since=repeated.days if repeated else None,
        overlaps=tuple(one.number for one in beside.overlaps.get(visit.id, ())),
    )


def _appliance(appliance: Appliance | None) -> str:
    if appliance is None:
        return ""
    return " ".join(part for part in (appliance.number, appliance.maker, appliance.model) if part)
