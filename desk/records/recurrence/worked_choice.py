"""A choice of jobs, worked out on all jobs of an office.

It is imported where it is first asked for: NumPy takes its time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.progress import Watch
from desk.base.texts import message
from desk.records.recurrence.groupings import Also, columns_for
from desk.records.recurrence.read_columns import read_visits
from desk.records.recurrence.read_groups import groups_of
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.tables import ChangeSet
from desk.records.views.parties import Letterhead
from desk.records.views.recurrence import RepeatChoice
from desk.trade.job_columns.groups import Groups
from desk.trade.job_columns.judge_columns import JobColumns, Outcomes, find, gather
from desk.trade.job_columns.local_days import NO_DAY, day_number
from desk.trade.job_columns.visit_columns import Coded, Flags


@dataclass(frozen=True, slots=True)
class Worked:
    """A choice, worked out on all jobs of an office.

    Attributes:
        letterhead: of the shop.
        choice: what was asked, its ``as_of`` filled in.
        as_of: that day.
        zone: the office's.
        jobs: all of them.
        outcomes: of all of them.
        members: those that the further groups let through, of any time.
        chosen: those of them that the period lets through too.
        groups: of all of them.
    """

    letterhead: Letterhead
    choice: RepeatChoice
    as_of: date
    zone: ZoneInfo
    jobs: JobColumns
    outcomes: Outcomes
    members: Flags
    chosen: Flags
    groups: Groups


def newest_day(session: Session, zone: ZoneInfo) -> date:
    """Return the office's local date of its newest entry; it stands in for today.

    Raises:
        InputError: the office has no entry at all.
    """
    newest = session.scalar(sa.select(sa.func.max(ChangeSet.at)))
    if newest is None:
        raise InputError(message("There is nothing in this office yet."))
    when = newest if isinstance(newest, datetime) else datetime.fromisoformat(newest)
    return when.astimezone(zone).date()


@dataclass(frozen=True, slots=True)
class Judged:
    """All jobs of an office, read and judged, before anything is chosen or grouped.

    Attributes:
        letterhead: of the shop.
        as_of: the day up to whose end was read.
        zone: the office's.
        jobs: all of them.
        outcomes: of all of them.
        read: the further columns that were asked for, by their name.
    """

    letterhead: Letterhead
    as_of: date
    zone: ZoneInfo
    jobs: JobColumns
    outcomes: Outcomes
    read: dict[str, Coded]


def judge(
    session: Session, choice: RepeatChoice, columns: Mapping[str, Also], watch: Watch
) -> Judged:
    """Read an office with some further columns, and judge its jobs.

    Args:
        session: looking.
        choice: of it, the window, which complaints are alike, and the day it is looked from.
        columns: the further columns, by the name under which they are found again.
        watch: told between the pieces of the work; what it raises stops it.
    """
    letterhead = letterhead_of(session)
    zone = ZoneInfo(letterhead.zone)
    as_of = choice.as_of or newest_day(session, zone)
    visits = read_visits(session, list(columns.values()), until_us=end_of(as_of, zone), watch=watch)
    jobs = gather(visits, zone)
    outcomes = find(
        jobs,
        within_days=choice.within_days,
        as_of=day_number(as_of),
        alike=choice.complaint,
        watch=watch,
    )
    watch(0, 0)
    read = dict(zip(columns, visits.also, strict=True))
    return Judged(letterhead, as_of, zone, jobs, outcomes, read)


def work(session: Session, choice: RepeatChoice, watch: Watch) -> Worked:
    """Work a choice out on all jobs of an office.

    Args:
        session: looking.
        choice: what is asked.
        watch: told between the pieces of the work; what it raises stops it.
    """
    columns = columns_for([choice.by, *(name for name, _key in choice.only)])
    judged = judge(session, choice, columns, watch)
    jobs, read = judged.jobs, judged.read
    members = np.ones(len(jobs), bool)
    for name, key in choice.only:
        members &= members_of(groups_of(session, jobs, name, read), key, len(jobs))
    groups = groups_of(session, jobs, choice.by, read)
    watch(0, 0)
    return worked_of(judged, choice, members, members & in_period(jobs, choice), groups)


def worked_of(
    judged: Judged, choice: RepeatChoice, members: Flags, chosen: Flags, groups: Groups
) -> Worked:
    """Return judged jobs with what was chosen of them, and their groups.

    Args:
        judged: all jobs of the office.
        choice: what was asked.
        members: which jobs the further groups let through, one truth value a job.
        chosen: which of them the period lets through too, likewise.
        groups: of all jobs.
    """
    return Worked(
        letterhead=judged.letterhead,
        choice=replace(choice, as_of=judged.as_of),
        as_of=judged.as_of,
        zone=judged.zone,
        jobs=judged.jobs,
        outcomes=judged.outcomes,
        members=members,
        chosen=chosen,
        groups=groups,
    )


def end_of(day: date, zone: ZoneInfo) -> int:
    """Return the end of a local day, in microseconds since 1970."""
    end = datetime.combine(day + timedelta(days=1), time(fold=1), zone)
    return round(end.timestamp()) * 1_000_000


def in_period(jobs: JobColumns, choice: RepeatChoice) -> Flags:
    """Return which jobs were finished within the period of a choice."""
    chosen = np.ones(len(jobs), bool)
    if choice.since is None and choice.until is None:
        return chosen
    chosen &= (jobs.finished_on != NO_DAY) & ~jobs.visits.called_off[jobs.last]
    if choice.since is not None:
        chosen &= jobs.finished_on >= day_number(choice.since)
    if choice.until is not None:
        chosen &= jobs.finished_on <= day_number(choice.until)
    return chosen


def members_of(groups: Groups, key: str, jobs: int) -> Flags:
    """Return which jobs belong to a group; to one that there is not belongs none.

    Args:
        groups: of all jobs.
        key: of one of them.
        jobs: how many jobs there are: the length of what is returned.
    """
    found = np.zeros(jobs, bool)
    if key in groups.keys:
        found[groups.job[groups.code == groups.keys.index(key)]] = True
    return found
