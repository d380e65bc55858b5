"""Worth a second look: what the office's own jobs say beyond chance, with the visits behind it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.progress import Watch, unwatched
from desk.base.texts import fixed
from desk.records.recurrence.groupings import Also, columns_for
from desk.records.recurrence.histories import failures_seen, observed
from desk.records.recurrence.jobs_behind import tell
from desk.records.recurrence.read_groups import fitted_parts, groups_of
from desk.records.recurrence.worked_choice import Worked, in_period, judge, worked_of
from desk.records.tables import Premises, Visit
from desk.records.views.recurrence import LookLine, RepeatChoice, WorthALook
from desk.trade.job_columns.groups import Groups
from desk.trade.job_columns.judge_columns import JobColumns
from desk.trade.job_columns.local_days import day_number, day_of
from desk.trade.job_columns.visit_columns import Coded, Coder, Codes, Flags, Ints
from desk.trade.recurrence.outliers import (
    LEAST,
    FailureCount,
    Outlier,
    OutlierKind,
    OutlierLine,
    Share,
    appliance_found,
    part_found,
    street_found,
    stuck_found,
    worth_a_look,
)
from desk.trade.recurrence.rate_comparison import FALSE_SHARE

LOOKED_BACK_DAYS = 3 * 365
"""So far back it is looked unless a period is given: what was long ago is no news (ours)."""

STUCK = frozenset({"element_stuck", "sense_port_blocked"})
STRAINERS = frozenset({"supply_strainer_blocked", "inlet_screen_blocked"})
HARD = frozenset({"hard", "very_hard"})
DAYS_A_YEAR = 365.25
VISITS_SHOWN = 50
_HOUSE_NUMBER = re.compile(r"^\s*\d+\s?[a-z]?\b[\s,]*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Seen:
    """Jobs with everything that they are looked at by."""

    worked: Worked
    done: Flags
    kinds: Groups
    models: Groups
    hardness: Groups
    streets: Groups
    parts: tuple[Ints, Codes, list[str], dict[str, str]]


def things_worth_a_look(
    session: Session, choice: RepeatChoice | None = None, *, watch: Watch = unwatched
) -> WorthALook:
    """Return what is worth a second look, that which stands for most jobs first.

    Args:
        session: looking.
        choice: window, complaint, period and day; its grouping and further groups do not matter.
        watch: told how far it is; it stops the work by raising.

    Raises:
        InputError: the office has no entry at all.
    """
    seen = _see(session, choice or RepeatChoice(), watch)
    found: list[tuple[Outlier, Ints]] = []
    looked_at = 0
    for these, count in (_appliances(session, seen), _stuck(seen), _parts(seen), _streets(seen)):
        watch(0, 0)
        found += these
        looked_at += count
    looks = worth_a_look((one for one, _jobs in found), looked_at=looked_at)
    behind = {(one.kind, one.key): jobs for one, jobs in found}
    return WorthALook(
        letterhead=seen.worked.letterhead,
        choice=seen.worked.choice,
        as_of=seen.worked.as_of,
        lines=_lines(session, seen.worked, looks, behind),
        looked_at=looked_at,
    )


def _lines(
    session: Session,
    worked: Worked,
    looks: Sequence[OutlierLine],
    behind: dict[tuple[OutlierKind, str], Ints],
) -> tuple[LookLine, ...]:
    if not looks:
        return ()
    newest = [
        jobs[np.argsort(-worked.jobs.finished_on[jobs], kind="stable")]
        for jobs in (behind[look.found.kind, look.found.key] for look in looks)
    ]
    told = tell(session, worked, [jobs[:VISITS_SHOWN] for jobs in newest])
    return tuple(
        LookLine(
            kind=look.found.kind.value,
            key=look.found.key,
            sentence=fixed(look.found.sentence),
            evidence=fixed(look.found.evidence),
            caution=fixed(look.caution),
            cases=look.found.cases,
            expected=look.found.expected,
            q_value=look.q_value,
            visits=visits,
        )
        for look, visits in zip(looks, told, strict=True)
    )


def _see(session: Session, choice: RepeatChoice, watch: Watch) -> _Seen:
    columns = {**columns_for(["kind", "model", "hardness_class"]), "street": _street()}
    judged = judge(session, choice, columns, watch)
    jobs, read = judged.jobs, judged.read
    since = choice.since or judged.as_of - timedelta(days=LOOKED_BACK_DAYS)
    asked = replace(choice, by="kind", since=since, only=())
    kinds = groups_of(session, jobs, "kind", read)
    fitted = fitted_parts(session, jobs.visits)
    every = np.ones(len(jobs), bool)
    return _Seen(
        worked=worked_of(judged, asked, every, every, kinds),
        done=in_period(jobs, asked) & judged.outcomes.finished,
        kinds=kinds,
        models=groups_of(session, jobs, "model", read),
        hardness=groups_of(session, jobs, "hardness_class", read),
        streets=_streets_of(jobs, read["street"]),
        parts=(jobs.job[fitted.visit].astype(np.int64), fitted.part, fitted.keys, fitted.labels),
    )


def _street() -> Also:
    joins = ((Premises, Premises.id == Visit.premises_id),)
    return Also(sa.func.coalesce(Premises.street, ""), joins)


def _streets_of(jobs: JobColumns, streets: Coded) -> Groups:
    """Return the street of each job: its premises' address without the number of the house."""
    keys = Coder()
    of_value = keys.codes([_HOUSE_NUMBER.sub("", str(street)).strip() for street in streets.values])
    code = of_value[streets.codes[jobs.first]]
    return Groups(np.arange(len(jobs)), code, keys.values, {})


