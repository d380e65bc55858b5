"""Booking with the keys: a visit is moved by a quarter of an hour, a day or a technician."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from desk.base.texts import Message, message
from desk.records.actions.counter import Slot
from desk.records.views.day import DayList, DayVisit

OPENING = time(8)
QUARTER = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class Move:
    """How far a visit is moved: along the day, to another day, to another technician."""

    name: str
    words: Message
    keys: str
    by: timedelta = timedelta()
    people: int = 0


MOVES = (
    Move("earlier", message("A quarter of an hour earlier"), "Alt+Up", -QUARTER),
    Move("later", message("A quarter of an hour later"), "Alt+Down", QUARTER),
    Move("day_earlier", message("A day earlier"), "Alt+Left", timedelta(days=-1)),
    Move("day_later", message("A day later"), "Alt+Right", timedelta(days=1)),
    Move("person_before", message("To the technician before"), "Alt+PgUp", people=-1),
    Move("person_after", message("To the technician after"), "Alt+PgDown", people=1),
)


def moved(visit: DayVisit, shown: DayList, move: Move, now: datetime) -> Slot | None:
    """Return when and who a key asks for; None where there is nobody to send.

    A call without a time is put on the day that is shown first: when the shop opens, or at the
    next quarter of an hour where that is over. Wall-clock time is what is moved, so ten o'clock
    stays ten o'clock on the day the clocks change.

    Args:
        visit: what is marked.
        shown: the day that is shown, with its technicians in order.
        move: how far; of a call without a time it is not looked at.
        now: aware.
    """
    zone = ZoneInfo(shown.zone)
    people = [one.technician_id for one in shown.technicians]
    if not people:
        return None
    if visit.booked_for is None:
        start = datetime.combine(shown.day, OPENING)
        local = now.astimezone(zone).replace(tzinfo=None)
        if shown.day == local.date():
            start = max(start, _next_quarter(local))
        technician = visit.technician_id or people[0]
    else:
        start = visit.booked_for.astimezone(zone).replace(tzinfo=None) + move.by
        technician = visit.technician_id or people[0]
        if move.people:
            place = people.index(technician) if technician in people else 0
            technician = people[(place + move.people) % len(people)]
    return Slot(start.replace(tzinfo=zone), technician)


def _next_quarter(when: datetime) -> datetime:
    start = when.replace(minute=0, second=0, microsecond=0)
    while start < when:
        start += QUARTER
    return start
