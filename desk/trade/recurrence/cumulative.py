"""The mean cumulative number of failures an appliance has had by an age, with limits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.recurrence.histories import Fleet, Histories
from desk.trade.recurrence.wilson import two_sided_z

if TYPE_CHECKING:
    from desk.trade.recurrence.histories import Counts, Floats

LEAST_UNITS = 2


@dataclass(frozen=True, slots=True)
class MeanCumulative:
    """Failures per appliance by age; a step at each age of :attr:`ages`.

    Attributes:
        ages: the distinct ages at failures, rising.
        mean: mean number of failures per appliance up to and with each age.
        standard_error: of the mean; None with fewer than two appliances, whose scatter cannot
            be told.
        low: lower limit, None as above.
        high: upper limit, None as above.
        under_observation: how many appliances were observed at each age.
        counted_from: the age from which on failures were counted.
        units: how many appliances there are.
        failures: how many failures were counted.
    """

    ages: tuple[float, ...]
    mean: tuple[float, ...]
    standard_error: tuple[float, ...] | None
    low: tuple[float, ...] | None
    high: tuple[float, ...] | None
    under_observation: tuple[int, ...]
    counted_from: float
    units: int
    failures: int


def mean_cumulative(
    histories: Histories, confidence: float = 0.95, *, least_under_observation: int = 1
) -> MeanCumulative:
    """Return the mean cumulative number of failures per appliance against age, with limits.

    ``M(t) = sum over ages s <= t of d(s) / Y(s)``, with ``d(s)`` failures at age ``s`` among the
    ``Y(s)`` appliances observed there: those entered before ``s`` and observed to ``s`` or beyond.
    The variance is robust: nothing is assumed of how failures of one appliance hang together,

        var M(t) = sum over appliances i of [sum over s <= t of
                   (dN_i(s) - d(s) / Y(s)) / Y(s), where i is observed at s]^2.

    Limits are ``M exp(+-z SE / M)``: they stay above nothing and held their level better than
    ``M +- z SE`` in simulation (``tests/benchmarks/test_coverage.py``). Each limit holds at one
    age, not for the whole curve. With few appliances they are too narrow, see
    :func:`desk.trade.recurrence.sentences.cumulative_caution`.

    Args:
        histories: one an appliance, or a :class:`Fleet`; entered late where `entered` says so.
        confidence: between 0 and 1, two-sided.
        least_under_observation: failures count from the age at which so many are observed for
            the first time, to the last age at which they are; a curve that begins with one
            old appliance would carry its chance along.

    Raises:
        InputError: an age or the confidence cannot be.

    Source:
        J. F. Lawless and C. Nadeau, Technometrics 37 (1995) 158-168; W. B. Nelson, Recurrent
        Events Data Analysis, SIAM 2003. Log limits: Nelson, there.
    """
    import numpy as np

    z = two_sided_z(confidence)
    if least_under_observation < 1:
        raise InputError(message("At least one appliance must be under observation."))
    fleet = Fleet.of(histories)
    ages, failed = np.unique(fleet.age, return_counts=True)
    observed = _observed_at(fleet, ages)
    enough = np.flatnonzero(observed >= least_under_observation)
    span = slice(enough[0], enough[-1] + 1) if len(enough) else slice(0, 0)
    ages, failed, observed = ages[span], failed[span], observed[span]
    mean = np.cumsum(failed / observed)
    error = low = high = None
    if fleet.units >= LEAST_UNITS:
        error = np.sqrt(_robust_variance(fleet, ages, failed, observed))
        reach = np.exp(z * error / mean)
        low, high = mean / reach, mean * reach
    return MeanCumulative(
        ages=tuple(ages.tolist()),
        mean=tuple(mean.tolist()),
        standard_error=None if error is None else tuple(error.tolist()),
        low=None if low is None else tuple(low.tolist()),
        high=None if high is None else tuple(high.tolist()),
        under_observation=tuple(observed.tolist()),
        counted_from=_first_age(fleet, least_under_observation),
        units=fleet.units,
        failures=int(failed.sum()),
    )


def _observed_at(fleet: Fleet, ages: Floats) -> Counts:
    """Return how many were observed at each age: entered before it, observed to it or beyond."""
    import numpy as np

    entered = np.searchsorted(np.sort(_watched_from(fleet)), ages, side="left")
    gone = np.searchsorted(np.sort(fleet.observed_to), ages, side="left")
    return entered - gone


def _watched_from(fleet: Fleet) -> Floats:
    """Return the ages after which failures count; from age 0, failures of that day count too."""
    import numpy as np

    return np.where(fleet.entered == 0, -1.0, fleet.entered)


def _robust_variance(fleet: Fleet, ages: Floats, failed: Counts, observed: Counts) -> Floats:
    """Return the sum over appliances of their squared influences, at each age.

    An appliance that entered before age a and is observed at t has the influence
    ``own(t) - (H(t) - H(a))``, with ``own`` the sum of 1/Y at its own failures and ``H`` the sum
    of d/Y^2 at all; after its last age the influence stays. With ``base = own + H(a)`` the sum of
    squares over those observed is ``sum base^2 - 2 H sum base + H^2 count``, which running sums
    over failures, entries and exits give without a matrix of appliances by ages.
    """
    import numpy as np

    if not len(ages):
        return np.empty(0)
    hazard = np.concatenate([[0.0], np.cumsum(failed / observed**2.0)])
    enters = np.searchsorted(ages, _watched_from(fleet), side="right")
    leaves = np.searchsorted(ages, fleet.observed_to, side="right")
    unit, place = _failures_in_order(fleet, ages)
    weight = 1.0 / observed[place]
    own = np.bincount(unit, weight, minlength=fleet.units)
    before = np.concatenate([[0.0], np.cumsum(own)])[:-1]
    first, last = hazard[enters], own + hazard[enters]
    base = np.cumsum(weight) - before[unit] + first[unit]
    steps = len(ages) + 1

    def summed(at_failure: Floats, at_entry: Floats, at_exit: Floats) -> Floats:
        change = np.bincount(place, at_failure, minlength=steps)
        change += np.bincount(enters, at_entry, minlength=steps)
        change += np.bincount(leaves, at_exit, minlength=steps)
        return np.cumsum(change)[: len(ages)]

    bases = summed(weight, first, -last)
    squares = summed(base**2 - (base - weight) ** 2, first**2, -(last**2))
    gone = np.bincount(leaves, (last - hazard[leaves]) ** 2, minlength=steps)
    now = hazard[1:]
    variance: Floats = squares - 2 * now * bases + now**2 * observed + np.cumsum(gone)[:-1]
    variance[variance < 0] = 0.0  # by rounding
    return variance


def _failures_in_order(fleet: Fleet, ages: Floats) -> tuple[Counts, Counts]:
    """Return the failures within some ages, appliance by appliance, each by the place of its age.

    One sorted number for both is several times as fast as sorting by two columns.
    """
    import numpy as np

    inside = (fleet.age >= ages[0]) & (fleet.age <= ages[-1])
    both = fleet.unit[inside] * len(ages) + np.searchsorted(ages, fleet.age[inside])
    unit, place = np.divmod(np.sort(both), len(ages))
    return unit, place


def _first_age(fleet: Fleet, least: int) -> float:
    """Return the first age at which so many are observed; infinite where they never are."""
    import numpy as np

    if fleet.units < least:
        return float("inf")
    entered = np.sort(fleet.entered)
    observed = np.arange(1, fleet.units + 1) - np.searchsorted(
        np.sort(fleet.observed_to), entered, side="left"
    )
    enough = np.flatnonzero(observed >= least)
    return float(entered[enough[0]]) if len(enough) else float("inf")
