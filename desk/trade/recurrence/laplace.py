"""Is it getting worse: Laplace's test, and the time between failures where there is no trend."""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.recurrence.histories import Fleet, Histories
from desk.trade.recurrence.wilson import two_sided_z

LEAST_UNITS_FOR_ROBUST = 20
LEAST_UNITS_FOR_SCATTER = 5
# Where every appliance's failures lie evenly, their scatter is rounding alone.
_NO_SCATTER = 1e-12


@dataclass(frozen=True, slots=True)
class LaplaceTrend:
    """Whether failures lean towards the end of observation.

    Attributes:
        z: standard normal without a trend; above 0 failures come faster with age, below 0 slower.
        p_value: how often chance alone brings a z as far from 0, on either side.
        lower_tail: how often chance alone brings a z as low; the handbook's probability.
        failures: how many there were.
        units: appliances with a failure.
    """

    z: float
    p_value: float
    lower_tail: float
    failures: int
    units: int = 1


@dataclass(frozen=True, slots=True)
class Mtbf:
    """Mean time between failures that come at a steady rate, in the unit of the time given.

    Attributes:
        mtbf: the estimate; None without a failure.
        low: lower limit.
        high: upper limit; infinite without a failure.
        failures: how many there were.
        total_time: how long was watched, all appliances together.
        confidence: of the limits.
    """

    mtbf: float | None
    low: float
    high: float
    failures: int
    total_time: float
    confidence: float


def pooled_laplace_trend(histories: Histories) -> LaplaceTrend | None:
    """Test the failures of many appliances together, each against its own span of observation.

    Each appliance is compared with itself, so that good and bad ones mixed, or old ones entered
    late, make no trend. Below 20 appliances with failures the variance is that of failures that
    come independently; from there on it is taken from the appliances' own scatter, so that repeats
    soon after a repair make no trend either.

    Args:
        histories: one an appliance, or a :class:`Fleet`.

    Returns:
        The test, None without failures.

    Raises:
        InputError: an age cannot be.

    Source:
        NIST/SEMATECH e-Handbook 8.2.3.4 for one system, ``z = sum(t - end/2) / (end *
        sqrt(n / 12))``; for several D. R. Cox and P. A. W. Lewis, The Statistical Analysis of
        Series of Events, 1966 (normal from four failures on). Robust form: J. F. Lawless,
        C. Cigsar and R. J. Cook, Technometrics 54 (2012) 147-158. Both from memory; their level
        is simulated in ``tests/benchmarks/test_coverage.py``.
    """
    import numpy as np

    fleet = Fleet.of(histories)
    if not fleet.failures:
        return None
    middle = (fleet.entered + fleet.observed_to) / 2
    lean = np.bincount(fleet.unit, fleet.age - middle[fleet.unit], minlength=fleet.units)
    count = np.bincount(fleet.unit, minlength=fleet.units)
    units = int((count > 0).sum())
    steady = float((count * (fleet.observed_to - fleet.entered) ** 2).sum()) / 12
    if steady <= 0:
        return None
    scatter = float((lean**2).sum())
    robust = units >= LEAST_UNITS_FOR_ROBUST and scatter > _NO_SCATTER * steady
    variance = scatter if robust else steady
    return _laplace(float(lean.sum()), variance, failures=fleet.failures, units=units)


def _laplace(lean: float, variance: float, *, failures: int, units: int) -> LaplaceTrend:
    z = lean / math.sqrt(variance)
    return LaplaceTrend(
        z=z,
        p_value=math.erfc(abs(z) / math.sqrt(2)),
        lower_tail=math.erfc(-z / math.sqrt(2)) / 2,
        failures=failures,
        units=units,
    )


def mtbf_limits(
    failures: int, total_time: float, confidence: float = 0.95, time_terminated: bool = True
) -> Mtbf:
    """Return the mean time between failures with two-sided chi-square limits.

    Low is ``2 T / chi2(1 - a/2; 2r + 2)``, high ``2 T / chi2(a/2; 2r)`` with ``a`` one less the
    confidence; where observation ended at a failure both have 2r. Without failures the estimate
    is None and high infinite; low keeps a/2, so that limits hold their level whatever the count.

    Args:
        failures: how many.
        total_time: how long was watched, all appliances together.
        confidence: between 0 and 1, two-sided.
        time_terminated: False where observation ended at a failure.

    Raises:
        InputError: counts, time or confidence cannot be.

    Source:
        NIST/SEMATECH e-Handbook 8.4.5.1.
    """
    from scipy.special import chdtri

    two_sided_z(confidence)
    if failures < 0 or not (math.isfinite(total_time) and total_time > 0):
        raise InputError(message("The time watched must be above 0, and no count below."))
    if not failures and not time_terminated:
        raise InputError(message("An observation that ended at a failure has one at least."))
    tail = (1 - confidence) / 2
    low = 2 * total_time / float(chdtri(2 * failures + 2 * time_terminated, tail))
    if not failures:
        return Mtbf(None, low, math.inf, failures, total_time, confidence)
    high = 2 * total_time / float(chdtri(2 * failures, 1 - tail))
    return Mtbf(total_time / failures, low, high, failures, total_time, confidence)


def fleet_mtbf(histories: Histories, confidence: float = 0.95) -> Mtbf | None:
    """Return the mean time between failures of many appliances, over all the time watched.

    The limits are the chi-square ones, and from five appliances on the wider of these and of
    limits from the appliances' own scatter: where some fail much more often than others, or
    repairs do not hold, failures do not come at one steady rate, and chi-square limits are too
    narrow.

    Returns:
        The time between failures, None where nothing was watched for any time.

    Raises:
        InputError: an age or the confidence cannot be.

    Source:
        e-Handbook 8.4.5.1; scatter of a ratio of totals (W. G. Cochran, Sampling Techniques,
        section 6.4, from memory), on the logarithm, with Student's t of one less the appliances.
    """
    import numpy as np
    from scipy.special import stdtrit

    fleet = Fleet.of(histories)
    if fleet.total_time <= 0:
        return None
    steady = mtbf_limits(fleet.failures, fleet.total_time, confidence)
    if steady.mtbf is None or fleet.units < LEAST_UNITS_FOR_SCATTER:
        return steady
    count = np.bincount(fleet.unit, minlength=fleet.units)
    apart = count - (fleet.observed_to - fleet.entered) / steady.mtbf
    scatter = math.sqrt(float((apart**2).sum())) / fleet.failures
    reach = math.exp(float(stdtrit(fleet.units - 1, (1 + confidence) / 2)) * scatter)
    return Mtbf(
        steady.mtbf,
        min(steady.low, steady.mtbf / reach),
        max(steady.high, steady.mtbf * reach),
        steady.failures,
        steady.total_time,
        confidence,
    )
