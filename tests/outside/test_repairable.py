"""Failures that recur, against the handbook, textbooks and SurPyval (cases/recurrence.toml)."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import accumulate, pairwise
from types import ModuleType

import numpy as np
import pytest
import scipy

from desk.trade.recurrence import (
    LaplaceTrend,
    corrected_power_law,
    mean_cumulative,
    mtbf_limits,
    pooled_laplace_trend,
    pooled_power_law,
    power_law,
)
from tests.outside.published import cases
from tests.outside.valve_seats import HISTORIES

CASES = cases("recurrence")
FACTORS = [case for case in CASES if CASES[case].inputs.keys() == {"r", "confidence"}]
FACTORS.remove("9-26")
NIST = CASES["9-24"].inputs["t_h"], CASES["9-24"].inputs["T_h"]
FIVE_SYSTEMS = [(ages[:-1], ages[-1]) for ages in CASES["9-36"].inputs["systems"]]


def laplace_trend(ages: Sequence[float], end: float) -> LaplaceTrend | None:
    """Test one appliance for a trend, as the program tests many."""
    return pooled_laplace_trend([(ages, end)])


def invented(systems: int, seed: int) -> list[tuple[list[float], float, float]]:
    """Return histories, some entered late, failures by a power of age."""
    chance = random.Random(seed)
    made = []
    for _ in range(systems):
        entered = chance.choice([0.0, chance.uniform(0.1, 3)])
        left = entered + chance.uniform(0.5, 6)
        span = left**1.4 - entered**1.4
        ages, at = [], chance.expovariate(0.6)
        while at < span:
            ages.append((entered**1.4 + at) ** (1 / 1.4))
            at += chance.expovariate(0.6)
        made.append((ages, left, entered))
    return made


def columns(histories: list[tuple[list[float], float, float]]) -> dict[str, list[float]]:
    """Return histories as SurPyval reads them: a row a failure and one for the end."""
    rows = [
        (age, name, int(place == len(ages)), entered)
        for name, (ages, left, entered) in enumerate(histories)
        for place, age in enumerate([*sorted(ages), left])
    ]
    return dict(zip(("x", "i", "c", "tl"), map(list, zip(*rows, strict=True)), strict=True))


def test_the_handbooks_limits_of_the_time_between_failures() -> None:
    case = CASES["9-01"]
    found = mtbf_limits(case.inputs["r"], case.inputs["T_h"], case.inputs["confidence"])
    assert case.agrees(found.low, found.high)


@pytest.mark.parametrize("case_id", FACTORS)
def test_the_handbooks_factors(case_id: str) -> None:
    case = CASES[case_id]
    found = mtbf_limits(case.inputs["r"], 1.0, case.inputs["confidence"])
    assert found.mtbf is not None
    assert case.agrees(found.low / found.mtbf, found.high / found.mtbf)


@pytest.mark.parametrize("failures", [1, 2, 30])
def test_the_limits_are_those_of_a_poisson_count_or_of_a_gamma_time(failures: int) -> None:
    timed = mtbf_limits(failures, 50.0, 0.9)
    assert scipy.stats.poisson.cdf(failures, 50.0 / timed.low) == pytest.approx(0.05)
    assert scipy.stats.poisson.sf(failures - 1, 50.0 / timed.high) == pytest.approx(0.05)
    ended = mtbf_limits(failures, 50.0, 0.9, time_terminated=False)
    assert scipy.stats.gamma.sf(50.0, failures, scale=ended.low) == pytest.approx(0.05)
    assert scipy.stats.gamma.cdf(50.0, failures, scale=ended.high) == pytest.approx(0.05)


def test_the_handbooks_laplace_test() -> None:
    found = laplace_trend(*NIST)
    assert found is not None
    assert CASES["9-24"].agrees(found.z, found.lower_tail)
    assert found.p_value == pytest.approx(2 * found.lower_tail)


def test_the_military_handbooks_statistic_follows_from_the_shape() -> None:
    found = power_law(*NIST)
    statistic = 2 * found.failures / found.shape
    assert CASES["9-23"].agrees(statistic, scipy.stats.chi2.cdf(statistic, 2 * found.failures))


def test_the_plain_and_the_corrected_power_law_of_the_same_data() -> None:
    plain, corrected = power_law(*NIST), corrected_power_law(*NIST)
    assert CASES["9-27"].agrees(plain.shape, plain.mtbf_at_end)
    assert CASES["9-25"].agrees(corrected.shape, corrected.scale, corrected.mtbf_at_end)


@pytest.mark.parametrize("fit", [power_law, corrected_power_law])
def test_crows_limits_of_the_time_between_failures_now(fit: type[power_law]) -> None:
    found = fit(*NIST, CASES["9-26"].inputs["confidence"])
    assert CASES["9-26"].agrees(found.mtbf_low, found.mtbf_high)


def test_how_well_the_power_fits_the_military_handbooks_data() -> None:
    case = CASES["9-29"]
    times, end = case.inputs["t_h"], case.inputs["T_h"]
    shape, count = corrected_power_law(times, end).shape, len(times)
    misfit = sum(
        ((age / end) ** shape - (2 * place - 1) / (2 * count)) ** 2
        for place, age in enumerate(times, start=1)
    )
    assert shape == pytest.approx(0.68981, abs=5e-6)
    assert case.agrees(1 / (12 * count) + misfit)


def test_the_textbooks_growth_where_observation_ended_at_a_failure() -> None:
    case = CASES["9-33"]
    times = list(accumulate(case.inputs["tbf"]))
    trend = laplace_trend(times[:-1], times[-1])
    assert trend is not None
    fit = power_law(times, times[-1])
    for found, expected, within in zip(
        (trend.z, fit.shape, fit.scale), case.expected, (6e-4, 6e-4, 6e-9), strict=True
    ):
        assert found == pytest.approx(expected, abs=within)


def test_the_limits_of_the_shape_are_exact() -> None:
    found = power_law(*NIST, 0.9)
    ended = power_law([*NIST[0], NIST[1]], NIST[1], 0.9)
    for fit, free in ((found, 20), (ended, 20)):
        low, high = (2 * fit.failures * at / fit.shape for at in (fit.low, fit.high))
        assert scipy.stats.chi2.cdf([low, high], free) == pytest.approx([0.05, 0.95])


def test_the_mean_cumulative_function_of_five_systems() -> None:
    found = mean_cumulative(FIVE_SYSTEMS)
    mean = dict(zip(found.ages, found.mean, strict=True))
    assert CASES["9-34"].agrees(*(mean[age] for age in (17, 20, 22, 25)))


def test_its_robust_variance() -> None:
    found = mean_cumulative(FIVE_SYSTEMS)
    error = dict(zip(found.ages, found.standard_error or (), strict=True))
    assert CASES["9-36"].agrees(*(error[age] ** 2 for age in (5, 17, 25)))


def test_the_software_that_takes_increments_as_independent_counts_the_same_systems() -> None:
    """Its variance, five times ours at 25, follows from our numbers under observation.

    Each failure adds its own, also where two fall on one age.
    """
    found = mean_cumulative(FIVE_SYSTEMS)
    steps = (now - before for before, now in pairwise((0.0, *found.mean)))
    added = (
        round(step * observed) * (1 - 1 / observed) / observed**2
        for step, observed in zip(steps, found.under_observation, strict=True)
    )
    variance = dict(zip(found.ages, accumulate(added), strict=True))
    assert CASES["9-35"].agrees(*(variance[age] for age in (5, 17, 25)))


def test_its_limits_are_ours_at_ninety_per_cent_and_not_at_ninety_five() -> None:
    printed = mean_cumulative(FIVE_SYSTEMS, 0.9)
    ours = mean_cumulative(FIVE_SYSTEMS, 0.95)
    assert printed.low is not None
    assert printed.high is not None
    assert ours.low is not None
    assert CASES["9-37"].agrees(printed.low[0], printed.high[0])
    assert ours.low[0] < printed.low[0]


def test_nelsons_valve_seats() -> None:
    found = mean_cumulative(HISTORIES)
    assert found.failures + found.units == 89
    error = dict(zip(found.ages, found.standard_error or (), strict=True))
    assert CASES["valve-seats"].agrees(error[CASES["valve-seats"].inputs["at_days"]])


@pytest.mark.parametrize(
    "histories",
    [
        [(ages, end, 0.0) for ages, end in FIVE_SYSTEMS],
        [(ages, end, 0.0) for ages, end in HISTORIES],
        invented(40, 1),
        invented(300, 2),
    ],
)
def test_surpyvals_mean_cumulative_function(
    surpyval: ModuleType,
    histories: list[tuple[list[float], float, float]],
) -> None:
    found = mean_cumulative(histories)
    oracle = surpyval.NonParametricCounting.fit(**columns(histories))
    at = np.searchsorted(oracle.x, found.ages)
    assert found.mean == pytest.approx(oracle.mcf_hat[at])
    assert found.standard_error == pytest.approx(np.sqrt(oracle.var[at]))
    assert found.under_observation == pytest.approx(oracle.r[at])


@pytest.mark.parametrize("seed", [3, 4])
def test_surpyvals_laplace_test_of_several_systems(surpyval: ModuleType, seed: int) -> None:
    histories = invented(15, seed)
    failed = [(age, name) for name, (ages, *_) in enumerate(histories) for age in ages]
    oracle = surpyval.recurrent.laplace(
        [age for age, _ in failed],
        [name for _, name in failed],
        T={name: left for name, (_, left, _) in enumerate(histories)},
        tl={name: entered for name, (*_, entered) in enumerate(histories)},
    )
    found = pooled_laplace_trend(histories)
    assert found is not None
    assert (found.z, found.p_value) == pytest.approx((oracle.statistic, oracle.p_value))


@pytest.mark.parametrize("histories", [invented(6, 5), invented(15, 6), invented(200, 7)])
def test_surpyvals_power_law_of_several_systems(
    surpyval: ModuleType,
    histories: list[tuple[list[float], float, float]],
) -> None:
    oracle = surpyval.CrowAMSAA.fit(**columns(histories))
    alpha, beta = oracle.params
    found = pooled_power_law(histories)
    assert found is not None
    assert found.shape == pytest.approx(beta, rel=1e-4)
    assert found.scale == pytest.approx(alpha**-beta, rel=1e-3)


def test_several_systems_of_one_are_that_one() -> None:
    alone, pooled = power_law(*NIST), pooled_power_law([NIST])
    assert pooled is not None
    assert (pooled.shape, pooled.scale, pooled.mtbf_at_end) == pytest.approx(
        (alone.shape, alone.scale, alone.mtbf_at_end)
    )
    assert not math.isclose(pooled.low, alone.low), "one from the likelihood, the other exact"
