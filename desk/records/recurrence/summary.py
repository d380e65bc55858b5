"""The work behind what comes back: from the rows of an office to figures and visits.

It is imported where it is first asked for: NumPy takes its time.
"""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import fixed, message, say
from desk.records.learning.names_of_ids import labels_in
from desk.records.recurrence.columns import Also, Coded, Codes, Flags, Ints, read_visits
from desk.records.recurrence.definitions import definitions_of
from desk.records.recurrence.groupings import Groups, columns_for, groups_of
from desk.records.recurrence.judge_columns import (
    NO_JOB,
    REASONS,
    JobColumns,
    Outcomes,
    find,
    gather,
)
from desk.records.recurrence.local_days import NO_DAY, day_number, day_of
from desk.records.recurrence.odd_records import count_odd
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.tables import Appliance, ChangeSet, Premises, Visit
from desk.records.views.parties import Letterhead
from desk.records.views.recurrence import (
    PeriodBefore,
    RepeatChoice,
    RepeatRow,
    RepeatSummary,
    RepeatVisit,
    VisitsBehind,
    Watch,
)
from desk.trade.recurrence import repeat_rate
from desk.trade.reference.complaints import complaint_text
from desk.trade.water.quality_model import HardnessClass
from desk.trade.water.water_advice import HARDNESS_WORDS

_ASKED_AT_ONCE = 5_000


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
    """Read an office with some further columns, and judge its jobs."""
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
    """Work a choice out on all jobs of an office."""
    columns = columns_for([choice.by, *(name for name, _key in choice.only)])
    judged = judge(session, choice, columns, watch)
    jobs, read = judged.jobs, judged.read
    members = np.ones(len(jobs), bool)
    for name, key in choice.only:
        members &= _members(groups_of(session, jobs, name, read), key, len(jobs))
    groups = groups_of(session, jobs, choice.by, read)
    watch(0, 0)
    return worked_of(judged, choice, members, members & in_period(jobs, choice), groups)


def worked_of(
    judged: Judged, choice: RepeatChoice, members: Flags, chosen: Flags, groups: Groups
) -> Worked:
    """Return judged jobs with what was chosen of them, and their groups."""
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


def _members(groups: Groups, key: str, jobs: int) -> Flags:
    """Return which jobs belong to a group; to one that there is not belongs none."""
    found = np.zeros(jobs, bool)
    if key in groups.keys:
        found[groups.job[groups.code == groups.keys.index(key)]] = True
    return found


def summary_of(session: Session, worked: Worked) -> RepeatSummary:
    """Count what was worked out, by group."""
    jobs, outcomes, chosen = worked.jobs, worked.outcomes, worked.chosen
    counts = np.stack(
        [
            chosen & flags
            for flags in (
                outcomes.finished,
                outcomes.counted,
                outcomes.repeated,
                outcomes.finished & (jobs.came > 1),
            )
        ]
    )
    reasons = np.bincount(outcomes.left_out[chosen], minlength=len(REASONS) + 1)[1:]
    return RepeatSummary(
        letterhead=worked.letterhead,
        choice=worked.choice,
        as_of=worked.as_of,
        zone=str(worked.zone),
        rows=_rows(session, worked, counts),
        total=_row("", say(message("All jobs")), counts.sum(axis=1).tolist()),
        left_out=tuple(
            (reason.value, int(count)) for reason, count in zip(REASONS, reasons, strict=True)
        ),
        definitions=definitions_of(worked.choice),
        oddities=count_odd(session, worked.jobs, worked.outcomes, worked.chosen, worked.choice),
        before=_before(worked),
    )


def _before(worked: Worked) -> PeriodBefore | None:
    """Hold a period against the one of the same length right before; None without a period."""
    since, until = worked.choice.since, worked.choice.until
    if since is None or until is None:
        return None
    from desk.trade.recurrence.rate_comparison import rate_difference
    from desk.trade.recurrence.sentences import difference_sentence

    first = since - (until - since) - timedelta(days=1)
    earlier = replace(worked.choice, since=first, until=since - timedelta(days=1))
    then = worked.members & in_period(worked.jobs, earlier)
    counted, repeated = worked.outcomes.counted, worked.outcomes.repeated
    now, ago = (
        (int((flags & repeated).sum()), int((flags & counted).sum()))
        for flags in (worked.chosen, then)
    )
    return PeriodBefore(
        since=first,
        until=since - timedelta(days=1),
        repeats=ago[0],
        counted=ago[1],
        sentence=fixed(difference_sentence(rate_difference(now, ago))),
    )


def _rows(session: Session, worked: Worked, counts: Flags) -> tuple[RepeatRow, ...]:
    groups, by = worked.groups, worked.choice.by
    of_group = np.stack(
        [
            np.bincount(groups.code, weights=flags[groups.job], minlength=len(groups.keys))
            for flags in counts
        ],
        axis=1,
    )
    expected = _expected(worked) if by == "technician" else None
    label = label_of(session, worked)
    rows = [
        _row(
            groups.keys[at],
            label(groups.keys[at]),
            [int(count) for count in of_group[at]],
            expected=None if expected is None else float(expected[at]),
        )
        for at in np.flatnonzero(of_group[:, 0]).tolist()
    ]
    return tuple(sorted(rows, key=_rank))


def _row(
    key: str, label: str, counts: Sequence[int], *, expected: float | None = None
) -> RepeatRow:
    finished, counted, repeats, continued = counts
    rate = repeat_rate(repeats, counted)
    return RepeatRow(
        key=key,
        label=label,
        finished=finished,
        counted=counted,
        repeats=repeats,
        continued=continued,
        rate=rate.rate,
        low=rate.low,
        high=rate.high,
        expected=expected,
    )


