"""Estimates that remember their sources of error, so that a shared error is counted once.

Two readings of one thermometer carry the same calibration error, and in their difference it goes
away; two fills of one container carry the same error of its mark, and it does not average out.
An :class:`Estimate` therefore keeps what each independent source of error adds to it, with its
sign. `propagate` hands the sources on to first order; correlation needs no covariance beside it.

Source: JCGM 100:2008 (GUM), 5.1.2, 5.1.3 and 5.2; F.1.2.3 for correlation by shared sources.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.measuring.gum import Uncertain, combine, coverage_factor, probability_above

SURE_FROM = 0.95
"""A statement is made from this probability on; below, the answer is that it cannot be told."""
SURE_NOT_TO = 0.05
"""Up to this probability its contrary is stated."""


@dataclass(frozen=True, slots=True)
class Error:
    """What one independent source of error adds to an estimate.

    Attributes:
        source: which source; estimates that carry the same source share its error.
        name: the source in words.
        u: one standard deviation of it, in the estimate's unit; negative where the source
            pushes the other way.
        degrees_of_freedom: of the source; ``math.inf`` where its size is taken as known.
        lasting: True for the error of a thing that is used again, such as a thermometer's: it
            is the same before and after the work. What is read anew is off by something else.
    """

    source: str
    name: Message
    u: float
    degrees_of_freedom: float = math.inf
    lasting: bool = False


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with what every source of error adds to it; exact where there is none."""

    value: float
    errors: tuple[Error, ...] = ()

    @property
    def uncertain(self) -> Uncertain:
        """The standard uncertainty with its effective degrees of freedom."""
        return combine(Uncertain(abs(error.u), error.degrees_of_freedom) for error in self.errors)

    @property
    def standard_uncertainty(self) -> float:
        """One standard deviation, in the unit of the value."""
        return self.uncertain.u

    @property
    def expanded_uncertainty(self) -> float:
        """Half the width of the interval that holds the true value with 95 % probability."""
        uncertain = self.uncertain
        return uncertain.u * coverage_factor(uncertain.degrees_of_freedom) if uncertain.u else 0.0


def rectangular_error(
    source: str, name: Message, half_width: float, *, lasting: bool = False
) -> tuple[Error, ...]:
    """Return the error of a value known to lie within a half-width; none where that is 0.

    Args:
        source: which source of error.
        name: the source in words.
        half_width: how far off the value may be, in its unit.
        lasting: as of :class:`Error`.

    Raises:
        InputError: the half-width is negative, infinite or no number.

    Source: JCGM 100:2008, 4.3.7.
    """
    if not 0 <= half_width < math.inf:
        raise InputError(message("An accuracy must not be negative."), field=source)
    u = half_width / math.sqrt(3)
    return (Error(source, name, u, lasting=lasting),) if half_width else ()


def propagate(model: Callable[..., float], *inputs: Estimate) -> Estimate:
    """Carry estimates through a formula, to first order.

    Args:
        model: the formula; as many arguments as there are inputs.
        inputs: what it is computed from.

    Returns:
        The formula's value at the inputs' values, with each source's error times the formula's
        slope there. A source that reaches the result by two inputs is added up with its signs.

    Source:
        JCGM 100:2008, 5.1.2 and 5.2.2; slopes by differences, 5.1.3 note 2.
    """
    values = [estimate.value for estimate in inputs]
    sums: dict[str, Error] = {}
    for place, estimate in enumerate(inputs):
        if not estimate.errors:
            continue
        slope = _slope(model, values, place, estimate.standard_uncertainty)
        for error in estimate.errors:
            before = sums.get(error.source)
            sums[error.source] = replace(error, u=slope * error.u + (before.u if before else 0.0))
    return Estimate(model(*values), tuple(error for error in sums.values() if error.u))


def _slope(
    model: Callable[..., float], values: list[float], place: int, standard_uncertainty: float
) -> float:
    # A hundredth of u is small beside the curve, a millionth of the value large beside rounding.
    step = max(standard_uncertainty / 100, abs(values[place]) * 1e-6)
    above, below = values.copy(), values.copy()
    above[place] += step
    below[place] -= step
    return (model(*above) - model(*below)) / (above[place] - below[place])


class Telling(StrEnum):
    """What a measurement says about a statement."""

    YES = "yes"
    NO = "no"
    CANNOT_TELL = "cannot_tell"


def telling(probability: float) -> Telling:
    """Return what a probability allows to be said: yes from 95 %, no to 5 %."""
    if probability >= SURE_FROM:
        return Telling.YES
    return Telling.NO if probability <= SURE_NOT_TO else Telling.CANNOT_TELL


def probability_over(limit: float, estimate: Estimate) -> float:
    """Return the probability that the true value lies above an exact limit.

    Source: JCGM 106:2012, 7.2 and 7.3.
    """
    return probability_above(limit, estimate.value, estimate.uncertain)


def probability_within(half_width: float, estimate: Estimate) -> float:
    """Return the probability that the true value lies within a half-width of nothing.

    Source: JCGM 106:2012, 7.4.
    """
    return probability_over(-half_width, estimate) - probability_over(half_width, estimate)


class Trend(StrEnum):
    """What came of the work, as far as it can be seen through the uncertainty."""

    IMPROVED = "improved"
    NO_CHANGE = "no_change"
    WORSE = "worse"


@dataclass(frozen=True, slots=True)
class EstimateChange:
    """A quantity before and after the work.

    Attributes:
        trend: improved, no change that can be seen, or worse.
        difference: after less before; what both share (a container, a thermometer) is gone.
        sentence: the same in words.
    """

    trend: Trend
    difference: Estimate
    sentence: Message


def compare(before: Estimate, after: Estimate, *, higher_is_better: bool) -> EstimateChange:
    """Compare a quantity before and after by the uncertainty of the difference.

    A change is seen where the difference is larger than its expanded uncertainty (95 %). Of the
    errors only the lasting ones are the same in both, and go away where they are.

    Args:
        before: the quantity as it was.
        after: the same quantity later, in the same unit.
        higher_is_better: whether more of it is an improvement.

    Source: JCGM 100:2008, 5.2 (difference of correlated estimates) and 6.2.
    """
    difference = propagate(lambda left, found: left - found, after, _read_before(before))
    if abs(difference.value) <= difference.expanded_uncertainty:
        trend = Trend.NO_CHANGE
    elif (difference.value > 0) == higher_is_better:
        trend = Trend.IMPROVED
    else:
        trend = Trend.WORSE
    return EstimateChange(trend, difference, _TRENDS[trend])


def _read_before(estimate: Estimate) -> Estimate:
    """Return an estimate whose readings have nothing in common with those of another time."""
    return Estimate(
        estimate.value,
        tuple(
            error if error.lasting else replace(error, source=f"before: {error.source}")
            for error in estimate.errors
        ),
    )


_TRENDS = {
    Trend.IMPROVED: message("improved"),
    Trend.NO_CHANGE: message("no change that can be seen"),
    Trend.WORSE: message("worse"),
}
