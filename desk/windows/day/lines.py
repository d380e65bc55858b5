"""A day, or its week, in words: technicians with their visits, then the calls without a time."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from desk.base.texts import _, plural
from desk.records.views.day import MARK, DayList, DayVisit, Overlap, TechnicianDay
from desk.trade.scheduling.booking_text import DAY_NAMES
from desk.windows.kit.item_models import Line
from desk.windows.kit.words import state_words

OVERLAPS = "◫"
CONTINUES = "→"
REPEATS = "↺"
_LONGEST_NAME = 40


def lines_of(day: DayList) -> list[Line]:
    """Return a day list as lines; in a week each visit says its day."""
    zone = ZoneInfo(day.zone)
    is_week = day.first != day.last
    lines: list[Line] = []
    for technician in day.technicians:
        lines.append(Line(technician.name + _load(technician, day, zone)))
        lines += [Line(_line(visit, zone, is_week=is_week), visit) for visit in technician.visits]
    if day.without_time:
        lines.append(Line(_("Calls without a time")))
        lines += [Line(_line(visit, zone), visit) for visit in day.without_time]
    return lines


def short_day(day: date) -> str:
    """Say a day in as few letters as a line or a button has room for, such as ``Tue 24``."""
    return f"{_short_weekday(day)} {day.day}"


def _short_weekday(day: date) -> str:
    return str(DAY_NAMES[day.weekday()])[:3]


def say_overlap(overlap: Overlap, start: datetime | None, zone: ZoneInfo) -> str:
    """Say that another visit wants the same technician, with a shape.

    Args:
        overlap: the other visit.
        start: when this one begins; what begins with it is a double booking.
        zone: whose clock is read.
    """
    other = " ".join(part for part in (overlap.number, _short(overlap.who)) if part)
    times = say_times(overlap.start, overlap.end, zone)
    if overlap.start == start:
        return _("{sign} Double booking with {other}, {times}", sign=OVERLAPS, other=other,
                 times=times)  # fmt: skip
    return _("{sign} Overlaps {other}, {times}", sign=OVERLAPS, other=other, times=times)


def say_times(start: datetime, end: datetime, zone: ZoneInfo) -> str:
    """Say from when to when by the clock of a zone.

    Args:
        start: aware.
        end: aware.
        zone: by whose clock.
    """
    return f"{start.astimezone(zone):%H:%M}–{end.astimezone(zone):%H:%M}"


def _load(technician: TechnicianDay, day: DayList, zone: ZoneInfo) -> str:
    """Say beside a name what there is to do; of a week also on which days there is nothing."""
    if not technician.visits:
        return _("   nothing booked")
    if day.first == day.last:
        return ""
    taken = {one.booked_for.astimezone(zone).date() for one in technician.visits if one.booked_for}
    days = [day.first + timedelta(days=n) for n in range((day.last - day.first).days + 1)]
    free = ", ".join(_short_weekday(one) for one in days if one not in taken)
    count = plural("   {count} visit", "   {count} visits", len(technician.visits))
    return count + (_("; nothing on {days}", days=free) if free else "")


def _line(visit: DayVisit, zone: ZoneInfo, *, is_week: bool = False) -> str:
    """Return a visit in words: when, who, where, what, its state, and what to take heed of."""
    who = ", ".join(_short(part) for part in (visit.who, visit.where) if part)
    when = _when(visit, zone, is_week=is_week)
    danger = [str(MARK)] if visit.danger_open else []
    what = [*danger, state_words(visit.state), visit.complaint_text, *_before(visit)]
    return "\n".join(
        [
            f"{when}{who or _('Nobody named yet')}",
            "  ·  ".join(what),
            *(say_overlap(one, visit.booked_for, zone) for one in visit.overlaps),
        ]
    )


def _when(visit: DayVisit, zone: ZoneInfo, *, is_week: bool) -> str:
    if visit.booked_for is None:
        return ""
    start = visit.booked_for.astimezone(zone)
    day = f"{short_day(start.date())}  " if is_week else ""
    if visit.minutes is None:
        return f"{day}{start:%H:%M}  "
    return f"{day}{say_times(start, start + timedelta(minutes=visit.minutes), zone)}  "


def _before(visit: DayVisit) -> list[str]:
    """Say whether it goes on with an earlier visit or repeats a finished one: never both."""
    if visit.continues:
        return [_("{sign} continues {number}", sign=CONTINUES, number=visit.continues)]
    if visit.days_since is None:
        return []
    return [
        plural(
            "{sign} {count} day after a finished visit",
            "{sign} {count} days after a finished visit",
            visit.days_since,
            sign=REPEATS,
        )
    ]


def _short(text: str) -> str:
    """Return a name that leaves room for what stands beside it; the record tells all of it."""
    return text if len(text) <= _LONGEST_NAME else f"{text[: _LONGEST_NAME - 1].rstrip()}…"
