"""The shop's days and hours: local times of day as UTC instants, and who is free when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

from sample_db.town.town import ZONE_INFO

OPENS = 8 * 60
"""Minutes after midnight; so are the other times of day here."""
CLOSES = 17 * 60
_NOON = 12 * 60
_SATURDAY = 5
_CLOSES = 17 * 60 + 30


@lru_cache(maxsize=64)
def _noon(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 12, tzinfo=ZONE_INFO).astimezone(UTC)


def at(day: date, minute: float) -> datetime:
    """Return a time of a local day; clocks are put forward and back at night, never by day."""
    return _noon(day) + timedelta(seconds=round((minute - _NOON) * 60))


def local_day(when: datetime) -> date:
    """Return the local date of an instant."""
    return when.astimezone(ZONE_INFO).date()


def in_hours(when: datetime, latest: datetime) -> datetime:
    """Return the nearest time of that working day, or the last before it, with the desk manned.

    Args:
        when: any time.
        latest: the result never comes after it.
    """
    day = local_day(when)
    while not is_workday(day):
        day -= timedelta(days=1)
    return min(latest, max(at(day, OPENS + 10), min(when, at(day, _CLOSES))))


def is_workday(day: date) -> bool:
    """Return whether the shop works on a day."""
    return day.weekday() < _SATURDAY


def workday_from(day: date) -> date:
    """Return the day, or the next one on which the shop works."""
    while not is_workday(day):
        day += timedelta(days=1)
    return day


def workdays_before(day: date, count: int) -> list[date]:
    """Return the last working days before a day, the earliest first."""
    found: list[date] = []
    while len(found) < count:
        day -= timedelta(days=1)
        if is_workday(day):
            found.insert(0, day)
    return found


class Rota[T]:
    """Who is free when: each technician's day fills up from the morning.

    Args:
        technicians: the technicians.
        today: from this day on the lists are kept free until the afternoon.
    """

    _KEPT_FREE_UNTIL = 15 * 60 + 15
    _LAST_START = 15 * 60 + 30
    _GAP = 25

    def __init__(self, technicians: Sequence[T], today: date) -> None:
        self._technicians = technicians
        self._today = today
        self._free_from: dict[date, list[int]] = {}
        self._turn = 0

    def find(self, day: date, minutes: int) -> tuple[date, int, T]:
        """Return the next free day, minute and technician from a day on, and take them."""
        day = workday_from(day)
        while True:
            free = self._day(day)
            self._turn += 1
            for step in range(len(free)):
                who = (self._turn + step) % len(free)
                if free[who] <= self._LAST_START:
                    start = free[who]
                    free[who] = -(-(start + minutes + self._GAP) // 15) * 15
                    return day, start, self._technicians[who]
            day = workday_from(day + timedelta(days=1))

    def _day(self, day: date) -> list[int]:
        if day not in self._free_from:
            first = self._KEPT_FREE_UNTIL if day >= self._today else OPENS
            self._free_from[day] = [first + 15 * (i % 3) for i in range(len(self._technicians))]
        return self._free_from[day]

    def forget_before(self, day: date) -> None:
        """Let go of days that are over."""
        for old in [known for known in self._free_from if known < day]:
            del self._free_from[old]
