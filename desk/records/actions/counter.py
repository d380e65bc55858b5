"""What the counter hands in while it stands: find, the day, the record, a booking.

Light on purpose: the counter is painted with these alone.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.planning.day_list import day_list, zone_of

if TYPE_CHECKING:
    from desk.records.views.customer_record import PlaceView, RecordView, SearchHit, VisitPage
    from desk.records.views.day import BookingReadBack, DayList


@dataclass(frozen=True, slots=True)
class Find:
    """Search people, premises, appliances and visits."""

    text: str

    def run(self, session: Session) -> tuple[SearchHit, ...]:
        """Return the hits, grouped by kind."""
        from desk.records.search.search import search

        return search(session, self.text)


@dataclass(frozen=True, slots=True)
class SeeDay:
    """Look at a day, or at the week around it.

    ``now`` tells which day is today, and is shown when ``day`` is None.
    """

    now: datetime
    day: date | None = None
    is_week: bool = False

    def run(self, session: Session) -> DayList:
        """Return the day list."""
        zone = ZoneInfo(zone_of(session))
        day = self.day or self.now.astimezone(zone).date()
        return day_list(session, day, now=self.now, zone=zone, is_week=self.is_week)


@dataclass(frozen=True, slots=True)
class SeeRecord:
    """Open a customer's record at some premises: by their key, an appliance's or a visit's."""

    customer_id: uuid.UUID
    at: uuid.UUID | None = None

    def run(self, session: Session) -> RecordView:
        """Return the record."""
        from desk.records.histories.record import record_of

        return record_of(session, self.customer_id, self.at)


@dataclass(frozen=True, slots=True)
class SeeOpened:
    """Open one of the places of a record."""

    customer_id: uuid.UUID
    premises_id: uuid.UUID

    def run(self, session: Session) -> PlaceView:
        """Return the place with its people, its appliances and its newest visits."""
        from desk.records.histories.place import opened_with_visits

        return opened_with_visits(session, self.customer_id, self.premises_id)


@dataclass(frozen=True, slots=True)
class SeeVisits:
    """Look at older visits of a record: those that follow after some that are shown."""

    customer_id: uuid.UUID
    premises_id: uuid.UUID | None
    skip: int

    def run(self, session: Session) -> VisitPage:
        """Return the next of them."""
        from desk.records.histories.place import visits_of

        return visits_of(session, self.customer_id, self.premises_id, self.skip)


@dataclass(frozen=True, slots=True)
class Slot:
    """When we come, and who; as long as such visits usually are where no length is said."""

    start: datetime
    technician_id: uuid.UUID
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class SeeBooking:
    """Look at what a booking would come to, while it is typed.

    Attributes:
        start: when we would come.
        technician_id: who would; None where nobody is named and the visit has nobody.
        minutes: how long, where that was said.
        visit_id: what is booked; None for a call that is not written down yet.
        complaint: of the call, where the form says another than what is written down.
    """

    start: datetime
    technician_id: uuid.UUID | None
    minutes: int | None = None
    visit_id: uuid.UUID | None = None
    complaint: str | None = None

    def run(self, session: Session) -> BookingReadBack:
        """Return its length, and what it overlaps."""
        from desk.records.planning.booking_preview import booking_read_back

        return booking_read_back(
            session,
            start=self.start,
            technician_id=self.technician_id,
            minutes=self.minutes,
            visit_id=self.visit_id,
            complaint=self.complaint,
        )


@dataclass(frozen=True, slots=True)
class Book:
    """Give a visit its time and technician, or move it.

    Without ``minutes`` it keeps the length that it has, or gets the usual one.
    """

    visit_id: uuid.UUID
    start: datetime
    technician_id: uuid.UUID
    minutes: int | None = None
    what: ClassVar[Message] = message("Visit booked")

    def run(self, session: Session) -> None:
        """Book it."""
        from desk.records.visits.lifecycle import book

        book(
            session,
            self.visit_id,
            start=self.start,
            technician_id=self.technician_id,
            minutes=self.minutes,
        )
