"""What comes back: which finished jobs were followed by the same trouble, and how often.

A **repeat** is a later call for the same appliance and the same complaint, received after the job
was finished and up to the end of day N after it, days counted by local date in the office's zone.
A call received before the finish is the same trouble still; a call that was called off repeats
nothing; a job counts as repeated at most once.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from enum import StrEnum
from operator import attrgetter
from typing import Literal

from desk.base.errors import InputError
from desk.base.texts import message

LONGEST_WINDOW_DAYS = 36_525


class LeftOut(StrEnum):
    """Why a job is not counted in a repeat rate."""

    CALLED_OFF = "called_off"
    STOP_AND_LEAVE = "stop_and_leave"
    STILL_OPEN = "still_open"
    PLANNED_SERVICE = "planned_service"
    WINDOW_NOT_OVER = "window_not_over"


@dataclass(frozen=True, slots=True)
class Job:
    """A visit with its continuations.

    Attributes:
        id: what the caller knows the job by.
        appliance: the appliance worked on.
        complaint: what was reported; "" is planned service.
        finished: when its last visit was finished, with a time zone; None while it, or a
            continuation, is open.
        called_off: nobody came.
        stopped_and_left: it ended with stop-and-leave.
    """

    id: Hashable
    appliance: Hashable
    complaint: str
    finished: datetime | None
    called_off: bool = False
    stopped_and_left: bool = False


@dataclass(frozen=True, slots=True)
class Call:
    """A call that began a job; a continuation is none.

    Attributes:
        job: id of the job that it began, which it cannot repeat.
        appliance: the appliance called about.
        complaint: what was reported.
        received: when, with a time zone.
        called_off: the call was called off and repeats nothing.
    """

    job: Hashable
    appliance: Hashable
    complaint: str
    received: datetime
    called_off: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one job.

    Attributes:
        job: the job.
        left_out: why it is not counted, None when it is.
        repeated_by: the job whose call repeated it; known early repeats are told too, though
            they count only once the window is over.
        days: local days from the finish to that call.
    """

    job: Job
    left_out: LeftOut | None
    repeated_by: Hashable | None = None
    days: int | None = None

    @property
    def counted(self) -> bool:
        """True where the job stands in the rate."""
        return self.left_out is None

    @property
    def repeated(self) -> bool:
        """True where the job is counted and came back."""
        return self.counted and self.days is not None


def find_repeats(
    jobs: Iterable[Job],
    calls: Iterable[Call],
    *,
    within_days: int,
    as_of: date,
    zone: tzinfo,
) -> list[Outcome]:
    """Say for each job whether it counts, and which call repeated it.

    Args:
        jobs: the jobs to judge.
        calls: every call of the same appliances, also those outside the period of the jobs.
        within_days: N; the N-th day after the finish counts to its end.
        as_of: the day up to whose end the records are read; what is later does not exist yet.
        zone: the office's time zone, by which days are counted.

    Returns:
        One outcome a job, in the order of the jobs. Takes time in proportion to the number of
        rows, apart from sorting each appliance's calls.

    Raises:
        InputError: the window is shorter than a day or longer than a century.
        ValueError: a time without a time zone.
    """
    if not 1 <= within_days <= LONGEST_WINDOW_DAYS:
        raise InputError(
            message("The window must be from 1 to {days} days.", days=LONGEST_WINDOW_DAYS),
            field="within",
        )
    lines = _by_trouble(calls)
    window = timedelta(days=within_days)
    return [_outcome(job, lines, window, as_of, zone) for job in jobs]


@dataclass(frozen=True, slots=True)
class _Line:
    """The calls of one trouble in order of time, their times beside them for searching."""

    calls: Sequence[Call]
    times: Sequence[datetime]


def _by_trouble(calls: Iterable[Call]) -> dict[tuple[Hashable, str], _Line]:
    lines: defaultdict[tuple[Hashable, str], list[Call]] = defaultdict(list)
    for call in calls:
        if not call.called_off:
            lines[call.appliance, call.complaint].append(call)
    for line in lines.values():
        line.sort(key=attrgetter("received"))
    return {
        trouble: _Line(line, [call.received for call in line]) for trouble, line in lines.items()
    }


def _outcome(
    job: Job,
    lines: dict[tuple[Hashable, str], _Line],
    window: timedelta,
    as_of: date,
    zone: tzinfo,
) -> Outcome:
    if job.called_off:
        return Outcome(job, LeftOut.CALLED_OFF)
    finished_on = _local_date(job.finished, zone) if job.finished else None
    if job.finished is None or finished_on is None or finished_on > as_of:
        return Outcome(job, LeftOut.STILL_OPEN)
    if job.stopped_and_left:
        return Outcome(job, LeftOut.STOP_AND_LEAVE)
    if not job.complaint:
        return Outcome(job, LeftOut.PLANNED_SERVICE)
    last_day = finished_on + window
    left_out = LeftOut.WINDOW_NOT_OVER if last_day > as_of else None
    call = _first_call_after(job.finished, job, lines.get((job.appliance, job.complaint)))
    if call is not None:
        received_on = _local_date(call.received, zone)
        if received_on <= min(last_day, as_of):
            return Outcome(job, left_out, call.job, (received_on - finished_on).days)
    return Outcome(job, left_out)


def _first_call_after(finished: datetime, job: Job, line: _Line | None) -> Call | None:
    if line is None:
        return None
    start = bisect_right(line.times, finished)
    # A clock set wrong can put a job's own call after its finish; it is still no repeat.
    return next((call for call in line.calls[start : start + 2] if call.job != job.id), None)


def _local_date(moment: datetime, zone: tzinfo) -> date:
    if moment.tzinfo is None:
        raise ValueError(f"a time without a time zone: {moment.isoformat()}")
    return moment.astimezone(zone).date()


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


type Alike = Literal["same", "any"]
"""Which later calls repeat a job: of the same complaint, or of any but planned service."""


def root_of[K](key: K, before: Mapping[K, K]) -> K:
    """Follow a continuation back to the visit that began the job; a circle ends where it closes."""
    seen = {key}
    while (earlier := before.get(key)) is not None and earlier not in seen:
        seen.add(earlier)
        key = earlier
    return key