def _rank(row: RepeatRow) -> tuple[bool, float, float, int, str]:
    """Order rows as :func:`desk.trade.recurrence.summarise` does."""
    return (row.low is None, -(row.low or 0), -(row.rate or 0), -row.counted, row.key)


def _expected(worked: Worked) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return the repeats that jobs of the same complaint and cause have in the whole office."""
    jobs, visits = worked.jobs, worked.jobs.visits
    counted = worked.chosen & worked.outcomes.counted
    kind = visits.complaint[jobs.first].astype(np.int64) * len(visits.causes)
    kind += visits.cause[jobs.last]
    _kinds, kind = np.unique(kind, return_inverse=True)
    of_kind = np.bincount(kind, weights=counted)
    back = np.bincount(kind, weights=counted & worked.outcomes.repeated)
    share = np.divide(back, of_kind, out=np.zeros_like(back), where=of_kind > 0)
    groups = worked.groups
    weights = np.where(counted, share[kind], 0.0)[groups.job]
    return np.bincount(groups.code, weights=weights, minlength=len(groups.keys))


def label_of(session: Session, worked: Worked) -> Callable[[str], str]:
    """Return what says how the groups are called, while the session is open."""
    by, labels, named = worked.choice.by, worked.groups.labels, labels_in(session)
    if by == "hardness_class":
        return lambda key: say(HARDNESS_WORDS[HardnessClass(key)]) if key else named(by, "")
    if by == "part":
        without = say(message("No part fitted"))
        return lambda key: labels.get(key, key) if key else without
    return lambda key: labels.get(key) or named(by, key)


def behind(
    session: Session, worked: Worked, key: str | None, offset: int, limit: int
) -> VisitsBehind:
    """Return a page of the finished jobs of a group, or of all of them."""
    places = _behind(worked, key)
    [told] = tell(session, worked, [places[offset : offset + limit]])
    return VisitsBehind(told, offset, len(places))


def behind_each(
    session: Session, worked: Worked, keys: Sequence[str], limit: int
) -> dict[str, VisitsBehind]:
    """Return the first page of each of some groups."""
    places = [_behind(worked, key) for key in keys]
    told = tell(session, worked, [one[:limit] for one in places])
    return {
        key: VisitsBehind(page, 0, len(all_of_it))
        for key, page, all_of_it in zip(keys, told, places, strict=True)
    }


def _behind(worked: Worked, key: str | None) -> Ints:
    """Return the places of the finished jobs of a group: first what came back, newest on top."""
    jobs, outcomes = worked.jobs, worked.outcomes
    shown = worked.chosen & outcomes.finished
    if key is not None:
        shown &= _members(worked.groups, key, len(jobs))
    places = np.flatnonzero(shown)
    back = outcomes.repeated_by[places] != NO_JOB
    by_end = (-places, -jobs.visits.finished[jobs.last[places]], ~back)
    return places[np.lexsort(by_end)]


@dataclass(frozen=True, slots=True)
class _Line:
    """What is told of a visit."""

    number: str
    complaint: str
    cause: str
    appliance: str
    maker: str
    model: str
    street: str


def tell(session: Session, worked: Worked, pages: Sequence[Ints]) -> list[tuple[RepeatVisit, ...]]:
    """Tell jobs to a person, page by page; their words are read for these alone."""
    if not pages:
        return []  # a summary without a row, such as that of a month in which nothing was finished
    jobs, outcomes = worked.jobs, worked.outcomes
    places = np.concatenate(pages)
    again = outcomes.repeated_by[places]
    wanted = np.concatenate((jobs.first[places], jobs.last[places], jobs.first[again[again >= 0]]))
    lines = _lines(session, worked, wanted)
    label = labels_in(session)

    def told(place: int) -> RepeatVisit:
        first, last = (lines[key] for key in _keys(worked, (jobs.first[place], jobs.last[place])))
        by, reason = int(outcomes.repeated_by[place]), int(outcomes.left_out[place])
        back = "" if by == NO_JOB else lines[_keys(worked, (jobs.first[by],))[0]].number
        return RepeatVisit(
            number=first.number,
            finished=day_of(int(jobs.finished_on[place])),
            appliance=first.appliance,
            model=" ".join(part for part in (first.maker, first.model) if part),
            premises=first.street,
            complaint=say(complaint_text(first.complaint)),
            cause=label("cause", last.cause),
            repeated_by=back,
            days_between=int(outcomes.days[place]) if back else None,
            left_out=REASONS[reason - 1].value if reason else "",
        )

    return [tuple(told(place) for place in page.tolist()) for page in pages]


def _keys(worked: Worked, places: Iterable[int]) -> list[uuid.UUID]:
    keys = worked.jobs.visits.keys
    return [uuid.UUID(bytes=keys[place].tobytes()) for place in places]


def _lines(session: Session, worked: Worked, places: Codes) -> dict[uuid.UUID, _Line]:
    found: dict[uuid.UUID, _Line] = {}
    for some in itertools.batched(_keys(worked, np.unique(places).tolist()), _ASKED_AT_ONCE):
        rows = session.execute(
            sa.select(
                Visit.id,
                Visit.number,
                Visit.complaint,
                Visit.cause,
                sa.func.coalesce(Appliance.number, ""),
                sa.func.coalesce(Appliance.maker, ""),
                sa.func.coalesce(Appliance.model, ""),
                sa.func.coalesce(Premises.street, ""),
            )
            .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
            .outerjoin(Premises, Premises.id == Visit.premises_id)
            .where(Visit.id.in_(some))
        )
        found |= {row[0]: _Line(*row[1:]) for row in rows}
    return found
