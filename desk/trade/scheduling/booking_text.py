"""Bookings and dates as people type them while the phone is at their ear.

``tue 10 ann`` is Tuesday at ten, with Ann. What was understood is always said back in words, with
the month in letters, since ``9/3`` is read differently on two sides of a border.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from desk.base.errors import InputError
from desk.base.texts import Message, _, message
from desk.trade.quantities.number_text import quoted

DAY_NAMES = (
    message("Monday"), message("Tuesday"), message("Wednesday"), message("Thursday"),
    message("Friday"), message("Saturday"), message("Sunday"),
)  # fmt: skip
MONTH_NAMES = (
    message("January"), message("February"), message("March"), message("April"), message("May"),
    message("June"), message("July"), message("August"), message("September"),
    message("October"), message("November"), message("December"),
)  # fmt: skip
_SHORTEST_NAME = 3
_EARLIEST_HOUR = 7
_NOON = 12
# Patterns stay text until something is typed: compiling them costs the start of the program.
_TIME = r"(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm|a|p)?"
_HOURS = r"(\d{1,2}(?:\.\d{1,2})?)(?:h|hrs?|hours?)(?:(\d{1,2})(?:m|mins?)?)?"
_MINUTES = r"(\d{1,4})(?:m|mins?|minutes?)"
_ISO = r"(\d{4})-(\d{1,2})-(\d{1,2})"
_YEAR = r"(?:19|20|21)\d{2}"
_MOST_DAY_DIGITS = 2
_SLASHED = r"(\d{1,2})/(\d{1,2})(?:/(\d{2}|\d{4}))?"


@dataclass(frozen=True, slots=True)
class Calendar:
    """What a typed day is read against, the same at every desk of an office.

    Attributes:
        today: finds the year of a date that was typed without one.
        month_first: ``9/3`` is September 3; else March 9.
    """

    today: date
    month_first: bool

    @classmethod
    def of(cls, today: date, system: str) -> Calendar:
        """Return the calendar of a shop by its units: the month stands first with the US ones.

        Common practice, no source.
        """
        return cls(today, system == "us")

    def read(self, text: str, field: str = "day") -> date | None:
        """Read a date as :func:`parse_day` does.

        Raises:
            InputError: it is no date.
        """
        return parse_day(text, today=self.today, month_first=self.month_first, field=field)

    def read_back(self, text: str) -> str:
        """Say in words which day is meant, the month in letters; "" where none was typed.

        Raises:
            InputError: it is no date.
        """
        day = self.read(text)
        return say_day(day) if day else ""


@dataclass(frozen=True, slots=True)
class Technician:
    """Somebody who can be booked: a key of the caller's and a name."""

    key: object
    name: str


@dataclass(frozen=True, slots=True)
class Booking:
    """What was understood.

    Attributes:
        day: by the office's calendar.
        minute: of the day, from midnight.
        minutes: how long it is booked for; None where that was not said.
        technician: who goes; None where nobody was named.
    """

    day: date
    minute: int
    minutes: int | None
    technician: Technician | None


def parse_booking(
    text: str,
    *,
    today: date,
    technicians: Sequence[Technician],
    month_first: bool = True,
    field: str = "booking",
) -> Booking:
    """Read a booking.

    Args:
        text: a day, a time, a name or the beginning of one, and perhaps a length such as
            ``90 min`` or ``1h30``.
        today: by the office's calendar.
        technicians: whose names may be meant.
        month_first: ``9/3`` is September 3; else March 9.
        field: name of the input, carried by the error.

    Raises:
        InputError: a day or a time is missing, a word is not understood, or a name could be that
            of two people.
    """
    words = text.casefold().replace(",", " ").split()
    day, rest = _take_day(words, today, month_first=month_first)
    minute, minutes, rest = _take_time_and_length(rest)
    if day is None or minute is None:
        raise InputError(message("Type a day, a time and a name, such as tue 10 ann."), field=field)
    named = technician_named(rest, technicians, field=field) if rest else None
    return Booking(day, minute, minutes, named)


def parse_day(
    text: str, *, today: date, month_first: bool = True, field: str = "day"
) -> date | None:
    """Read a date, such as ``next tue``, ``9/3``, ``3 dec`` or ``2026-12-03``; "" is None.

    Args:
        text: what was typed.
        today: by the office's calendar.
        month_first: ``9/3`` is September 3; else March 9.
        field: name of the input, carried by the error.

    Raises:
        InputError: it is no date.
    """
    words = text.casefold().replace(",", " ").split()
    if not words:
        return None
    day, rest = _take_day(words, today, month_first=month_first)
    if day is None or rest:
        raise InputError(
            message("“{text}” is no date; type one such as 3 dec or next tue.", text=quoted(text)),
            field=field,
        )
    return day


def say_day(day: date, today: date | None = None) -> str:
    """Say a day with the month in letters; the year where it is not this one."""
    named = _(
        "{weekday} {day} {month}",
        weekday=DAY_NAMES[day.weekday()],
        day=day.day,
        month=MONTH_NAMES[day.month - 1],
    )
    return named if today is not None and day.year == today.year else f"{named} {day.year}"


def say_booking(booking: Booking, today: date) -> str:
    """Say back what was understood; the length where it was said."""
    hour, minute = divmod(booking.minute, 60)
    parts = [say_day(booking.day, today), f"{hour:02d}:{minute:02d}"]
    if booking.technician is not None:
        parts.append(booking.technician.name)
    if booking.minutes is not None:
        parts.append(_("{minutes} minutes", minutes=booking.minutes))
    return ", ".join(parts)