def _appliances(session: Session, seen: _Seen) -> tuple[list[tuple[Outlier, Ints]], int]:
    """Hold each appliance's failures against those of the others of its kind."""
    worked = seen.worked
    odd: Counter[str] = Counter()
    watched = observed(session, worked, worked.choice, odd)
    jobs, _day = failures_seen(worked, watched, odd)
    of = worked.jobs.visits.appliance[worked.jobs.first]
    count = len(watched.born)
    failures = np.bincount(of[jobs], minlength=count)[:count]
    years = np.where(watched.seen, watched.left - watched.entered, 0) / DAYS_A_YEAR
    kind = np.zeros(count, np.int64)
    named = np.flatnonzero(of < count)
    kind[of[named]] = seen.kinds.code[named]
    of_kind = np.bincount(kind, failures, minlength=len(seen.kinds.keys))
    years_of_kind = np.bincount(kind, years, minlength=len(seen.kinds.keys))

    def held(at: int, number: str = "", label: str = "") -> Outlier:
        return appliance_found(
            number,
            label,
            FailureCount(int(failures[at]), float(years[at])),
            FailureCount(
                int(of_kind[kind[at]] - failures[at]),
                max(0.0, float(years_of_kind[kind[at]] - years[at])),
            ),
        )

    # What one test alone does not show, all tests together do not: only the others get names.
    shown = [
        at for at in np.flatnonzero(failures >= LEAST).tolist() if held(at).p_value <= FALSE_SHARE
    ]
    by_appliance = jobs[np.argsort(of[jobs], kind="stable")]
    starts = np.searchsorted(of[by_appliance], shown)
    mine = {
        at: by_appliance[start : start + failures[at]]
        for at, start in zip(shown, starts.tolist(), strict=True)
    }
    labels = _appliance_labels(session, worked, mine)
    return [(held(at, *labels[at]), mine[at]) for at in shown], int(watched.seen.sum())


def _appliance_labels(
    session: Session, worked: Worked, jobs: dict[int, Ints]
) -> dict[int, tuple[str, str]]:
    """Return number and name of appliances, by one of the jobs of each."""
    told = tell(session, worked, [some[:1] for some in jobs.values()]) if jobs else []
    return {
        at: (line.appliance, " ".join(part for part in (line.appliance, line.model) if part))
        for at, (line,) in zip(jobs, told, strict=True)
    }


