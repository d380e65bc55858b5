"""Which job a call repeats: the definition that the rates count by, read from the call's side.

There is one rule (:func:`desk.trade.recurrence.find_repeats`), so that the mark on a line, what is
said on the phone and the summary of what comes back never disagree.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable
from dataclasses import dataclass
from datetime import tzinfo

from desk.trade.recurrence import Call, Job, find_repeats

REPEAT_WITHIN_DAYS = 90
"""A call this soon after a finished job about the same complaint is marked as a repeat."""


@dataclass(frozen=True, slots=True)
class Repeated:
    """The job that a call repeats, and the local days from its finish to the call."""

    job: Job
    days: int


def repeated_by(
    jobs: Collection[Job],
    calls: Collection[Call],
    *,
    within_days: int = REPEAT_WITHIN_DAYS,
    zone: tzinfo,
) -> dict[Hashable, Repeated]:
    """Return which call repeats which job.

    Args:
        jobs: every job about the appliances that were called about.
        calls: every call that began one of them, and a call that is being told.
        within_days: the window after a finish, in days.
        zone: the office's time zone, by which days are counted.

    Returns:
        By ``Call.job``: the job repeated; the one finished last where a call repeats several.

    Raises:
        InputError: the window is shorter than a day or longer than a century.
        ValueError: a time without a time zone.
    """
    if not calls:
        return {}
    newest = max(call.received for call in calls).astimezone(zone).date()
    found: dict[Hashable, Repeated] = {}
    for outcome in find_repeats(jobs, calls, within_days=within_days, as_of=newest, zone=zone):
        if outcome.repeated_by is None or outcome.days is None:
            continue
        nearest = found.get(outcome.repeated_by)
        if nearest is None or _finish(outcome.job) >= _finish(nearest.job):
            found[outcome.repeated_by] = Repeated(outcome.job, outcome.days)
    return found


def _finish(job: Job) -> float:
    return job.finished.timestamp() if job.finished else float("-inf")
