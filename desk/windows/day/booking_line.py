"""The line in which a booking is typed; it says back what that comes to before it is handed in."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, message
from desk.records.actions.counter import SeeBooking, Slot
from desk.records.views.day import BookingReadBack, DayList
from desk.trade.scheduling.booking_text import Booking, Technician, parse_booking, say_booking
from desk.windows.day.lines import say_overlap
from desk.windows.kit.fields import TypedLine
from desk.windows.work.work_queue import WorkQueue


@dataclass(frozen=True, slots=True)
class Booked:
    """What a line books: a visit, or a call that is still being told.

    Attributes:
        visit_id: None for a call that is not written down yet.
        technician_id: who goes where nobody is named.
        complaint: of a call that is being told.
    """

    visit_id: uuid.UUID | None = None
    technician_id: uuid.UUID | None = None
    complaint: str | None = None


class BookingLine(TypedLine):
    """Reads a day, a time, a name and a length, and tells at once how long and what overlaps.

    Args:
        key: what it is for.
        label: over it.
        hint: in it while it is empty.
        queue: answers what the booking would come to.
        day: the day list, whose technicians may be named; None while there is none.
        booked: what is booked.
    """

    def __init__(
        self,
        key: str,
        label: str,
        hint: str,
        queue: WorkQueue,
        *,
        day: Callable[[], DayList | None],
        booked: Callable[[], Booked],
    ) -> None:
        super().__init__(key, label, hint)
        self._queue, self._day, self._booked = queue, day, booked
        self._understood = self._said_of = ""
        self._seen: Booking | None = None
        self.changed.connect(self.read_back)

    def technicians(self) -> list[Technician]:
        """Return whom a booking may name."""
        day = self._day()
        return [Technician(one.technician_id, one.name) for one in day.technicians] if day else []

    def slot(self) -> Slot:
        """Return the time and the technician that stand in the line.

        Raises:
            InputError: it cannot be understood, or nobody is named.
        """
        booking = self._parsed()
        technician = self._technician(booking)
        if technician is None:
            names = self.technicians()
            first = names[0].name.split()[0] if names else _("a technician")
            raise InputError(message("Say who goes, such as {name}.", name=first))
        return Slot(self._start_of(booking), technician, booking.minutes)

    def read_back(self) -> None:
        """Say in words how the booking is understood, how long it is and what it overlaps."""
        self._understood = ""
        try:
            booking = self._parsed()
        except InputError:
            return  # half a word is no mistake yet
        self._said_of = self.text()
        self._understood = say_booking(booking, self._today())
        self.show_understood(self._understood)
        booked = self._booked()
        self._seen = booking
        seen = SeeBooking(
            self._start_of(booking),
            self._technician(booking),
            booking.minutes,
            visit_id=booked.visit_id,
            complaint=booked.complaint,
        )
        self._queue.ask(self, seen, self._foresee, self._unforeseen, key="booking")

    def show_error(self, sentence: str) -> None:
        """Say under the line what is expected; an answer that comes later does not hide it."""
        if sentence:
            self._understood = ""
        super().show_error(sentence)

    def _foresee(self, read_back: BookingReadBack) -> None:
        if not self._understood or self._seen is None or self.text() != self._said_of:
            return  # the person is further on
        said = [self._understood]
        if self._seen.minutes is None:
            said.append(say_length(read_back))
        said += [
            say_overlap(one, self._start_of(self._seen), self._zone()) for one in read_back.overlaps
        ]
        self.show_understood("\n".join(said))

    def _unforeseen(self, error: DeskError) -> None:
        self.show_error(str(error))

    def _parsed(self) -> Booking:
        return parse_booking(
            self.text(),
            today=self._today(),
            technicians=self.technicians(),
            month_first=self._queue.calendar().month_first,
        )

    def _today(self) -> date:
        day = self._day()
        return day.today if day else self._queue.now().astimezone(self._zone()).date()

    def _zone(self) -> ZoneInfo:
        day = self._day()
        return ZoneInfo(day.zone if day else self._queue.zone)

    def _start_of(self, booking: Booking) -> datetime:
        hour, minute = divmod(booking.minute, 60)
        return datetime.combine(booking.day, time(hour, minute), self._zone())

    def _technician(self, booking: Booking) -> uuid.UUID | None:
        key = booking.technician.key if booking.technician else self._booked().technician_id
        return key if isinstance(key, uuid.UUID) else None


def say_length(read_back: BookingReadBack) -> str:
    """Say how long a booking is for where nobody typed it, and what that rests on."""
    from desk.trade.scheduling.usual_length import say_usual_length  # only when something is booked

    if read_back.usual is not None:
        return say_usual_length(read_back.usual)
    return _("{minutes} minutes, as it was booked before", minutes=read_back.minutes)
