"""Local days of many times at once, as the office's calendar counts them."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, tzinfo

import numpy as np

from desk.trade.job_columns.visit_columns import NEVER, Codes, Ints

_DAY_US = 86_400_000_000
_SECOND_US = 1_000_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
NO_DAY = int(np.iinfo(np.int32).max)
"""Stands for the day of a time that has not come."""


def day_number(day: date) -> int:
    """Return a day as its number since 1 January 1970."""
    return (day - _EPOCH.date()).days


def day_of(number: int) -> date:
    """Return the day of a number."""
    return _EPOCH.date() + timedelta(days=number)


def local_days(times: Ints, zone: tzinfo) -> Codes:
    """Return the local days of times in microseconds; :data:`NO_DAY` where none has come.

    The zone is asked only at the two ends of each day of UTC that occurs, and within those few
    where it changes: what :meth:`datetime.astimezone` says of every time, without asking it.
    """
    found = np.full(len(times), NO_DAY, np.int32)
    come = times != NEVER
    moments = times[come]
    if not len(moments):
        return found
    utc_days = moments // _DAY_US
    first = int(utc_days.min())
    occurs = np.flatnonzero(np.bincount(utc_days - first)) + first
    offsets = np.zeros(int(occurs[-1]) - first + 1, np.int64)
    changes = [day for day in occurs.tolist() if not _is_steady(day, offsets, first, zone)]
    local = moments + offsets[utc_days - first] * _SECOND_US
    for day in changes:
        at = np.flatnonzero(utc_days == day)
        local[at] += [_offset(moment, zone) * _SECOND_US for moment in moments[at].tolist()]
    found[come] = local // _DAY_US
    return found


def _is_steady(day: int, offsets: Ints, first: int, zone: tzinfo) -> bool:
    """Note the offset of a day of UTC where it is one and the same from its begin to its end."""
    begins, ends = (_offset(moment * _DAY_US, zone) for moment in (day, day + 1))
    if begins == ends:
        offsets[day - first] = begins
    return begins == ends


def _offset(moment: int, zone: tzinfo) -> int:
    """Return the offset from UTC in seconds."""
    offset = (_EPOCH + timedelta(microseconds=moment)).astimezone(zone).utcoffset()
    assert offset is not None  # noqa: S101 - a zone of a calendar has one at any time
    return round(offset.total_seconds())
