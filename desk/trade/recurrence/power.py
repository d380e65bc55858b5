"""How failures grow with age: a power of it, fitted to one appliance or to many together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.recurrence.exponent import Spells, fit_exponent
from desk.trade.recurrence.histories import Fleet, Histories
from desk.trade.recurrence.wilson import two_sided_z

LEAST_UNITS_FOR_ROBUST = 20


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """Expected failures ``scale * age**shape``; above 1 they come faster with age.

    Attributes:
        shape: the exponent.
        scale: the factor, in failures per unit of age to the power of the shape (lambda of
            IEC 61164).
        mtbf_at_end: time between failures at the end of observation, in units of age; of several
            appliances, at the end of the longest.
        low: lower limit of the shape.
        high: upper limit of the shape.
        mtbf_low: lower limit of the time between failures, None where there is no formula: below
            two failures or with several appliances.
        mtbf_high: upper limit, infinite where it has none.
        failures: how many there were.
        confidence: of the limits.
    """

    shape: float
    scale: float
    mtbf_at_end: float
    low: float
    high: float
    mtbf_low: float | None
    mtbf_high: float | None
    failures: int
    confidence: float


def power_law(event_times: Sequence[float], end: float, confidence: float = 0.95) -> PowerLaw:
    """Fit a power of age to the failures of one appliance, by maximum likelihood, uncorrected.

    ``shape = n / sum ln(end / t)``, ``scale = n / end**shape``. The limits of the shape are exact
    given the number of failures: ``2 n shape / fitted`` is chi-square with 2n degrees of freedom,
    2(n - 1) where observation ended at a failure. Those of the time between failures are Crow's
    approximation, which the handbook prints.

    Args:
        event_times: ages at failures, above 0 and up to `end`, in any order.
        end: age to which it was observed; with a failure at that age, it ended there.
        confidence: between 0 and 1, two-sided.

    Raises:
        InputError: no failure before the end, or an age outside the observation.

    Source:
        L. H. Crow, SIAM Reliability and Biometry (1974) 379-410; MIL-HDBK-189 (1981); IEC 61164;
        NIST/SEMATECH e-Handbook 8.4.5.2. It is the plain estimate; for the handbook's modified
        one see :func:`corrected_power_law`.
    """
    times = _ages(event_times, end)
    count, total = len(times), math.fsum(math.log(end / age) for age in times)
    if total <= 0:
        raise InputError(message("There is no failure before the end of the observation."))
    ended_at_failure = max(times) == end
    return _power_law(count / total, count, end, confidence, ended_at_failure=ended_at_failure)


def corrected_power_law(
    event_times: Sequence[float], end: float, confidence: float = 0.95
) -> PowerLaw:
    """Return the handbook's modified estimate: the shape times (n - 1)/n, without its bias.

    Args:
        event_times: ages at failures, above 0 and up to `end`; at least two, three where
            observation ended at a failure, whose shape is taken times (n - 2)/n.
        end: age to which it was observed.
        confidence: between 0 and 1, two-sided.

    Raises:
        InputError: too few failures, or an age outside the observation.

    Source:
        NIST/SEMATECH e-Handbook 8.4.5.2 (modified maximum likelihood).
    """
    plain = power_law(event_times, end, confidence)
    ended_at_failure = max(event_times) == end
    kept = plain.failures - (2 if ended_at_failure else 1)
    if kept < 1:
        raise InputError(message("There are too few failures for the corrected estimate."))
    shape = plain.shape * kept / plain.failures
    count = plain.failures
    return PowerLaw(
        shape=shape,
        scale=_scale(count, end, shape),
        mtbf_at_end=end / (count * shape),
        low=plain.low,
        high=plain.high,
        mtbf_low=plain.mtbf_low,
        mtbf_high=plain.mtbf_high,
        failures=count,
        confidence=confidence,
    )


def pooled_power_law(histories: Histories, confidence: float = 0.95) -> PowerLaw | None:
    """Fit one power of age to many appliances, each with its own ages of entry and end.

    Maximum likelihood for one common law. The limits of the shape are those of the likelihood
    ratio, as if failures came independently; from 20 appliances on the wider of these and of
    limits from the scatter between appliances, so that appliances which differ, or failures that
    come in clusters, make no trend.

    Args:
        histories: one an appliance, or a :class:`Fleet`.
        confidence: between 0 and 1, two-sided.

    Returns:
        The fit, or None where no power fits: no failure, all at the last age, or all at the first.

    Raises:
        InputError: an age or the confidence cannot be.

    Source:
        L. H. Crow, Proc. Ann. Reliability and Maintainability Symp. (1990) 275-283, and
        MIL-HDBK-189C for several systems, both from memory; robust limits after J. F. Lawless and
        C. Nadeau, Technometrics 37 (1995) 158-168.
    """
    z = two_sided_z(confidence)
    fleet = Fleet.of(histories)
    spells = Spells.of(fleet.entered, fleet.observed_to, fleet.age)
    fit = fit_exponent(spells)
    if fit is None:
        return None
    low, high = fit.limits(z)
    if fleet.units >= LEAST_UNITS_FOR_ROBUST:
        reach = math.exp(
            z * fit.robust_error(fleet.unit[fleet.age > 0], fleet.units) / fit.exponent
        )
        low, high = min(low, fit.exponent / reach), max(high, fit.exponent * reach)
    end = spells.longest
    return PowerLaw(
        shape=fit.exponent,
        scale=fit.scale,
        mtbf_at_end=1 / (fit.scale * fit.exponent * end ** (fit.exponent - 1)),
        low=low,
        high=high,
        mtbf_low=None,
        mtbf_high=None,
        failures=spells.failures,
        confidence=confidence,
    )


def _ages(event_times: Sequence[float], end: float) -> list[float]:
    times = [float(age) for age in event_times]
    if not (math.isfinite(end) and end > 0 and all(0 < age <= end for age in times)):
        raise InputError(message("Failures must lie after the start and up to the end."))
    return times


def _power_law(
    shape: float, count: int, end: float, confidence: float, *, ended_at_failure: bool
) -> PowerLaw:
    from scipy.special import chdtri

    two_sided_z(confidence)
    tail, free = (1 - confidence) / 2, 2 * (count - ended_at_failure)
    low, high = (float(chdtri(free, p)) * shape / (2 * count) for p in (1 - tail, tail))
    mtbf_low, mtbf_high = _crow_limits(shape, count, end, confidence)
    return PowerLaw(
        shape=shape,
        scale=_scale(count, end, shape),
        mtbf_at_end=end / (count * shape),
        low=low,
        high=high,
        mtbf_low=mtbf_low,
        mtbf_high=mtbf_high,
        failures=count,
        confidence=confidence,
    )


def _scale(count: int, end: float, shape: float) -> float:
    """Return count / end ** shape; endless where that is more than a float holds."""
    try:
        return math.exp(math.log(count) - shape * math.log(end))
    except OverflowError:
        return math.inf


def _crow_limits(
    shape: float, count: int, end: float, confidence: float
) -> tuple[float | None, float | None]:
    """Return the approximate limits of the time between failures, e-Handbook 8.4.5.2."""
    if count < 2:  # noqa: PLR2004 - the correction needs two
        return None, None
    z = two_sided_z(confidence)
    mtbf = end / (shape * (count - 1))
    root = math.sqrt(count * z * z / 2 + z**4 / 16)
    narrow = count - z * math.sqrt(count / 2)
    both = mtbf * count * (count - 1)
    high = both / narrow**2 if narrow > 0 else math.inf
    return both / (count + z * z / 4 + root) ** 2, high
