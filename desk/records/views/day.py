"""What the day, the booking line and the printed sheet of a day show."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from desk.base.texts import message

if TYPE_CHECKING:
    from desk.records.views.parties import Letterhead
    from desk.trade.scheduling.usual_length import UsualLength


@dataclass(frozen=True, slots=True)
class Overlap:
    """A visit for which the same technician is wanted at the same time.

    ``who`` is the customer, where the list does not show that visit anyway.
    """

    number: str
    start: datetime
    end: datetime
    who: str = ""


@dataclass(frozen=True, slots=True)
class BookingReadBack:
    """What a booking would come to: how long it is for, and what it overlaps.

    ``usual`` tells what the length rests on; None where it was typed, or the visit had it before.
    """

    minutes: int
    usual: UsualLength | None
    overlaps: tuple[Overlap, ...]


@dataclass(frozen=True, slots=True)
class DayVisit:
    """A visit in a day list.

    ``continues`` is the number of the earlier visit that this one goes on with; ``days_since``
    is set where it repeats a finished one instead. ``danger_open``: as of a `HistoryLine`.
    """

    visit_id: uuid.UUID
    number: str
    state: str
    ending: str
    booked_for: datetime | None
    minutes: int | None
    technician_id: uuid.UUID | None
    customer_id: uuid.UUID | None
    who: str
    where: str
    complaint_text: str
    words: str
    days_since: int | None
    continues: str = ""
    overlaps: tuple[Overlap, ...] = ()
    danger_open: bool = False


@dataclass(frozen=True, slots=True)
class TechnicianDay:
    """One technician's visits of a day, or of a week, in order of time."""

    technician_id: uuid.UUID
    name: str
    visits: tuple[DayVisit, ...]


@dataclass(frozen=True, slots=True)
class DayList:
    """A day, or the week around it: visits by technician, and the calls that have no time yet.

    ``first`` and ``last`` are the days that are listed; ``counts`` gives how many visits are
    booked on each day of the strip around them.
    """

    day: date
    first: date
    last: date
    today: date
    zone: str
    technicians: tuple[TechnicianDay, ...]
    without_time: tuple[DayVisit, ...]
    counts: tuple[tuple[date, int], ...]


@dataclass(frozen=True, slots=True)
class DaySheetVisit:
    """A visit as a technician needs it on the way there.

    ``phones`` are the customer's, or the caller's. ``continues`` is the number of the visit that
    this one goes on with, ``left_to_do`` what that one said is next; ``days_since`` is set where
    it repeats a finished visit instead. ``overlaps`` are the numbers of what is booked for the
    same technician at the same time. ``danger_open``: nobody has written yet what became of a
    danger that was reported, ``danger_outcome`` is what somebody wrote.
    """

    number: str
    state: str
    start: datetime
    end: datetime
    who: str
    phones: tuple[str, ...]
    address: tuple[str, ...]
    access_note: str
    appliance: str
    complaint_text: str
    words: str
    danger_reported: bool
    continues: str
    left_to_do: str
    days_since: int | None
    overlaps: tuple[str, ...]
    danger_open: bool = False
    danger_outcome: str = ""


@dataclass(frozen=True, slots=True)
class TechnicianSheet:
    """One technician's visits of a day in order of time."""

    technician: str
    visits: tuple[DaySheetVisit, ...]


@dataclass(frozen=True, slots=True)
class DaySheet:
    """The visits of a day, by technician: of all who have any, or of the one who was asked for.

    ``open_dangers`` are the calls without a time with which a danger was reported whose outcome
    nobody has written: number, who and where of each.
    """

    letterhead: Letterhead
    day: date
    technicians: tuple[TechnicianSheet, ...]
    open_dangers: tuple[tuple[str, str, str], ...] = ()


STRIP_DAYS = 14
"""The strip is the week of the day that is shown, from Monday, and the week after."""


WAITING = frozenset({"new_call", "booked"})
"""States of a visit for which nobody has set out."""


MARK = message("▲ danger reported")
"""What stands beside a call as long as its danger is open."""
