"""Which jobs came back, for all jobs of an office at once.

The definition is that of :func:`desk.trade.recurrence.find_repeats`, worked on columns instead of
one job after the other; a test proves that both say the same of every job.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo

import numpy as np

from desk.base.progress import Watch
from desk.trade.job_columns.local_days import NO_DAY, local_days
from desk.trade.job_columns.visit_columns import NEVER, Codes, Flags, Ints, VisitColumns
from desk.trade.recurrence import LeftOut
from desk.trade.recurrence.repeat_rule import Alike

REASONS: tuple[LeftOut, ...] = tuple(LeftOut)
"""Why a job is left out, by its code less one; code 0 is counted."""
NO_JOB = -1


@dataclass(frozen=True, slots=True)
class JobColumns:
    """Jobs, in the order of the calls that began them.

    Attributes:
        visits: all visits.
        job: of each visit, the place of its job.
        first: place of the visit that began it.
        last: place of its last visit that was not called off.
        came: how many of its visits were not called off, at least one.
        finished_on: local day of the finish, :data:`NO_DAY` while it is open.
        received_on: local day of the call.
    """

    visits: VisitColumns
    job: Codes
    first: Codes
    last: Codes
    came: Codes
    finished_on: Codes
    received_on: Codes

    def __len__(self) -> int:
        return len(self.first)


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What became of each job.

    Attributes:
        left_out: 0 where it is counted, else one more than a place in :data:`REASONS`.
        repeated_by: place of the job whose call repeated it, else :data:`NO_JOB`.
        days: local days from the finish to that call; only where there is one.
    """

    left_out: Codes
    repeated_by: Codes
    days: Codes

    @property
    def counted(self) -> Flags:
        """Return which jobs stand in the rate."""
        found: Flags = self.left_out == 0
        return found

    @property
    def repeated(self) -> Flags:
        """Return which of the counted came back."""
        found: Flags = self.counted & (self.repeated_by != NO_JOB)
        return found

    @property
    def finished(self) -> Flags:
        """Return which jobs are finished, counted or not."""
        return ~np.isin(self.left_out, (_code(LeftOut.CALLED_OFF), _code(LeftOut.STILL_OPEN)))


def _code(reason: LeftOut) -> int:
    return REASONS.index(reason) + 1


def gather(visits: VisitColumns, zone: tzinfo) -> JobColumns:
    """Gather visits into jobs, as :func:`desk.records.planning.job_chains.gather_jobs` does."""
    first = np.flatnonzero(np.bincount(visits.root, minlength=len(visits)) > 0).astype(np.int32)
    number = np.full(len(visits), NO_JOB, np.int32)
    number[first] = np.arange(len(first), dtype=np.int32)
    job = number[visits.root]
    size = np.bincount(job, minlength=len(first))
    chained = (size > 1)[job] | (visits.root != np.arange(len(visits)))
    last, came = _last_visits(visits, job, first, np.flatnonzero(chained & ~visits.called_off))
    return JobColumns(
        visits=visits,
        job=job,
        first=first,
        last=last,
        came=came,
        finished_on=local_days(visits.finished[last], zone),
        received_on=local_days(visits.received[first], zone),
    )


def _last_visits(
    visits: VisitColumns, job: Codes, first: Codes, members: Ints
) -> tuple[Codes, Codes]:
    """Return the last visit of each job and how many came, of jobs of several visits by members.

    The last one is that which is finished last, and an open one is last of all.
    """
    last, came = first.copy(), np.ones(len(first), np.int32)
    by_end = (-members, visits.received[members], visits.finished[members], job[members])
    members = members[np.lexsort(by_end)]
    of_job = job[members]
    ends = np.flatnonzero(np.r_[of_job[1:] != of_job[:-1], np.full(len(of_job[:1]), 1, bool)])
    last[of_job[ends]] = members[ends]
    came[of_job[ends]] = np.diff(np.r_[-1, ends])
    return last, came


def find(
    jobs: JobColumns,
    *,
    within_days: int,
    as_of: int,
    alike: Alike = "same",
    watch: Watch,
) -> Outcomes:
    """Say for each job whether it counts, and which call repeated it.

    Args:
        jobs: all of an office.
        within_days: N; the N-th day after the finish counts to its end.
        as_of: number of the day up to whose end the records are read.
        alike: which calls repeat a job.
        watch: told between two steps.
    """
    visits = jobs.visits
    left_out = _left_out(jobs, within_days, as_of)
    watch(0, 0)
    trouble = visits.appliance[jobs.first].astype(np.int64)
    complaint = visits.complaint[jobs.first]
    calls = ~visits.called_off[jobs.first]
    if alike == "same":
        trouble = trouble * len(visits.complaints) + complaint
    else:
        calls &= complaint != 0
    starts = (left_out == 0) | (left_out == _code(LeftOut.WINDOW_NOT_OVER))
    asking = np.flatnonzero(starts)
    again = _first_calls_after(jobs, trouble, np.flatnonzero(calls), asking, watch)
    watch(0, 0)
    finished_on = jobs.finished_on[asking].astype(np.int64)
    came_on = np.where(again == NO_JOB, NO_DAY, jobs.received_on[again])
    back = came_on <= finished_on + within_days  # what is later than ``as_of`` was not read
    repeated_by = np.full(len(jobs), NO_JOB, np.int32)
    repeated_by[asking[back]] = again[back]
    days = np.zeros(len(jobs), np.int32)
    days[asking[back]] = (came_on - finished_on)[back]
    return Outcomes(left_out, repeated_by, days)


def _left_out(jobs: JobColumns, within_days: int, as_of: int) -> Codes:
    """Return why each job is left out; of several reasons the first of the definition's order."""
    visits, last = jobs.visits, jobs.last
    finished_on = jobs.finished_on.astype(np.int64)
    reasons = (
        (LeftOut.CALLED_OFF, visits.called_off[last]),
        (LeftOut.STILL_OPEN, (visits.finished[last] == NEVER) | (finished_on > as_of)),
        (LeftOut.STOP_AND_LEAVE, visits.left[last]),
        (LeftOut.PLANNED_SERVICE, visits.complaint[jobs.first] == 0),
        (LeftOut.WINDOW_NOT_OVER, finished_on + within_days > as_of),
    )
    codes = [_code(reason) for reason, _holds in reasons]
    return np.select([holds for _reason, holds in reasons], codes, 0).astype(np.int32)


def _first_calls_after(
    jobs: JobColumns, trouble: Ints, calls: Ints, asking: Ints, watch: Watch
) -> Ints:
    """Return for some jobs the first call about their trouble after their finish.

    Calls stand in the order of time, so that the place of a call stands for its time, and trouble
    and place together sort as one number.
    """
    visits, width = jobs.visits, len(jobs.visits) + 1
    line = trouble[calls] * width + jobs.first[calls]
    order = np.argsort(line, kind="stable")
    line, calls = line[order], calls[order]
    watch(0, 0)
    ended = np.searchsorted(visits.received, visits.finished[jobs.last[asking]], side="right")
    at = np.searchsorted(line, trouble[asking] * width + ended)
    # A clock set wrong can put a job's own call after its finish; it is still no repeat.
    own = jobs.first[asking] >= ended
    at += own & (_at(line, at) == trouble[asking] * width + jobs.first[asking])
    found = _at(line, at) // width == trouble[asking]
    return np.where(found, _at(calls, at), NO_JOB)


def _at(values: Ints, places: Ints) -> Ints:
    """Return values at places; beyond the last there is none, which is told as :data:`NO_JOB`."""
    return np.append(values, NO_JOB)[places]
