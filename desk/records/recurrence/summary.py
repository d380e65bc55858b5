"""The summary of what came back, counted by group.

It is imported where it is first asked for: NumPy takes its time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np
from sqlalchemy.orm import Session

from desk.base.texts import fixed, message, say
from desk.records.learning.names_of_ids import labels_in
from desk.records.recurrence.definitions import definitions_of
from desk.records.recurrence.odd_records import count_odd
from desk.records.recurrence.worked_choice import Worked, in_period
from desk.records.views.recurrence import (
    PeriodBefore,
    RepeatRow,
    RepeatSummary,
)
from desk.trade.job_columns.judge_columns import REASONS
from desk.trade.job_columns.visit_columns import Flags
from desk.trade.recurrence import repeat_rate
from desk.trade.water.quality_model import HardnessClass
from desk.trade.water.water_advice import HARDNESS_WORDS


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
    """Order rows by the lower end of their interval: one unlucky job does not top the list."""
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
