"""Months of the calendar."""

from __future__ import annotations

import calendar
from datetime import date, timedelta


def month_of(day: date) -> tuple[date, date]:
    """Return the first and the last day of a day's month."""
    last = calendar.monthrange(day.year, day.month)[1]
    return day.replace(day=1), day.replace(day=last)


def last_month_over(as_of: date, within_days: int) -> tuple[date, date]:
    """Return the last whole month whose jobs have all had their days to come back.

    Args:
        as_of: the day up to whose end is looked.
        within_days: how many days a job has.
    """
    latest = as_of - timedelta(days=within_days)
    first, last = month_of(latest)
    return (first, last) if last <= latest else month_of(first - timedelta(days=1))
