"""Rates held apart: two of them by their difference, many of them each against the rest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.recurrence.wilson import repeat_rate

if TYPE_CHECKING:
    from desk.trade.recurrence.histories import Floats

FALSE_SHARE = 0.05
# As likely as what was seen, but for the last bits of a sum of logarithms.
_AS_LIKELY = 1 + 1e-7


@dataclass(frozen=True, slots=True)
class RateDifference:
    """The first rate less the second, with limits.

    Attributes:
        first: the first rate.
        second: the second rate.
        difference: first less second.
        low: lower limit of the difference.
        high: upper limit.
        told_apart: the limits leave 0 out: chance alone is not enough.
    """

    first: float
    second: float
    difference: float
    low: float
    high: float

    @property
    def told_apart(self) -> bool:
        """Return whether the limits leave 0 out."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class AgainstTheRest:
    """One group held against all other jobs, many groups looked at together.

    Attributes:
        p_value: how often chance alone tells the group and the rest as far apart, None where
            either has nothing counted.
        q_value: the share of false finds among all groups with a q as low or lower, None as above.
        above: True where its rate is above that of the rest.
        looked_at: how many groups were compared.
    """

    p_value: float | None
    q_value: float | None
    above: bool
    looked_at: int

    @property
    def stands_out(self) -> bool:
        """Return whether it is told from the rest, with the false-discovery correction."""
        return self.q_value is not None and self.q_value <= FALSE_SHARE


def rate_difference(
    first: tuple[int, int], second: tuple[int, int], confidence: float = 0.95
) -> RateDifference | None:
    """Return the difference of two rates of different jobs, with Newcombe's limits.

    The hybrid score interval: ``low = d - sqrt((p1 - l1)^2 + (u2 - p2)^2)`` and
    ``high = d + sqrt((u1 - p1)^2 + (p2 - l2)^2)``, with Wilson's limits l and u of each.

    Args:
        first: repeats and jobs counted of one group or period.
        second: those of the other; no job stands in both.
        confidence: between 0 and 1, two-sided.

    Returns:
        The difference, None where nothing was counted on one side.

    Raises:
        InputError: the counts contradict each other, or the confidence is no probability.

    Source:
        R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10.
    """
    one, two = repeat_rate(*first, confidence), repeat_rate(*second, confidence)
    if one.rate is None or one.low is None or one.high is None:
        return None
    if two.rate is None or two.low is None or two.high is None:
        return None
    difference = one.rate - two.rate
    return RateDifference(
        first=one.rate,
        second=two.rate,
        difference=difference,
        low=difference - math.hypot(one.rate - one.low, two.high - two.rate),
        high=difference + math.hypot(one.high - one.rate, two.rate - two.low),
    )


def against_the_rest(
    groups: Sequence[tuple[int, int]], total: tuple[int, int] | None = None
) -> tuple[AgainstTheRest, ...]:
    """Hold each group against all other jobs, with a correction for looking at many.

    The probabilities are Fisher's exact ones, both sides: every table with the same totals that is
    no likelier than the one seen. The exact test was taken before the mid-p one because the
    correction of Benjamini and Hochberg promises its share of false finds only where no
    probability is too small; it is cautious with few jobs.

    Args:
        groups: repeats and jobs counted, a group each.
        total: repeats and jobs of all together; their sum unless given. It must be given where a
            job stands in several groups, or not all groups are handed in.

    Returns:
        One result a group, in their order.

    Raises:
        InputError: counts contradict each other.

    Source:
        R. A. Fisher, J. R. Stat. Soc. 98 (1935) 39-82; Y. Benjamini and Y. Hochberg, J. R. Stat.
        Soc. B 57 (1995) 289-300.
    """
    all_repeats, all_counted = total or (
        sum(repeats for repeats, _ in groups),
        sum(counted for _, counted in groups),
    )
    seen: dict[tuple[int, int], float | None] = {}
    for group in groups:
        if group not in seen:
            seen[group] = _two_sided(*group, all_repeats, all_counted)
    p_values = [seen[group] for group in groups]
    q_values = false_discovery(p_values)
    compared = sum(p is not None for p in p_values)
    return tuple(
        AgainstTheRest(p, q, repeats * all_counted > all_repeats * counted, compared)
        for (repeats, counted), p, q in zip(groups, p_values, q_values, strict=True)
    )


def false_discovery(
    p_values: Sequence[float | None], looked_at: int | None = None
) -> list[float | None]:
    """Return q-values: the least share of false finds at which each would be found.

    Args:
        p_values: one a comparison; None where there was none, which is not counted.
        looked_at: how many were compared in all; as many as have a probability unless given.

    Source:
        Y. Benjamini and Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289-300, step-up.
    """
    order = sorted(
        (place for place, p in enumerate(p_values) if p is not None),
        key=lambda place: p_values[place] or 0.0,
    )
    q_values: list[float | None] = [None] * len(p_values)
    count = len(order) if looked_at is None else looked_at
    least = 1.0
    for rank in range(len(order), 0, -1):
        place = order[rank - 1]
        least = min(least, (p_values[place] or 0.0) * (count / rank))
        q_values[place] = least
    return q_values


def at_least(repeats: int, counted: int, all_repeats: int, all_counted: int) -> float:
    """Return Fisher's probability of as many repeats in a group, or more; all totals as they are.

    Args:
        repeats: repeats of the group.
        counted: jobs counted of the group.
        all_repeats: repeats of all together, the group's among them.
        all_counted: jobs counted of all together, the group's among them.

    Raises:
        InputError: the group has more than all together.
    """
    import numpy as np

    log_p, least = _log_tables(repeats, counted, all_repeats, all_counted)
    return min(1.0, float(np.exp(log_p[repeats - least :]).sum()))


def _two_sided(repeats: int, counted: int, all_repeats: int, all_counted: int) -> float | None:
    """Return Fisher's two-sided probability of a group against the rest."""
    import numpy as np

    log_p, least = _log_tables(repeats, counted, all_repeats, all_counted)
    if counted in {0, all_counted}:
        return None
    as_unlikely = log_p <= log_p[repeats - least] + math.log(_AS_LIKELY)
    return min(1.0, float(np.exp(log_p[as_unlikely]).sum()))


def _log_tables(
    repeats: int, counted: int, all_repeats: int, all_counted: int
) -> tuple[Floats, int]:
    """Return the logarithm of each table's probability, and the repeats of the first of them."""
    import numpy as np

    rest_repeats, rest = all_repeats - repeats, all_counted - counted
    if not (0 <= repeats <= counted and 0 <= rest_repeats <= rest):
        raise InputError(message("A group cannot have more repeats or jobs than all together."))
    least, most = max(0, all_repeats - rest), min(counted, all_repeats)
    k = np.arange(least, most + 1, dtype=float)
    log_p: Floats = (
        _log_choose(all_repeats, k)
        + _log_choose(all_counted - all_repeats, counted - k)
        - _log_choose(all_counted, np.array(float(counted)))
    )
    return log_p, least


def _log_choose(of: int, k: Floats) -> Floats:
    from scipy.special import gammaln

    chosen: Floats = gammaln(of + 1) - gammaln(k + 1) - gammaln(of - k + 1)
    return chosen
