"""Dates and times on paper: the month in letters, the zone beside the time."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from desk.base.texts import _, message, say

_MONTHS = (
    message("Jan"),
    message("Feb"),
    message("Mar"),
    message("Apr"),
    message("May"),
    message("Jun"),
    message("Jul"),
    message("Aug"),
    message("Sep"),
    message("Oct"),
    message("Nov"),
    message("Dec"),
)


def show_date(day: date | None) -> str:
    """Say a date so that nobody reads day and month the wrong way round; "" for none."""
    if day is None:
        return ""
    return _("{day} {month} {year}", day=day.day, month=say(_MONTHS[day.month - 1]), year=day.year)


def show_month(day: date) -> str:
    """Say the month of a day."""
    return _("{month} {year}", month=say(_MONTHS[day.month - 1]), year=day.year)


def show_time(moment: datetime | None, zone: str) -> str:
    """Say an aware time by the clock on the wall of ``zone``, which is named; "" for none."""
    if moment is None:
        return ""
    local = moment.astimezone(_zone(zone))
    return _(
        "{date}, {time} {zone}", date=show_date(local), time=f"{local:%H:%M}", zone=local.tzname()
    )


def show_clock(moment: datetime, zone: str) -> str:
    """Say the hour and minute of an aware time by the clock on the wall of ``zone``."""
    return f"{moment.astimezone(_zone(zone)):%H:%M}"


def local_day(moment: datetime, zone: str) -> date:
    """Return the day that an aware time falls on in ``zone``."""
    return moment.astimezone(_zone(zone)).date()


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):  # a zone that this machine does not know
        return ZoneInfo("UTC")
