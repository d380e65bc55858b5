"""A summary of repeats made job by job: what the one on columns is held to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass

from desk.trade.recurrence.repeat_rule import Job, LeftOut, Outcome
from desk.trade.recurrence.wilson import repeat_rate


@dataclass(frozen=True, slots=True)
class SummaryRow:
    """One group of the summary.

    Attributes:
        key: what its jobs have in common.
        finished: every finished job of the group, counted or not.
        counted: those that start a window which is over.
        repeats: those of the counted that came back.
        rate: repeats over counted, None when nothing counted.
        low: lower end of Wilson's interval.
        high: upper end.
    """

    key: Hashable
    finished: int
    counted: int
    repeats: int
    rate: float | None
    low: float | None
    high: float | None


def summarise(found: Iterable[Outcome], key: Callable[[Job], Hashable]) -> list[SummaryRow]:
    """Group outcomes and rank the groups by the lower end of their interval.

    Ranking by the lower end keeps one unlucky job from topping the list.

    Args:
        found: outcomes of `find_repeats`.
        key: what a job is grouped by.
    """
    finished: Counter[Hashable] = Counter()
    counted: Counter[Hashable] = Counter()
    repeats: Counter[Hashable] = Counter()
    for outcome in found:
        group = key(outcome.job)
        finished[group] += outcome.left_out not in {LeftOut.CALLED_OFF, LeftOut.STILL_OPEN}
        counted[group] += outcome.counted
        repeats[group] += outcome.repeated
    rows = [
        _summary_row(group, finished[group], counted[group], repeats[group])
        for group in finished
        if finished[group]
    ]
    return sorted(rows, key=_rank)


def count_left_out(found: Iterable[Outcome]) -> dict[LeftOut, int]:
    """Count the jobs left out of the rates by reason; every reason has its number."""
    counts = Counter(outcome.left_out for outcome in found)
    return {reason: counts[reason] for reason in LeftOut}


def _summary_row(key: Hashable, finished: int, counted: int, repeats: int) -> SummaryRow:
    rate = repeat_rate(repeats, counted)
    return SummaryRow(key, finished, counted, repeats, rate.rate, rate.low, rate.high)


def _rank(row: SummaryRow) -> tuple[bool, float, float, int, str]:
    """Order rows by the lower end, then the rate, then the number of jobs; uncounted ones last."""
    return (row.low is None, -(row.low or 0), -(row.rate or 0), -row.counted, str(row.key))