def _take_day(words: list[str], today: date, *, month_first: bool) -> tuple[date | None, list[str]]:
    """Take the day off the words; it may be one word or two."""
    for place, word in enumerate(words):
        rest = words[:place] + words[place + 1 :]
        following = words[place + 1] if place + 1 < len(words) else ""
        if word == "next" and (weekday := _weekday(following)) is not None:
            return _on_weekday(today + timedelta(days=1), weekday), _without(rest, following)
        if word in {"today", "tomorrow"}:
            return today + timedelta(days=word == "tomorrow"), rest
        if (weekday := _weekday(word)) is not None:
            return _on_weekday(today, weekday), rest
        if (found := _numbered(word, today, month_first=month_first)) is not None:
            return found, rest
        if (month := _month(word)) is not None:
            for other in (words[place - 1] if place else "", following):
                if other.isdecimal() and len(other) <= _MOST_DAY_DIGITS:
                    return _named_date(month, int(other), _without(rest, other), today)
    return None, words


def _named_date(
    month: int, day: int, rest: list[str], today: date
) -> tuple[date | None, list[str]]:
    """Return a date whose month was named; a year among the other words belongs to it."""
    for word in rest:
        if re.fullmatch(_YEAR, word):
            return _date(int(word), month, day), _without(rest, word)
    return _next_date(month, day, today), rest


def _without(words: list[str], word: str) -> list[str]:
    left = list(words)
    left.remove(word)
    return left


def _weekday(word: str) -> int | None:
    return _named(word, DAY_NAMES)


def _month(word: str) -> int | None:
    place = _named(word, MONTH_NAMES)
    return None if place is None else place + 1


def _named(word: str, names: Sequence[Message]) -> int | None:
    """Return the place of the name that a word begins, English or in the language in use."""
    if len(word) < _SHORTEST_NAME:
        return None
    for place, name in enumerate(names):
        if name.id.casefold().startswith(word) or str(name).casefold().startswith(word):
            return place
    return None


def _on_weekday(start: date, weekday: int) -> date:
    return start + timedelta(days=(weekday - start.weekday()) % 7)


def _numbered(word: str, today: date, *, month_first: bool) -> date | None:
    if match := re.fullmatch(_ISO, word):
        return _date(*(int(part) for part in match.groups()))
    if match := re.fullmatch(_SLASHED, word):
        first, second = int(match[1]), int(match[2])
        month, day = (first, second) if month_first else (second, first)
        if match[3]:
            return _date(int(match[3]) + (2000 if len(match[3]) == 2 else 0), month, day)  # noqa: PLR2004
        return _next_date(month, day, today)
    return None


def _next_date(month: int, day: int, today: date) -> date | None:
    """Return the date this year, or next year where it lies more than a month back."""
    found = _date(today.year, month, day)
    if found is not None and found < today - timedelta(days=31):
        return _date(today.year + 1, month, day)
    return found


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _take_time_and_length(words: list[str]) -> tuple[int | None, int | None, list[str]]:
    """Take both off the words: ``15 min 10`` is no quarter past, and ``10 min`` may be a name."""
    minutes, rest = _take_length(words)
    minute, left = _take_time(rest)
    if minute is None:
        minute, rest = _take_time(words)
        minutes, left = _take_length(rest)
    return minute, minutes, left


def _take_time(words: list[str]) -> tuple[int | None, list[str]]:
    """Take the time off the words; a small hour without am or pm is in the afternoon."""
    for place, word in enumerate(words):
        following = words[place + 1] if place + 1 < len(words) else ""
        rest = words[:place] + words[place + 1 :]
        if word == "noon":
            return _NOON * 60, rest
        half = following if following in {"am", "pm"} else ""
        match = re.fullmatch(_TIME, word + half)
        if match is None:
            continue
        minute = _minute_of(int(match[1]), int(match[2] or 0), (match[3] or "")[:1])
        if minute is not None:
            return minute, _without(rest, half) if half else rest
    return None, words


def _minute_of(hour: int, minute: int, half: str) -> int | None:
    if hour > 23 or minute > 59 or (half and not 1 <= hour <= _NOON):  # noqa: PLR2004
        return None
    if half:
        hour = hour % _NOON + (_NOON if half == "p" else 0)
    elif 1 <= hour < _EARLIEST_HOUR:
        hour += _NOON
    return hour * 60 + minute


def _take_length(words: list[str]) -> tuple[int | None, list[str]]:
    """Take the length off the words; it may stand in several, such as ``1 h 30 min``."""
    for place in range(len(words)):
        for taken in (4, 3, 2, 1):
            minutes = _minutes_of("".join(words[place : place + taken]))
            if minutes is not None:
                return minutes, words[:place] + words[place + taken :]
    return None, words


def _minutes_of(word: str) -> int | None:
    if match := re.fullmatch(_HOURS, word):
        return round(float(match[1]) * 60) + int(match[2] or 0)
    if match := re.fullmatch(_MINUTES, word):
        return int(match[1])
    return None


def technician_named(
    words: Sequence[str], technicians: Sequence[Technician], *, field: str = "technician"
) -> Technician:
    """Return the technician whom words name.

    Args:
        words: one or more, folded; each begins a part of the name.
        technicians: whose names may be meant.
        field: name of the input, carried by the error.

    Raises:
        InputError: nobody is called so, or more than one.
    """
    meant = [
        one
        for one in technicians
        if all(any(part.startswith(word) for part in one.name.casefold().split()) for word in words)
    ]
    if len(meant) == 1:
        return meant[0]
    named = " ".join(words)
    if meant:
        raise InputError(
            message("“{word}” could be {names}.", word=named[:40],
                    names=", ".join(one.name for one in meant)),
            field=field,
        )  # fmt: skip
    raise InputError(
        message("Nobody here is called “{word}”; the technicians are {names}.", word=named[:40],
                names=", ".join(one.name for one in technicians)),
        field=field,
    )  # fmt: skip
