"""What the counter hands in while it stands: find, the day, the record, a booking.

Light on purpose: the counter is painted with these alone, so what each runs is imported by it.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.office.protocol import CommandKind, QueryKind
from desk.records.planning.day_list import day_list, zone_of

if TYPE_CHECKING:
    from desk.records.views.customer_record import PlaceView, RecordView, SearchHit, VisitPage
    from desk.records.views.day import BookingReadBack, DayList


@dataclass(frozen=True, slots=True)
class Slot:
    """When we come, and who; as long as such visits usually are where no length is said."""

    start: datetime
    technician_id: uuid.UUID
    minutes: int | None = None


def _find(session: Session, text: str) -> tuple[SearchHit, ...]:
    from desk.records.search.search import search

    return search(session, text)


def _day(
    session: Session, now: datetime, day: date | None = None, *, is_week: bool = False
) -> DayList:
    """Return a day, or the week around it; ``now`` tells which is today, shown for None."""
    zone = ZoneInfo(zone_of(session))
    day = day or now.astimezone(zone).date()
    return day_list(session, day, now=now, zone=zone, is_week=is_week)


def _record(session: Session, customer_id: uuid.UUID, at: uuid.UUID | None = None) -> RecordView:
    from desk.records.histories.record import record_of

    return record_of(session, customer_id, at)


def _opened(session: Session, customer_id: uuid.UUID, premises_id: uuid.UUID) -> PlaceView:
    from desk.records.histories.place import opened_with_visits

    return opened_with_visits(session, customer_id, premises_id)


def _visits(
    session: Session, customer_id: uuid.UUID, premises_id: uuid.UUID | None, skip: int
) -> VisitPage:
    from desk.records.histories.place import visits_of

    return visits_of(session, customer_id, premises_id, skip)


def _read_back(
    session: Session,
    start: datetime,
    technician_id: uuid.UUID | None,
    minutes: int | None = None,
    *,
    visit_id: uuid.UUID | None = None,
    complaint: str | None = None,
) -> BookingReadBack:
    """Return what a booking would come to; ``visit_id`` is None for a call not written down yet."""
    from desk.records.planning.booking_preview import booking_read_back

    return booking_read_back(
        session,
        start=start,
        technician_id=technician_id,
        minutes=minutes,
        visit_id=visit_id,
        complaint=complaint,
    )


def _book(
    session: Session,
    visit_id: uuid.UUID,
    start: datetime,
    technician_id: uuid.UUID,
    minutes: int | None = None,
) -> None:
    """Book; without ``minutes`` the visit keeps the length that it has, or gets the usual one."""
    from desk.records.visits.lifecycle import book

    book(session, visit_id, start=start, technician_id=technician_id, minutes=minutes)


Find = QueryKind(_find)
SeeDay = QueryKind(_day)
SeeRecord = QueryKind(_record)
SeeOpened = QueryKind(_opened)
SeeVisits = QueryKind(_visits)
SeeBooking = QueryKind(_read_back)
Book = CommandKind(message("Visit booked"), _book)
