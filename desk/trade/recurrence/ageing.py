"""Whether the failures of some appliances come faster with age, judged once for all who ask.

Ages are in days, as the records hand them out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.trade.recurrence.histories import Fleet, Histories
from desk.trade.recurrence.laplace import LaplaceTrend, Mtbf, fleet_mtbf, pooled_laplace_trend
from desk.trade.recurrence.power import PowerLaw, pooled_power_law

if TYPE_CHECKING:
    from desk.trade.recurrence.histories import Floats

DAYS_A_YEAR = 365.25
CHANCE = 0.05
LEAST_FAILURES = 5
"""Laplace's normal is close from four failures on; one more for the limits of the power law."""

LONGEST_LIFE_YEARS = 20
_YEARS_WATCHED = 3.0


@dataclass(frozen=True, slots=True)
class YearsCompared:
    """Failures in a late year of life over those in an early one, by the power of age.

    Attributes:
        early: number of the early year, from 1.
        late: number of the late year.
        times: how many times as often.
        low: lower limit, from that of the power.
        high: upper limit.
    """

    early: int
    late: int
    times: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Ageing:
    """Whether failures come faster with age, and how long lies between them.

    Attributes:
        trend: Laplace's test; None with too few failures, or no time between them to judge by.
        power: the power of age; None with too few failures, or where none fits.
        mtbf: time between failures in days; None where nothing was watched.
        compared: two years of life, where a trend can be told and two were watched enough.
    """

    trend: LaplaceTrend | None
    power: PowerLaw | None
    mtbf: Mtbf | None
    compared: YearsCompared | None = None

    @property
    def told(self) -> bool:
        """Return whether a trend can be told: the test and the limits of the power agree on it."""
        return _told(self.trend, self.power)

    @property
    def too_few(self) -> bool:
        """Return whether there are too few failures to judge by."""
        return self.mtbf is None or self.mtbf.failures < LEAST_FAILURES


def ageing_of(histories: Histories) -> Ageing:
    """Judge whether the failures of some appliances come faster with age.

    A trend is told where Laplace's test has a probability of 5 % or less and the 95 % limits of
    the power of age leave 1 out on the same side.

    Args:
        histories: one an appliance, or a :class:`Fleet`; ages in days.

    Raises:
        InputError: an age cannot be.
    """
    fleet = Fleet.of(histories)
    mtbf = fleet_mtbf(fleet)
    if mtbf is None or mtbf.failures < LEAST_FAILURES:
        return Ageing(None, None, mtbf)
    trend, power = pooled_laplace_trend(fleet), pooled_power_law(fleet)
    compared = _compared(power, fleet) if power is not None and _told(trend, power) else None
    return Ageing(trend, power, mtbf, compared)


def _told(trend: LaplaceTrend | None, power: PowerLaw | None) -> bool:
    if trend is None or power is None or trend.p_value > CHANCE:
        return False
    return power.low > 1 if trend.z > 0 else power.high < 1


def _compared(power: PowerLaw, fleet: Fleet) -> YearsCompared | None:
    """Compare the first and the last year of life in which three appliance-years were watched.

    A year of life that hardly any appliance was seen in would be told from the power alone.
    """
    watched = _time_by_year(fleet)
    years = [year for year, time in enumerate(watched, start=1) if time >= _YEARS_WATCHED]
    if len(years) < 2:  # noqa: PLR2004 - a comparison needs two
        return None
    early, late = years[0], years[-1]
    times, *ends = (
        _times_as_often(shape, early, late) for shape in (power.shape, power.low, power.high)
    )
    return YearsCompared(early, late, times, min(ends), max(ends))


def _time_by_year(fleet: Fleet) -> Floats:
    """Return how many appliance-years were watched in each year of life."""
    import numpy as np

    entered, left = fleet.entered / DAYS_A_YEAR, fleet.observed_to / DAYS_A_YEAR
    return np.array(
        [
            (np.clip(left, year, year + 1) - np.clip(entered, year, year + 1)).sum()
            for year in range(LONGEST_LIFE_YEARS)
        ]
    )


def _times_as_often(shape: float, early: int, late: int) -> float:
    grown = late**shape - (late - 1) ** shape
    return float(grown / (early**shape - (early - 1) ** shape))
