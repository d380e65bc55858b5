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

from desk.records.days import day_list, zone_of
from desk.wording import Message, message

if TYPE_CHECKING:
    from desk.records.views import DayList, Found, RecordView


@dataclass(frozen=True, slots=True)
class Find:
    """Search people, premises, appliances and visits."""

    text: str

    def run(self, session: Session) -> tuple[Found, ...]:
        """Return the hits, grouped by kind."""
        from desk.records.search import search

        return search(session, self.text)


@dataclass(frozen=True, slots=True)
class SeeDay:
    """Look at a day; ``now`` tells which day is today, and is shown when ``day`` is None."""

    now: datetime
    day: date | None = None

    def run(self, session: Session) -> DayList:
        """Return the day list."""
        zone = ZoneInfo(zone_of(session))
        day = self.day or self.now.astimezone(zone).date()
        return day_list(session, day, now=self.now, zone=zone)


@dataclass(frozen=True, slots=True)
class SeeRecord:
    """Open a customer's record."""

    customer_id: uuid.UUID

    def run(self, session: Session) -> RecordView:
        """Return the record."""
        from desk.records.record import record_of

        return record_of(session, self.customer_id)


@dataclass(frozen=True, slots=True)
class Slot:
    """When we come, and who."""

    start: datetime
    technician_id: uuid.UUID
    minutes: int = 60


@dataclass(frozen=True, slots=True)
class Book:
    """Give a visit its time and technician, or move it."""

    visit_id: uuid.UUID
    start: datetime
    technician_id: uuid.UUID
    minutes: int = 60
    what: ClassVar[Message] = message("Visit booked")

    def run(self, session: Session) -> None:
        """Book it."""
        from desk.records.visits import book

        book(
            session,
            self.visit_id,
            start=self.start,
            technician_id=self.technician_id,
            minutes=self.minutes,
        )
