"""Worth a second look: the few things in what comes back that chance does not explain.

Many places are looked at together: every appliance, model, part and street. Each gives one
probability that chance alone brings as much, or more; they are held together against false
discovery after Benjamini and Hochberg, over **all** that were looked at and not over those that
look bad. What is left is ranked by the jobs that it stands for beyond what was to be expected.

A comparison keeps its totals: how often both sides together had trouble is taken as it is, and
only how it fell on the one side is judged. So a shop that grows, or has much trouble everywhere,
gives nobody a bad name.

Sources:
    Conditional comparison of two Poisson rates: J. Przyborowski and H. Wilenski, Biometrika 31
    (1940) 313-323. Fisher's exact test: R. A. Fisher, J. R. Stat. Soc. 98 (1935) 39-82. Several
    dates of one street: Bonferroni. False discovery: Y. Benjamini and Y. Hochberg, J. R. Stat.
    Soc. B 57 (1995) 289-300. All four cited from memory, checked against SciPy in the tests.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.recurrence.rate_comparison import FALSE_SHARE, at_least, false_discovery
from desk.trade.scheduling.booking_text import say_day

LEAST = 3
"""Fewer cases than this are never shown, whatever their probability (ours)."""

FEW = 6
"""With fewer cases than this a caution about small numbers stands beside the sentence (ours)."""


class OutlierKind(StrEnum):
    """What sort of thing is worth a second look."""

    APPLIANCE = "appliance"
    STUCK_IN_HARD_WATER = "stuck_in_hard_water"
    PART = "part"
    STREET = "street"


@dataclass(frozen=True, slots=True)
class FailureCount:
    """How often something failed while it was watched.

    Attributes:
        failures: jobs with a complaint.
        years: how long it was watched, or all of a group together.
    """

    failures: int
    years: float


@dataclass(frozen=True, slots=True)
class Share:
    """How many of some jobs were of a sort."""

    hits: int
    of: int


@dataclass(frozen=True, slots=True)
class Outlier:
    """Something that was looked at, with what chance makes of it.

    Attributes:
        kind: what sort of thing it is.
        key: what it is, as the summaries know it.
        cases: jobs that count against it.
        expected: as many as were to be expected.
        p_value: the probability that chance alone brings as many, or more.
        sentence: what is to be seen, with its numbers.
        evidence: what it was compared with.
        since: the day from which on it is seen; None where it has none.
    """

    kind: OutlierKind
    key: str
    cases: int
    expected: float
    p_value: float
    sentence: Message
    evidence: Message
    since: date | None = None


@dataclass(frozen=True, slots=True)
class OutlierLine:
    """A line of the list.

    Attributes:
        found: what was found.
        q_value: the least share of false discoveries at which it would still be shown.
        caution: what to bear in mind about its numbers.
    """

    found: Outlier
    q_value: float
    caution: Message


def appliance_found(key: str, label: str, its: FailureCount, others: FailureCount) -> Outlier:
    """Hold an appliance's failures against those of the appliances that it is compared with.

    Args:
        key: the appliance's number.
        label: what it is called.
        its: how often it failed.
        others: how often the others of its kind failed, without it.

    Raises:
        InputError: a count or a time below nothing.
    """
    _sound(its.failures, others.failures, its.years, others.years)
    total, years = its.failures + others.failures, its.years + others.years
    share = its.years / years if years > 0 else 1.0
    rate = others.failures / others.years if others.years > 0 else 0.0
    return Outlier(
        OutlierKind.APPLIANCE,
        key,
        its.failures,
        rate * its.years,
        _binomial_tail(its.failures, total, share),
        message(
            "{what} failed {cases} times in {years} years; {expected} times were to be expected.",
            what=label,
            cases=its.failures,
            years=f"{its.years:.1f}",
            expected=f"{rate * its.years:.1f}",
        ),
        message(
            "The others of its kind failed {cases} times in {years} years.",
            cases=others.failures,
            years=f"{others.years:.0f}",
        ),
    )


def stuck_found(model: str, hard: Share, softer: Share) -> Outlier:
    """Hold a model's stuck sensing elements in hard water against those in softer water.

    Args:
        model: maker and model.
        hard: of its jobs in hard water, those whose cause was a stuck or blocked sensing element.
        softer: of its jobs in softer water.

    Raises:
        InputError: more hits than jobs.
    """
    expected = _expected(hard, softer)
    return Outlier(
        OutlierKind.STUCK_IN_HARD_WATER,
        model,
        hard.hits,
        expected,
        _fisher_tail(hard, softer),
        message(
            "{model}: the flow sensing stuck at {hits} of {of} jobs in hard water ({share}).",
            model=model,
            hits=hard.hits,
            of=hard.of,
            share=_percent(hard),
        ),
        message(
            "In softer water it was {hits} of {of} ({share}).",
            hits=softer.hits,
            of=softer.of,
            share=_percent(softer),
        ),
    )


def part_found(number: str, label: str, its: Share, others: Share) -> Outlier:
    """Hold the jobs at which a part was fitted against the jobs with other parts.

    Args:
        number: the part's number.
        label: its name.
        its: of the counted jobs with this part, those that came back.
        others: of the counted jobs with other parts only, those that came back.

    Raises:
        InputError: more hits than jobs.
    """
    return Outlier(
        OutlierKind.PART,
        number,
        its.hits,
        _expected(its, others),
        _fisher_tail(its, others),
        message(
            "{what} does not last: of {of} jobs that it was fitted at, {hits} came back ({share}).",
            what=label,
            of=its.of,
            hits=its.hits,
            share=_percent(its),
        ),
        message(
            "Of the jobs with other parts {hits} of {of} came back ({share}).",
            hits=others.hits,
            of=others.of,
            share=_percent(others),
        ),
    )


def street_found(street: str, filled: Sequence[date], others: Sequence[date]) -> Outlier | None:
    """Look for a day from which on strainers and screens of one street fill.

    Every day at which one was found blocked, but for the last few, is tried as the first, and that
    with the smallest probability is taken; having looked at so many is paid for after Bonferroni.

    Args:
        street: its name.
        filled: the days of its jobs whose cause was a blocked strainer or screen, in order.
        others: the days of all the other jobs of the shop, in order; how many of them lie after
            a day says how many of the street's would lie there by chance.

    Returns:
        What was found; None where the street had too few to say anything.
    """
    if len(filled) < LEAST:
        return None
    tried = {*filled[: len(filled) - LEAST + 1]}  # after the others too few would be left
    best, since = min((_after(day, filled, others), day) for day in tried)
    after = len(filled) - bisect_left(filled, since)
    before = len(filled) - after
    share = _share_after(since, others)
    return Outlier(
        OutlierKind.STREET,
        street,
        after,
        len(filled) * share,
        min(1.0, best * len(tried)),
        message(
            "{street}: strainers and screens were found blocked {after} times since {since}; of the"
            " jobs before it, at {before}.",
            street=street,
            after=after,
            since=say_day(since),
            before=before,
        ),
        message("Of all other jobs {share} fall into that time.", share=f"{share:.0%}"),
        since,
    )


def worth_a_look(
    found: Iterable[Outlier], *, looked_at: int | None = None, most: int = 10
) -> tuple[OutlierLine, ...]:
    """Return what chance does not explain, that which stands for most jobs first.

    Args:
        found: everything that was looked at, or all of it that had at least :data:`LEAST` cases.
        looked_at: how many were looked at in all; those not handed in count as found innocent.
        most: the longest list.

    Raises:
        InputError: more were found than looked at.
    """
    given = list(found)
    count = len(given) if looked_at is None else looked_at
    if count < len(given):
        raise InputError(message("More was found than was looked at."))
    q_values = false_discovery([one.p_value for one in given], count)
    lines = [
        OutlierLine(one, q_value, _caution(one, count))
        for one, q_value in zip(given, q_values, strict=True)
        if q_value is not None and q_value <= FALSE_SHARE
        if one.cases >= LEAST and one.cases > one.expected
    ]
    lines.sort(key=lambda line: (line.found.expected - line.found.cases, line.found.p_value))
    return tuple(lines[:most])


def _caution(one: Outlier, looked_at: int) -> Message:
    """Say how far a line can be relied on."""
    if one.cases < FEW:
        return message(
            "Only {cases} cases: a hint to go and look, no proof. {count} places were looked at.",
            cases=one.cases,
            count=looked_at,
        )
    return message(
        "Chance alone brings so much about once in {times}; {count} places were looked at.",
        times=_times(one.p_value),
        count=looked_at,
    )


def _times(p_value: float) -> str:
    """Say one over a probability with its first figure; past a million nobody counts."""
    if p_value < 1e-6:  # noqa: PLR2004 - the million of the sentence
        return "1,000,000"
    times = 1 / p_value
    step = 10 ** math.floor(math.log10(times))
    return f"{math.floor(times / step) * step:,}"


def _expected(its: Share, others: Share) -> float:
    _sound(its.hits, others.hits, its.of - its.hits, others.of - others.hits)
    return its.of * others.hits / others.of if others.of else float(its.of)


def _sound(*counts: float) -> None:
    if any(count < 0 for count in counts):
        raise InputError(message("Counts cannot be less than none."))


def _percent(share: Share) -> str:
    return f"{share.hits / share.of:.0%}" if share.of else "–"


def _share_after(day: date, days: Sequence[date]) -> float:
    return (len(days) - bisect_left(days, day)) / len(days) if days else 1.0


def _after(day: date, filled: Sequence[date], others: Sequence[date]) -> float:
    """Return Fisher's probability that so many of the street's jobs lie after a day."""
    after = len(filled) - bisect_left(filled, day)
    others_after = len(others) - bisect_left(others, day)
    return _fisher_tail(Share(after, len(filled)), Share(others_after, len(others)))


def _fisher_tail(its: Share, others: Share) -> float:
    """Return the probability of as many hits on this side, or more, with all totals as they are."""
    return at_least(its.hits, its.of, its.hits + others.hits, its.of + others.of)


def _binomial_tail(hits: int, of: int, share: float) -> float:
    """Return the probability of as many hits, or more, each with the given share."""
    if hits == 0:
        return 1.0
    from scipy.special import bdtrc

    return float(bdtrc(hits - 1, of, share))
