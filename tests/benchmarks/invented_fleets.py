"""Invented fleets whose truth is known, and how often the limits told from them hold it.

Every appliance is watched over its own span of age: entered late or from new, watched for some
years. In a *mixed* fleet each has its own rate, gamma with the given scatter, in a *clustered* one
each failure brings a second one within weeks by chance: repairs that do not hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product
from statistics import NormalDist

import numpy as np

from desk.trade.recurrence import (
    Fleet,
    MeanCumulative,
    PartLives,
    ageing_of,
    fleet_mtbf,
    mean_cumulative,
    part_life,
    rate_difference,
    repeat_rate,
)
from desk.trade.recurrence.ageing import CHANCE

YEAR = 365.25
RATES = (0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5)
"""The grid of true repeat rates; the means are over it and over JOBS."""
JOBS = (10, 20, 40, 80, 150, 300, 600, 1200)


@dataclass(frozen=True, slots=True)
class World:
    """How failures come in an invented fleet.

    Attributes:
        rate_a_year: failures of an appliance in its first year.
        power: of age, that the expected number of failures grows by.
        scatter: coefficient of variation of the appliances' own rates.
        second: chance that a failure is followed by another within six weeks.
        all_new: all are watched from new, for eight years.
    """

    rate_a_year: float = 0.5
    power: float = 1.0
    scatter: float = 0.0
    second: float = 0.0
    all_new: bool = False

    def expected(self, age: float) -> float:
        """Return the true mean number of failures by an age in days, followers aside."""
        return self.rate_a_year * (age / YEAR) ** self.power


STEADY = World()
MIXED = World(scatter=1.0)
CLUSTERED = World(rate_a_year=0.4, scatter=0.5, second=0.3)
WEARING = World(rate_a_year=0.3, power=1.5, scatter=0.5)


def invent(world: World, units: int, chance: np.random.Generator) -> Fleet:
    """Return the histories of an invented fleet, ages in days."""
    late = chance.random(units) < (0.0 if world.all_new else 0.4)
    entered = np.where(late, chance.uniform(0.2, 4, units), 0.0)
    watched = 8.0 if world.all_new else chance.uniform(1, 8, units)
    left = entered + watched
    own = np.ones(units)
    if world.scatter:
        shape = 1 / world.scatter**2
        own = chance.gamma(shape, 1 / shape, units)
    low, high = entered**world.power, left**world.power
    count = chance.poisson(own * world.rate_a_year * (high - low))
    unit = np.repeat(np.arange(units), count)
    age = chance.uniform(low[unit], high[unit]) ** (1 / world.power)
    if world.second:
        again = chance.random(len(unit)) < world.second
        later = age[again] + chance.uniform(0, 42 / YEAR, int(again.sum()))
        seen = later < left[unit[again]]
        age = np.concatenate([age, later[seen]])
        unit = np.concatenate([unit, unit[again][seen]])
    return Fleet(entered * YEAR, left * YEAR, unit, age * YEAR)


def fleets(world: World, units: int, count: int, seed: int) -> Iterator[Fleet]:
    """Yield so many invented fleets, the same for the same seed."""
    chance = np.random.default_rng(seed)
    for _ in range(count):
        yield invent(world, units, chance)


def share(held: list[bool]) -> float:
    """Return the share of limits that held the truth."""
    return float(np.mean(held))


def rate_coverage(count: int, seed: int) -> float:
    """Return the mean coverage of Wilson's limits over the grid of rates and numbers of jobs."""
    chance = np.random.default_rng(seed)
    held: list[bool] = []
    for true, jobs in product(RATES, JOBS):
        drawn, times = np.unique(chance.binomial(jobs, true, count), return_counts=True)
        for repeats, often in zip(drawn.tolist(), times.tolist(), strict=True):
            found = repeat_rate(repeats, jobs)
            held += [found.low <= true <= found.high] * often
    return share(held)


