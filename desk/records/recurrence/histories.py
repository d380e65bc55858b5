"""Failures of appliances against their age, and lives of parts, from the rows of an office.

An appliance is under observation from its first visit to the day on which the shop lost sight of
it: the day it was replaced, the last contact and a grace, or the day of the summary.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.progress import Watch
from desk.base.texts import message
from desk.records.recurrence.definitions import history_definitions
from desk.records.recurrence.read_columns import key_bytes
from desk.records.recurrence.read_groups import fitted_parts
from desk.records.recurrence.summary import label_of
from desk.records.recurrence.worked_choice import Worked, work
from desk.records.tables import Appliance
from desk.records.views.recurrence import (
    GRACE_DAYS,
    FleetGroup,
    Histories,
    LivesGroup,
    RepeatChoice,
)
from desk.trade.job_columns.judge_columns import JobColumns
from desk.trade.job_columns.local_days import NO_DAY, day_number, local_days
from desk.trade.job_columns.visit_columns import Codes, Flags, Ints
from desk.trade.recurrence.histories import Fleet

OF_APPLIANCE = (
    "appliance",
    "hardness_class",
    "install_year",
    "kind",
    "maker",
    "model",
    "sensing_kind",
    "supply_area",
)
"""Groupings by what an appliance is: each group has appliances of its own."""
OF_FAILURE = ("cause", "complaint", "part")
"""Groupings by what failed: all appliances are watched for each group."""


@dataclass(frozen=True, slots=True)
class Observation:
    """Between which days appliances were under observation, by their code; day numbers.

    Attributes:
        born: when it was installed; its first visit where that is not known or cannot be.
        assumed: True where ``born`` is only the first visit.
        entered: from which day on it was watched.
        left: to which day.
        seen: True where it was watched for any time within the period.
        replaced: the day on which it was replaced, :data:`NO_DAY` where it was not.
    """

    born: Ints
    assumed: Flags
    entered: Ints
    left: Ints
    seen: Flags
    replaced: Ints


def fleets(session: Session, choice: RepeatChoice, watch: Watch) -> Histories[FleetGroup]:
    """Return the failures of appliances against age; ages in days.

    Args:
        session: looking.
        choice: what is asked; its period bounds the observation, not the finishes.
        watch: told between the pieces of the work; what it raises stops it.

    Raises:
        InputError: failures cannot be grouped so.
    """
    if choice.by not in (*OF_APPLIANCE, *OF_FAILURE):
        known = ", ".join((*OF_APPLIANCE, *OF_FAILURE))
        raise InputError(
            message("Failures against age go by one of {known}.", known=known), field="by"
        )
    worked = work(session, replace(choice, since=None, until=None), watch)
    odd: Counter[str] = Counter()
    watched = observed(session, worked, choice, odd)
    watch(0, 0)
    jobs, day = failures_seen(worked, watched, odd)
    watch(0, 0)
    by_appliance = choice.by in OF_APPLIANCE
    made = (_by_appliance if by_appliance else _by_failure)(worked, watched, jobs, day)
    label = label_of(session, worked)
    groups = [FleetGroup(key, label(key), fleet) for key, fleet in made]
    groups.sort(key=lambda one: (-one.fleet.failures, one.key))
    return _histories(worked, choice, groups, odd)


def lives(session: Session, choice: RepeatChoice, watch: Watch) -> Histories[LivesGroup]:
    """Return how long fitted parts lasted, in days, by part or by any other grouping.

    Args:
        session: looking.
        choice: what is asked; its period bounds the days on which the parts were fitted.
        watch: told between the pieces of the work; what it raises stops it.
    """
    worked = work(session, replace(choice, since=None, until=None), watch)
    odd: Counter[str] = Counter()
    watched = observed(session, worked, worked.choice, Counter())
    fitted = _fittings(session, worked, watched, choice, odd)
    watch(0, 0)
    label = label_of(session, worked)
    groups = [
        LivesGroup(
            key, label(key), tuple(fitted.days[at].tolist()), tuple(fitted.failed[at].tolist())
        )
        for key, at in _split(worked, fitted)
    ]
    groups.sort(key=lambda one: (-sum(one.failed), -len(one.days), one.key))
    return _histories(worked, choice, groups, odd)


def _histories[G: (FleetGroup, LivesGroup)](
    worked: Worked, choice: RepeatChoice, groups: Sequence[G], odd: Counter[str]
) -> Histories[G]:
    return Histories(
        letterhead=worked.letterhead,
        choice=replace(choice, as_of=worked.as_of),
        as_of=worked.as_of,
        zone=str(worked.zone),
        groups=tuple(groups),
        definitions=history_definitions(choice),
        oddities=tuple((rule, count) for rule, count in odd.items() if count),
    )


def observed(
    session: Session, worked: Worked, choice: RepeatChoice, odd: Counter[str]
) -> Observation:
    """Say when each appliance was under observation, within the period that was asked for.

    Args:
        session: looking.
        worked: all jobs of the office.
        choice: its period bounds the observation.
        odd: takes what is odd of appliances, counted by rule.
    """
    visits = worked.jobs.visits
    count, today = len(visits.appliances), day_number(worked.as_of)
    came = np.flatnonzero(~visits.called_off & ~visits.unnamed)
    of = visits.appliance[came]
    received = local_days(visits.received[came], worked.zone)
    finished = local_days(visits.finished[came], worked.zone)
    first, last = np.full(count, NO_DAY, np.int64), np.full(count, -NO_DAY, np.int64)
    np.minimum.at(first, of, received)
    np.maximum.at(last, of, np.where(finished > today, received, np.maximum(received, finished)))
    installed, replaced = _appliance_days(session, worked.jobs)
    met = (first != NO_DAY) & _appliances_chosen(worked)
    unknown, too_late = installed == NO_DAY, (installed != NO_DAY) & (installed > first)
    left = np.minimum(np.minimum(last + GRACE_DAYS, replaced), today)
    entered = np.maximum(first, day_number(choice.since) if choice.since else first)
    observed_to = np.minimum(left, day_number(choice.until) if choice.until else left)
    odd["installed_not_known"] = int((met & unknown).sum())
    odd["installed_after_first_visit"] = int((met & too_late).sum())
    odd["lost_sight_of"] = int((met & (left == last + GRACE_DAYS) & (left < today)).sum())
    odd["no_time"] = int((met & (observed_to <= entered)).sum())
    return Observation(
        born=np.where(unknown | too_late, first, installed),
        assumed=unknown | too_late,
        entered=entered,
        left=observed_to,
        seen=met & (observed_to > entered),
        replaced=replaced,
    )


def _appliances_chosen(worked: Worked) -> Flags:
    """Return which appliances have a job, and one that the further groups let through."""
    jobs, count = worked.jobs, len(worked.jobs.visits.appliances)
    narrowed = any(name in OF_APPLIANCE for name, _key in worked.choice.only)
    of = jobs.visits.appliance[jobs.first[worked.chosen] if narrowed else jobs.first]
    found: Flags = np.bincount(of[of < count], minlength=count) > 0
    return found


def _appliance_days(session: Session, jobs: JobColumns) -> tuple[Ints, Ints]:
    """Return the days on which appliances were installed and replaced, by their code."""
    on_server = session.connection().dialect.name == "postgresql"
    code = {key: at for at, key in enumerate(jobs.visits.appliances.tolist())}
    installed, replaced = (np.full(len(code), NO_DAY, np.int64) for _turn in range(2))
    rows = session.connection().execute(
        sa.select(
            key_bytes(Appliance.id, on_server=on_server),
            Appliance.installed,
            Appliance.replaced_on,
        ).where(sa.or_(Appliance.installed.is_not(None), Appliance.replaced_on.is_not(None)))
    )
    for key, born, gone in rows:
        at = code.get(bytes(key))
        if at is not None:
            installed[at] = day_number(born) if born else NO_DAY
            replaced[at] = day_number(gone) if gone else NO_DAY
    return installed, replaced


def failures_seen(worked: Worked, watched: Observation, odd: Counter[str]) -> tuple[Ints, Ints]:
    """Return the jobs that began with a failure under observation, and the day of each.

    Args:
        worked: all jobs of the office.
        watched: when each appliance was under observation.
        odd: takes how many calls came after the appliance was replaced.
    """
    jobs, visits = worked.jobs, worked.jobs.visits
    named = np.flatnonzero(
        worked.chosen
        & ~visits.unnamed[jobs.first]
        & ~visits.called_off[jobs.first]
        & (visits.complaint[jobs.first] != 0)
    )
    of, day = visits.appliance[jobs.first[named]], jobs.received_on[named].astype(np.int64)
    odd["call_after_the_end"] = int((day > watched.replaced[of]).sum())
    brought_in = watched.assumed[of] & (day == watched.born[of])
    within = (watched.entered[of] <= day) & (day <= watched.left[of])
    kept = watched.seen[of] & within & ~brought_in
    return named[kept], day[kept]


def _by_appliance(
    worked: Worked, watched: Observation, jobs: Ints, day: Ints
) -> Iterator[tuple[str, Fleet]]:
    """Give the fleet of every group of appliances; an appliance is what its newest job says."""
    groups, first = worked.groups, worked.jobs.first
    of_job = worked.jobs.visits.appliance[first]
    named = np.flatnonzero(of_job < len(watched.born))
    group = np.full(len(watched.born), -1, np.int64)
    group[of_job[named]] = groups.code[named]
    seen = np.flatnonzero(watched.seen)
    seen = seen[np.argsort(group[seen], kind="stable")]
    of = of_job[jobs]
    order = np.argsort(group[of], kind="stable")
    of, day = of[order], day[order]
    place = np.empty(len(group), np.int64)
    place[seen] = np.arange(len(seen))
    codes = np.unique(group[seen])
    units = np.searchsorted(group[seen], [*codes, np.inf])
    failed = np.searchsorted(group[of], [*codes, np.inf])
    for at, code in enumerate(codes.tolist()):
        mine, failures = seen[units[at] : units[at + 1]], slice(failed[at], failed[at + 1])
        unit = place[of[failures]] - units[at]
        yield (
            groups.keys[code],
            _fleet(watched, mine, unit, day[failures] - watched.born[of[failures]]),
        )


def _by_failure(
    worked: Worked, watched: Observation, jobs: Ints, day: Ints
) -> Iterator[tuple[str, Fleet]]:
    """Give for every group of failures the fleet of all appliances with those failures alone."""
    groups, count = worked.groups, len(worked.jobs)
    seen = np.flatnonzero(watched.seen)
    place = np.full(len(watched.born), -1, np.int64)
    place[seen] = np.arange(len(seen))
    day_of_job = np.full(count, NO_DAY, np.int64)
    day_of_job[jobs] = day
    failing = day_of_job[groups.job] != NO_DAY
    job, code = groups.job[failing], groups.code[failing]
    of = worked.jobs.visits.appliance[worked.jobs.first[job]]
    for one in np.unique(code).tolist():
        mine = code == one
        age = day_of_job[job[mine]] - watched.born[of[mine]]
        yield groups.keys[one], _fleet(watched, seen, place[of[mine]], age)


def _fleet(watched: Observation, appliances: Ints, unit: Ints, age: Ints) -> Fleet:
    born = watched.born[appliances]
    return Fleet(
        (watched.entered[appliances] - born).astype(float),
        (watched.left[appliances] - born).astype(float),
        unit,
        age.astype(float),
    )


@dataclass(frozen=True, slots=True)
class _Fittings:
    """Parts that were fitted, each once: on which job, which part, how long it lasted."""

    job: Ints
    part: Codes
    parts: list[str]
    days: Ints
    failed: Flags


def _fittings(
    session: Session, worked: Worked, watched: Observation, choice: RepeatChoice, odd: Counter[str]
) -> _Fittings:
    """Follow every fitting to the next of the same part on the same appliance."""
    jobs, visits = worked.jobs, worked.jobs.visits
    found = fitted_parts(session, visits)
    visit, part = found.visit, found.part
    day = local_days(visits.finished[visit], worked.zone).astype(np.int64)
    over = (day <= day_number(worked.as_of)) & ~visits.called_off[visit]
    named = ~visits.unnamed[visit]
    odd["fitted_unfinished"] = int((~over).sum())
    odd["part_without_appliance"] = int((over & ~named).sum())
    kept = over & named
    visit, part, day = visit[kept], part[kept], day[kept]
    of = visits.appliance[visit].astype(np.int64)
    order = np.lexsort((day, part, of))
    visit, part, day, of = visit[order], part[order], day[order], of[order]
    follows = (of[1:] == of[:-1]) & (part[1:] == part[:-1])
    twice = np.r_[False, follows & (day[1:] == day[:-1])] if len(day) else np.zeros(0, bool)
    odd["fitted_twice_a_day"] = int(twice.sum())
    visit, part, day, of = visit[~twice], part[~twice], day[~twice], of[~twice]
    failed = np.zeros(len(day), bool)
    failed[:-1] = (of[1:] == of[:-1]) & (part[1:] == part[:-1])
    end = np.maximum(watched.left[of], day)
    end[:-1][failed[:-1]] = day[1:][failed[:-1]]
    job = jobs.job[visit].astype(np.int64)
    wanted = _wanted(worked, choice, job, day)
    return _Fittings(job[wanted], part[wanted], found.keys, (end - day)[wanted], failed[wanted])


def _wanted(worked: Worked, choice: RepeatChoice, job: Ints, day: Ints) -> Flags:
    """Return which fittings are looked at: of the period, and of the jobs that were chosen."""
    wanted: Flags = worked.chosen[job]
    if choice.since is not None:
        wanted = wanted & (day >= day_number(choice.since))
    if choice.until is not None:
        wanted = wanted & (day <= day_number(choice.until))
    return wanted


def _split(worked: Worked, fitted: _Fittings) -> Iterator[tuple[str, Ints]]:
    """Give the places of the fittings of every group."""
    by_part = worked.choice.by == "part"
    keys = fitted.parts if by_part else worked.groups.keys
    code = fitted.part if by_part else worked.groups.code[fitted.job]
    named = {key for name, key in worked.choice.only if name == "part"}
    order = np.argsort(code, kind="stable")
    codes = np.unique(code)
    ends = np.searchsorted(code[order], [*codes, np.inf])
    for at, one in enumerate(codes.tolist()):
        places = order[ends[at] : ends[at + 1]]
        if named:  # a job may have had other parts fitted besides
            places = places[[fitted.parts[part] in named for part in fitted.part[places]]]
        if len(places):
            yield keys[one], places