def _stuck(seen: _Seen) -> tuple[list[tuple[Outlier, Ints]], int]:
    """Hold each model's stuck sensing elements in hard water against those in softer water."""
    visits, jobs = seen.worked.jobs.visits, seen.worked.jobs
    cause = visits.cause[jobs.last]
    known = np.array([key != "" for key in visits.causes], bool)[cause] & seen.done
    stuck = np.isin(cause, _codes(visits.causes, STUCK)) & known
    hard = np.isin(seen.hardness.code, _codes(seen.hardness.keys, HARD))
    told = np.array([key != "" for key in seen.hardness.keys], bool)[seen.hardness.code]
    width = len(seen.models.keys)

    def by_model(flags: Flags) -> Ints:
        found: Ints = np.bincount(seen.models.code[flags], minlength=width)
        return found

    hits, of = by_model(stuck & hard), by_model(known & hard)
    soft_hits, soft_of = by_model(stuck & told & ~hard), by_model(known & told & ~hard)
    found = []
    for code in np.flatnonzero(hits >= LEAST).tolist():
        if seen.models.keys[code]:
            one = stuck_found(
                seen.models.keys[code],
                Share(int(hits[code]), int(of[code])),
                Share(int(soft_hits[code]), int(soft_of[code])),
            )
            found.append((one, np.flatnonzero(stuck & hard & (seen.models.code == code))))
    return found, int((of > 0).sum())


def _parts(seen: _Seen) -> tuple[list[tuple[Outlier, Ints]], int]:
    """Hold the jobs at which a part was fitted against those with other parts only."""
    job, part, keys, labels = seen.parts
    width = max(1, len(keys))
    pairs = np.unique(job * width + part)
    job, part = pairs // width, pairs % width
    outcomes = seen.worked.outcomes
    counted, repeated = outcomes.counted & seen.done, outcomes.repeated & seen.done
    any_part = np.zeros(len(seen.done), bool)
    any_part[job] = True
    all_of, all_hits = int((any_part & counted).sum()), int((any_part & repeated).sum())
    of = np.bincount(part[counted[job]], minlength=width)
    hits = np.bincount(part[repeated[job]], minlength=width)
    found = [
        (
            part_found(
                keys[code],
                labels.get(keys[code], keys[code]),
                Share(int(hits[code]), int(of[code])),
                Share(all_hits - int(hits[code]), all_of - int(of[code])),
            ),
            job[(part == code) & repeated[job]],
        )
        for code in np.flatnonzero(hits >= LEAST).tolist()
    ]
    return found, int((of > 0).sum())


def _streets(seen: _Seen) -> tuple[list[tuple[Outlier, Ints]], int]:
    """Look for streets in which strainers and screens fill from a day on."""
    visits, jobs = seen.worked.jobs.visits, seen.worked.jobs
    blocked = seen.done & np.isin(visits.cause[jobs.last], _codes(visits.causes, STRAINERS))
    count = np.bincount(seen.streets.code[blocked], minlength=len(seen.streets.keys))
    candidates = [code for code in np.flatnonzero(count >= LEAST) if seen.streets.keys[code]]
    others = _days(jobs, seen.done & ~blocked) if candidates else []
    found = []
    for code in candidates:
        mine = blocked & (seen.streets.code == code)
        one = street_found(seen.streets.keys[code], _days(jobs, mine), others)
        if one is not None and one.since is not None:
            since = jobs.finished_on >= day_number(one.since)
            found.append((one, np.flatnonzero(mine & since)))
    streets = np.bincount(seen.streets.code[seen.done], minlength=1)
    return found, int((streets > 0).sum())


def _days(jobs: JobColumns, flags: Flags) -> Sequence[date]:
    days, counts = np.unique(jobs.finished_on[flags], return_counts=True)
    return [
        one
        for day, count in zip(days.tolist(), counts.tolist(), strict=True)
        for one in [day_of(day)] * count
    ]


def _codes(keys: Sequence[str], wanted: frozenset[str]) -> list[int]:
    return [code for code, key in enumerate(keys) if key in wanted]
