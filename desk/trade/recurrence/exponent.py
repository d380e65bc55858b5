"""One power of age, fitted to spells of observation by maximum likelihood.

Failures that recur with the intensity ``scale * b * t**(b - 1)``, and lives that end by the hazard
of a Weibull distribution, have the same likelihood, so both are fitted here:

    n ln(scale b) + (b - 1) sum ln t - scale * sum(end**b - start**b)

With the scale at its best, ``n / sum(end**b - start**b)``, its slope in ``b`` falls all the way.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from desk.trade.recurrence.histories import Counts, Floats

_LEAST, _MOST = 1e-3, 1e3
_TOLERANCE = 1e-10
_MOST_STEPS = 100


@dataclass(frozen=True, slots=True, eq=False)
class Spells:
    """Spells under observation and the failures in them, in units of the longest end.

    Attributes:
        log_start: logarithm of each start, minus infinity for 0.
        log_end: logarithm of each end.
        log_age: logarithm of each failure's age.
        longest: the longest end, in units of age.
    """

    log_start: Floats
    log_end: Floats
    log_age: Floats
    longest: float

    @classmethod
    def of(cls, start: Floats, end: Floats, age: Floats) -> Spells:
        """Return spells; failures at age 0, where no power of age can have them, are left out.

        Args:
            start: age at which each spell of observation began; n values.
            end: age at which each ended, in the same unit; n values.
            age: age at each failure within them, in the same unit; any number of values.
        """
        import numpy as np

        longest = float(end.max()) if len(end) else 0.0
        unit = longest or 1.0
        with np.errstate(divide="ignore"):
            return cls(
                np.log(start / unit), np.log(end / unit), np.log(age[age > 0] / unit), longest
            )

    @property
    def failures(self) -> int:
        """Return how many failures lie in them."""
        return len(self.log_age)

    def moments(self, exponent: float) -> tuple[float, float, float]:
        """Return sum of ``end**b - start**b``, and the means of ``ln`` and its square under it."""
        total, first, second = self.terms(exponent)
        mass = float(total.sum())
        return mass, float(first.sum()) / mass, float(second.sum()) / mass

    def terms(self, exponent: float) -> tuple[Floats, Floats, Floats]:
        """Return ``end**b - start**b`` of each spell, and of each times ``ln`` and its square."""
        import numpy as np

        ends, starts = np.exp(exponent * self.log_end), np.exp(exponent * self.log_start)
        log_end = np.where(ends > 0, self.log_end, 0.0)
        log_start = np.where(starts > 0, self.log_start, 0.0)
        return (
            ends - starts,
            ends * log_end - starts * log_start,
            ends * log_end**2 - starts * log_start**2,
        )


@dataclass(frozen=True, slots=True, eq=False)
class ExponentFit:
    """The likeliest exponent of some spells.

    Attributes:
        spells: what it was fitted to.
        exponent: the exponent.
        scale: the factor, per unit of age to the power of the exponent.
    """

    spells: Spells
    exponent: float
    scale: float

    @property
    def standard_error(self) -> float:
        """Return the exponent's standard error, from the curvature of the likelihood."""
        return 1 / math.sqrt(-_profile(self.spells, self.exponent)[2])

    @property
    def log_unit_error(self) -> float:
        """Return the standard error of the logarithm of the life ``scale**(-1/exponent)``."""
        spells, exponent = self.spells, self.exponent
        mass, mean_log, _ = spells.moments(exponent)
        log_life = math.log(mass / spells.failures) / exponent
        tilt = (mean_log - log_life) / exponent * self.standard_error
        return math.sqrt(1 / (spells.failures * exponent**2) + tilt**2)

    def limits(self, z: float) -> tuple[float, float]:
        """Return where the likelihood ratio reaches ``z**2``: its limits of the exponent."""
        floor = _profile(self.spells, self.exponent)[0] - z * z / 2

        def above(exponent: float) -> tuple[float, float]:
            likelihood, slope, _bend = _profile(self.spells, exponent)
            return likelihood - floor, slope

        return (
            _root_outside(above, self.exponent, 0.5, _LEAST),
            _root_outside(above, self.exponent, 2.0, _MOST),
        )

    def robust_error(self, unit: Counts, units: int) -> float:
        """Return the exponent's standard error from the scatter between the units.

        Args:
            unit: the unit of each failure; there is one spell a unit.
            units: how many there are.
        """
        import numpy as np

        spells, exponent = self.spells, self.exponent
        mass, mean_log, _ = spells.moments(exponent)
        total, first, _second = spells.terms(exponent)
        scale = spells.failures / mass
        count = np.bincount(unit, minlength=units)
        score = count * (1 / exponent - mean_log) + np.bincount(unit, spells.log_age, units)
        score += scale * (mean_log * total - first)
        return math.sqrt(float((score**2).sum())) * self.standard_error**2


def fit_exponent(spells: Spells) -> ExponentFit | None:
    """Return the likeliest exponent, None where there is none between a thousandth and thousand."""
    if not spells.failures:
        return None

    def slope(exponent: float) -> tuple[float, float]:
        return _profile(spells, exponent)[1:]

    low, high = _LEAST, 1.0
    while high < _MOST and slope(high)[0] > 0:
        low, high = high, high * 2
    if not (slope(low)[0] > 0 > slope(high)[0]):
        return None
    exponent = _root(slope, low, high)
    mass, _, _ = spells.moments(exponent)
    return ExponentFit(spells, exponent, spells.failures / mass * spells.longest ** (-exponent))


def _profile(spells: Spells, exponent: float) -> tuple[float, float, float]:
    """Return the likelihood with the scale at its best, its slope in the exponent, and its bend."""
    count, log_ages = spells.failures, float(spells.log_age.sum())
    mass, mean_log, mean_square = spells.moments(exponent)
    return (
        count * math.log(exponent / mass) + (exponent - 1) * log_ages,
        count / exponent + log_ages - count * mean_log,
        -count / exponent**2 - count * (mean_square - mean_log**2),
    )


def _root(function: Callable[[float], tuple[float, float]], above: float, below: float) -> float:
    """Return where a function is nothing, by Newton's steps kept between two bounds.

    Args:
        function: gives its value and its slope.
        above: where it is above nothing.
        below: where it is not; on either side of `above`.
    """
    at = math.sqrt(above * below)
    for _ in range(_MOST_STEPS):
        value, slope = function(at)
        above, below = (at, below) if value > 0 else (above, at)
        step = at - value / slope if slope else above
        kept = min(above, below) < step < max(above, below)
        following = step if kept else (above + below) / 2
        if abs(following - at) <= _TOLERANCE * at:
            return following
        at = following
    return at


def _root_outside(
    function: Callable[[float], tuple[float, float]], inside: float, times: float, last: float
) -> float:
    """Return where a function that is above nothing inside falls to nothing, going outward.

    Args:
        function: gives its value and its slope.
        inside: where to begin.
        times: what the place is multiplied by, again and again.
        last: how far to go; what is returned where it does not fall.
    """
    outside = inside * times
    while function(outside)[0] > 0:
        inside, outside = outside, outside * times
        if (outside > last) == (times > 1):
            return last
    return _root(function, inside, outside)
