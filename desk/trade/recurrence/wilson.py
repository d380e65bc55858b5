"""The share of jobs that came back, with Wilson's limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import message


@dataclass(frozen=True, slots=True)
class RepeatRate:
    """A share of jobs that came back, with Wilson's limits; rate None when nothing counted."""

    rate: float | None
    low: float | None
    high: float | None


def repeat_rate(repeats: int, counted: int, confidence: float = 0.95) -> RepeatRate:
    """Return the share of jobs that came back, with Wilson's score interval.

    Args:
        repeats: jobs that came back.
        counted: jobs that could have.
        confidence: between 0 and 1, two-sided.

    Returns:
        The rate with its limits; the lower limit is exactly 0 without repeats, the upper exactly
        1 without anything else, and all three are None where nothing was counted.

    Raises:
        InputError: the counts contradict each other, or the confidence is no probability.

    Source:
        E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212; method 3 of R. G. Newcombe,
        Statistics in Medicine 17 (1998) 857-872.
    """
    if not 0 <= repeats <= counted:
        raise InputError(message("Repeats must lie between none and the number of jobs counted."))
    z = two_sided_z(confidence)
    if counted == 0:
        return RepeatRate(None, None, None)
    rate = repeats / counted
    middle = rate + z * z / (2 * counted)
    reach = z * math.sqrt(rate * (1 - rate) / counted + (z / (2 * counted)) ** 2)
    scale = 1 + z * z / counted
    return RepeatRate(
        rate,
        0.0 if repeats == 0 else max(0.0, (middle - reach) / scale),
        1.0 if repeats == counted else min(1.0, (middle + reach) / scale),
    )


def two_sided_z(confidence: float) -> float:
    """Return how many standard deviations of a normal hold so much of it, two-sided.

    Raises:
        InputError: the confidence is no probability.
    """
    if not 0 < confidence < 1:
        raise InputError(message("The confidence must lie between 0 and 1."), field="confidence")
    from statistics import NormalDist  # a day list is marked without

    return NormalDist().inv_cdf((1 + confidence) / 2)
