"""How long a part lasts, where some are replaced and others still run."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.trade.recurrence.weibull import WeibullFit, check_lives, fit_weibull
from desk.trade.recurrence.wilson import two_sided_z

if TYPE_CHECKING:
    from desk.trade.recurrence.histories import Floats

# Products such as 10/12 * 9/10 miss a half by the last bit.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class PartLives:
    """The share of parts that still run, by time; a step at each time of :attr:`times`.

    Attributes:
        times: the distinct times at which parts were replaced, rising.
        survival: share that still runs after each.
        standard_error: of the share, by Greenwood's formula.
        low: lower limit of the share.
        high: upper limit.
        at_risk: how many were watched right before each.
        median: the time that half of them reach; None where more than half outlast what was seen.
        median_low: lower limit of the median, None where even it is not reached.
        median_high: upper limit, None where it is not reached.
        fitted: how many parts there are.
        replaced: how many of them were replaced.
        longest: the longest time that any was watched; beyond it nothing can be said.
        weibull: a Weibull fit, None below five replacements or where none fits.
        confidence: of all limits.
    """

    times: tuple[float, ...]
    survival: tuple[float, ...]
    standard_error: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    at_risk: tuple[int, ...]
    median: float | None
    median_low: float | None
    median_high: float | None
    fitted: int
    replaced: int
    longest: float
    weibull: WeibullFit | None
    confidence: float

    def still_running(self, time: float) -> tuple[float, float, float] | None:
        """Return the share that lasts longer than a time, and its limits.

        None where nothing was seen so long, or before the first replacement (all run; without a
        replacement there are no limits).
        """
        place = bisect_right(self.times, time) - 1
        if place < 0 or time > self.longest:
            return None
        return self.survival[place], self.low[place], self.high[place]


def part_life(
    durations: Sequence[float],
    failed: Sequence[bool],
    confidence: float = 0.95,
    *,
    entered: Sequence[float] | None = None,
) -> PartLives:
    """Return the product-limit estimate of how long parts last, with limits.

    ``S(t) = product over replacements s <= t of (1 - d/Y)``. Standard error by Greenwood; limits on
    ``log(-log S)``, which stay between 0 and 1. The median is the first time at which the curve is
    at a half or below, its limits the first times at which the limits are (R. Brookmeyer and
    J. Crowley, Biometrics 38 (1982) 29-41). Where the curve has come down to 0 its error is 0, and
    the upper limit stays what it was.

    Args:
        durations: how long each was seen to last, 0 or more, one unit throughout.
        failed: True where it was replaced then, False where it still ran.
        confidence: between 0 and 1, two-sided.
        entered: the age from which on each was watched; from 0 unless given.

    Raises:
        InputError: the lives or the confidence cannot be.

    Source:
        E. L. Kaplan and P. Meier, J. Am. Stat. Assoc. 53 (1958) 457-481; M. Greenwood 1926;
        J. D. Kalbfleisch and R. L. Prentice, The Statistical Analysis of Failure Time Data, 1980.
    """
    import numpy as np

    z = two_sided_z(confidence)
    life, ended = np.asarray(durations, float), np.asarray(failed, bool)
    start = np.zeros(len(life)) if entered is None else np.asarray(entered, float)
    check_lives(life, ended, start)
    times, deaths = np.unique(life[ended], return_counts=True)
    begun = np.searchsorted(np.sort(np.where(start == 0, -1.0, start)), times, side="left")
    at_risk = begun - np.searchsorted(np.sort(life), times, side="left")
    survival = np.cumprod(1 - deaths / at_risk)
    left = at_risk - deaths
    summed = np.cumsum(np.divide(deaths, at_risk * left, where=left > 0, out=np.zeros(len(times))))
    low, high = _limits(survival, np.sqrt(summed), z)
    return PartLives(
        times=tuple(times.tolist()),
        survival=tuple(survival.tolist()),
        standard_error=tuple((survival * np.sqrt(summed)).tolist()),
        low=tuple(low.tolist()),
        high=tuple(high.tolist()),
        at_risk=tuple(at_risk.tolist()),
        median=_first_at_half(times, survival),
        median_low=_first_at_half(times, low),
        median_high=_first_at_half(times, high),
        fitted=len(life),
        replaced=int(ended.sum()),
        longest=float(life.max()) if len(life) else 0.0,
        weibull=fit_weibull(durations, failed, confidence, entered=entered),
        confidence=confidence,
    )


def _limits(survival: Floats, error: Floats, z: float) -> tuple[Floats, Floats]:
    """Return limits on log(-log S); `error` is the standard error of log S."""
    import numpy as np

    runs = survival > 0
    share, spread = survival[runs], error[runs]
    reach = np.exp(z * spread / -np.log(share))
    low, high = np.zeros(len(survival)), np.ones(len(survival))
    low[runs], high[runs] = share**reach, share ** (1 / reach)
    if runs.any():
        high[~runs] = high[runs][-1]
    return low, high


def _first_at_half(times: Floats, share: Floats) -> float | None:
    import numpy as np

    places = np.flatnonzero(share <= 0.5 + _ROUNDING)
    return float(times[places[0]]) if len(places) else None