def difference_coverage(count: int, seed: int) -> float:
    """Return the mean coverage of the limits of a difference, over pairs of rates and of jobs."""
    chance = np.random.default_rng(seed)
    held: list[bool] = []
    for (first, second), (jobs, others) in product(pairwise(RATES), pairwise(JOBS)):
        drawn = chance.binomial([jobs, others], [first, second], (count, 2))
        pairs, times = np.unique(drawn, axis=0, return_counts=True)
        for (one, two), often in zip(pairs.tolist(), times.tolist(), strict=True):
            found = rate_difference((one, jobs), (two, others))
            assert found is not None
            held += [found.low <= first - second <= found.high] * often
    return share(held)


def mtbf_coverage(world: World, units: int, count: int, seed: int) -> float:
    """Return how often the limits of the time between failures hold the truth."""
    true = YEAR / (world.rate_a_year * (1 + world.second))
    held = []
    for fleet in fleets(world, units, count, seed):
        found = fleet_mtbf(fleet)
        assert found is not None
        held.append(found.low <= true <= found.high)
    return share(held)


def at_age(found: MeanCumulative, age: float) -> int:
    """Return the place of the last step of the curve at or before an age, -1 before the first."""
    return int(np.searchsorted(found.ages, age, side="right")) - 1


def cumulative_coverage(
    world: World, units: int, count: int, seed: int, years: tuple[int, ...] = (2, 4, 6)
) -> tuple[float, float]:
    """Return how often the limits of the cumulative curve hold the truth at some ages.

    First the limits that the program tells, then ``mean +- z SE``, which it might have told. At an
    age where no failure was seen yet, or nobody is watched any more, nothing is told and nothing
    is counted.
    """
    held, plain = [], []
    z = NormalDist().inv_cdf(0.975)
    for fleet in fleets(world, units, count, seed):
        found = mean_cumulative(fleet)
        oldest = fleet.observed_to.max()
        for age in (year * YEAR for year in years if year * YEAR <= oldest):
            at, true = at_age(found, age), world.expected(age)
            if at >= 0 and found.low and found.high and found.standard_error:
                held.append(found.low[at] <= true <= found.high[at])
                plain.append(abs(found.mean[at] - true) <= z * found.standard_error[at])
    return share(held), share(plain)


def false_trends(world: World, units: int, count: int, seed: int) -> tuple[float, float, float]:
    """Return how often a trend is told where there is none.

    By the test alone, by the limits of the power alone, and by both as the program tells it.
    """
    test, power, told = [], [], []
    for fleet in fleets(world, units, count, seed):
        found = ageing_of(fleet)
        test.append(found.trend is not None and found.trend.p_value <= CHANCE)
        power.append(found.power is not None and not found.power.low <= 1 <= found.power.high)
        told.append(found.told)
    return share(test), share(power), share(told)


def lives(
    fitted: int, count: int, seed: int, *, shape: float = 1.5, scale: float = 5.0
) -> Iterator[PartLives]:
    """Yield the lives of invented parts, in years: fitted over the last ten, watched to today."""
    chance = np.random.default_rng(seed)
    for _ in range(count):
        life = scale * chance.weibull(shape, fitted)
        watched = chance.uniform(0, 10, fitted)
        yield part_life(np.minimum(life, watched).tolist(), (life <= watched).tolist())


def life_coverage(
    fitted: int, count: int, seed: int, *, shape: float = 1.5, scale: float = 5.0
) -> tuple[float, float, float]:
    """Return how often the limits hold the median, the Weibull shape and the Weibull scale.

    A lower limit of the median that is not reached lies past the last replacement. Where none was
    replaced, or no Weibull was fitted, nothing is told and nothing is counted.
    """
    true = scale * float(np.log(2)) ** (1 / shape)
    median, shapes, scales = [], [], []
    for found in lives(fitted, count, seed, shape=shape, scale=scale):
        if not found.times:
            continue
        low = found.times[-1] if found.median_low is None else found.median_low
        median.append(low <= true and (found.median_high is None or true <= found.median_high))
        if found.weibull is not None:
            shapes.append(found.weibull.shape_low <= shape <= found.weibull.shape_high)
            scales.append(found.weibull.scale_low <= scale <= found.weibull.scale_high)
    return share(median), share(shapes), share(scales)
