"""A day's visits as iCalendar (RFC 5545), for the calendar on a technician's telephone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.files import Output, whole_file
from desk.base.texts import message, say
from desk.records.office.office import Office
from desk.records.planning.day_list import bounds_of
from desk.records.shop.snapshot_lines import address_lines, letterhead_of
from desk.records.tables import ChangeSet, Customer, Person, Premises, Visit
from desk.trade.reference.complaints import complaint_text
from desk.trade.scheduling.usual_length import DEFAULT_MINUTES

if TYPE_CHECKING:
    from icalendar import Calendar, Event

PRODUCT = "-//Drawoff//day list//EN"


def export_day(office: Office, path: Output, day: date, *, technician: str = "") -> int:
    """Write the booked visits of a day as a calendar; two exports of one office are the same.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.
        day: by the office's calendar.
        technician: the name of one, in any capitals; everybody's visits unless given.

    Returns:
        How many visits were written.

    Raises:
        InputError: nobody of the shop has this name.
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with office.read() as session, whole_file(path) as stream:
        calendar = _calendar(session)
        events = list(_events(session, day, technician.strip()))
        for event in events:
            calendar.add_component(event)
        stream.write(calendar.to_ical())
    return len(events)


def _calendar(session: Session) -> Calendar:
    from icalendar import Calendar  # only here: few runs need it

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", letterhead_of(session).name)
    return calendar


def _events(session: Session, day: date, technician: str) -> Iterator[Event]:
    zone = ZoneInfo(letterhead_of(session).zone)
    start, end = bounds_of(day, zone)
    wanted = [Visit.booked_for >= start, Visit.booked_for < end]
    if technician:
        wanted.append(Visit.technician_id.in_(_named(session, technician)))
    rows = session.execute(
        sa.select(Visit, Customer, Premises, Person.name, ChangeSet.at)
        .join(ChangeSet, ChangeSet.id == Visit.made_in)
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .where(Visit.withdrawn_at.is_(None), Visit.state != "called_off", *wanted)
        .order_by(Visit.booked_for, Visit.number)
    )
    for visit, customer, premises, who, made_at in rows:
        yield _event(visit, customer, premises, who or "", made_at)


def _named(session: Session, technician: str) -> list[object]:
    people = session.execute(sa.select(Person.id, Person.name)).all()
    found: list[object] = [key for key, name in people if name.casefold() == technician.casefold()]
    if not found:
        raise InputError(
            message("Nobody of the shop is called {name}.", name=technician[:60]),
            field="technician",
        )
    return found


def _event(
    visit: Visit, customer: Customer | None, premises: Premises | None, who: str, made_at: datetime
) -> Event:
    """Return a visit as an event; what is only for the office stays in the office."""
    from icalendar import Event

    assert visit.booked_for is not None  # noqa: S101 - asked for in the statement
    name = customer.name if customer else visit.caller_name
    said = say(complaint_text(visit.complaint))
    event = Event()
    event.add("uid", f"{visit.id}@drawoff")
    event.add("dtstamp", made_at.astimezone(UTC))
    event.add("dtstart", visit.booked_for.astimezone(UTC))
    event.add(
        "dtend",
        (visit.booked_for + timedelta(minutes=visit.booked_minutes or DEFAULT_MINUTES)).astimezone(
            UTC
        ),
    )
    event.add("summary", " · ".join(part for part in (visit.number, name, said) if part))
    if premises is not None:
        event.add("location", ", ".join(address_lines(premises)))
    lines = (who, visit.caller_phone)  # how to get in stays in the office
    event.add("description", "\n".join(line for line in lines if line))
    event.add("sequence", visit.version)
    return event
