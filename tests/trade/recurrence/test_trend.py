"""Is it getting worse: trend, power of age, time between failures."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.recurrence import (
    Fleet,
    LaplaceTrend,
    ageing_of,
    corrected_power_law,
    fleet_mtbf,
    mtbf_limits,
    pooled_laplace_trend,
    pooled_power_law,
    power_law,
)

YEAR = 365.25
times = st.lists(st.floats(0.01, 99), min_size=1, max_size=20)


def laplace_trend(ages: Sequence[float], end: float) -> LaplaceTrend | None:
    """Test one appliance for a trend, as the program tests many."""
    return pooled_laplace_trend([(ages, end)])


def grown(
    units: int, power: float, *, entered: float = 0.0, to: float = 6.0, step: float = 0.5
) -> Fleet:
    """Return a fleet whose failures lie exactly as a power of age has them, one a step."""
    low, high = entered**power, to**power
    ages = np.arange(low + step / 2, high, step) ** (1 / power)
    return Fleet(
        np.full(units, entered * YEAR),
        np.full(units, to * YEAR),
        np.repeat(np.arange(units), len(ages)),
        np.tile(ages, units) * YEAR,
    )


@given(times)
def test_failures_seen_backwards_turn_the_trend_round(ages: list[float]) -> None:
    forward, backward = laplace_trend(ages, 100), laplace_trend([100 - age for age in ages], 100)
    assert forward is not None
    assert backward is not None
    assert forward.z == pytest.approx(-backward.z, abs=1e-9)
    assert forward.p_value == pytest.approx(backward.p_value)


@settings(deadline=None)  # SciPy is loaded by the first
@given(times, st.floats(0.1, 1000))
def test_the_unit_of_age_does_not_matter(ages: list[float], unit: float) -> None:
    once, again = laplace_trend(ages, 100), laplace_trend([age * unit for age in ages], 100 * unit)
    assert once is not None
    assert again is not None
    assert once.z == pytest.approx(again.z, abs=1e-6)
    fits = power_law(ages, 100), power_law([age * unit for age in ages], 100 * unit)
    assert fits[0].shape == pytest.approx(fits[1].shape)
    assert fits[0].mtbf_at_end * unit == pytest.approx(fits[1].mtbf_at_end)


def test_late_failures_lean_up_and_early_ones_down() -> None:
    late, early = laplace_trend([80, 90, 95, 99], 100), laplace_trend([1, 5, 10, 20], 100)
    assert late is not None
    assert early is not None
    assert late.z > 2
    assert early.z < -2
    assert late.p_value < 0.05
    assert early.lower_tail < 0.025


def test_nothing_failed_and_nothing_is_tested() -> None:
    assert laplace_trend([], 5) is None
    assert pooled_laplace_trend([([], 5.0)]) is None
    assert pooled_power_law([([], 5.0)]) is None


@pytest.mark.parametrize(("ages", "end"), [([6.0], 5.0), ([-1.0], 5.0), ([1.0], 0.0)])
def test_failures_outside_the_observation_are_refused(ages: list[float], end: float) -> None:
    with pytest.raises(InputError):
        laplace_trend(ages, end)
    with pytest.raises(InputError):
        power_law(ages, end)


def test_no_power_of_age_without_a_failure_before_the_end() -> None:
    for ages in ([], [5.0], [5.0, 5.0]):
        with pytest.raises(InputError):
            power_law(ages, 5.0)
    assert pooled_power_law([([5.0], 5.0)]) is None


def test_one_failure_gives_a_power_and_no_limits_of_the_time_between() -> None:
    found = power_law([1.0], 5.0)
    assert (found.mtbf_low, found.mtbf_high) == (None, None)
    with pytest.raises(InputError):
        corrected_power_law([1.0], 5.0)


def test_a_failure_at_the_end_costs_one_more_in_the_correction() -> None:
    ages = [1.0, 2.0, 4.0, 5.0]
    assert corrected_power_law(ages, 5.0).shape == pytest.approx(power_law(ages, 5.0).shape / 2)
    assert corrected_power_law(ages, 6.0).shape == pytest.approx(power_law(ages, 6.0).shape * 3 / 4)


@settings(deadline=None)  # SciPy is loaded by the first
@given(times, st.floats(0.5, 0.99))
def test_the_limits_hold_the_shape(ages: list[float], confidence: float) -> None:
    found = power_law(ages, 100, confidence)
    assert found.low < found.shape < found.high
    pooled = pooled_power_law([(ages, 100.0)], confidence)
    assert pooled is not None
    assert pooled.low < pooled.shape < pooled.high


@pytest.mark.parametrize("entered", [0.0, 2.0])
@pytest.mark.parametrize("power", [0.6, 1.0, 2.0])
def test_a_power_is_found_again_wherever_observation_begins(power: float, entered: float) -> None:
    found = pooled_power_law(grown(30, power, entered=entered, step=0.02))
    assert found is not None
    assert found.shape == pytest.approx(power, rel=0.05)
    assert found.low < power < found.high


def test_good_and_bad_appliances_mixed_make_no_trend() -> None:
    """Those that fail often are watched while young, as after a bad batch: no ageing at all."""
    even = [([0.1, 0.3, 0.5, 0.7, 0.9], 1.0)] * 20 + [([2.0, 4.0], 6.0)] * 20
    found = pooled_laplace_trend(even)
    assert found is not None
    assert abs(found.z) < 1e-6


def test_from_twenty_appliances_on_clusters_do_not_count_as_many() -> None:
    cluster = [([5.0, 5.01, 5.02, 5.03], 6.0), ([1.0, 1.01, 1.02, 1.03], 6.0)]
    lone = pooled_laplace_trend([([5.0], 6.0)] * 11 + [([1.0], 6.0)] * 9)
    assert lone is not None
    clustered = pooled_laplace_trend([cluster[0]] * 11 + [cluster[1]] * 9)
    assert clustered is not None
    assert clustered.z == pytest.approx(lone.z, rel=0.1), "and not twice that"


def test_from_twenty_appliances_on_clusters_widen_the_limits_of_the_power() -> None:
    lone = [([0.5 * n], 6.0) for n in range(1, 11)] * 2
    clustered = [([at, at + 0.01, at + 0.02, at + 0.03], 6.0) for (at,), _ in lone]
    one, four, few = (pooled_power_law(fleet) for fleet in (lone, clustered, clustered[:19]))
    assert one is not None
    assert four is not None
    assert few is not None
    assert four.high / four.low > 1.15 * few.high / few.low
    assert four.high / four.low > 0.7 * one.high / one.low, "four together tell little more"


@settings(deadline=None)  # SciPy is loaded by the first
@given(st.integers(0, 500), st.floats(0.5, 0.99), st.booleans())
def test_limits_of_the_time_between_failures_hold_it(
    failures: int, confidence: float, time_terminated: bool
) -> None:
    assume(failures or time_terminated)
    found = mtbf_limits(failures, 1000.0, confidence, time_terminated)
    assert 0 < found.low < found.high
    if found.mtbf is not None:
        assert found.low < found.mtbf < found.high


def test_without_a_failure_there_is_a_lower_limit_alone() -> None:
    found = mtbf_limits(0, 10.0)
    assert (found.mtbf, found.high) == (None, math.inf)
    assert found.low == pytest.approx(10 / -math.log(0.025))


@pytest.mark.parametrize(
    ("failures", "total_time", "confidence", "time_terminated"),
    [(-1, 5.0, 0.9, True), (1, 0.0, 0.9, True), (1, math.inf, 0.9, True), (1, 5.0, 1.0, True),
     (0, 5.0, 0.9, False)],
)  # fmt: skip
def test_times_that_cannot_be_are_refused(
    failures: int, total_time: float, confidence: float, time_terminated: bool
) -> None:
    with pytest.raises(InputError):
        mtbf_limits(failures, total_time, confidence, time_terminated)


def test_appliances_that_differ_widen_the_limits_and_never_narrow_them() -> None:
    alike = [([1.0, 3.0], 5.0)] * 10
    unlike = [([0.5 * n for n in range(1, 10)], 5.0)] * 2 + [([1.0], 5.0)] * 2 + [([], 5.0)] * 6
    assert sum(len(events) for events, _ in unlike) == 20
    same, apart, steady = fleet_mtbf(alike), fleet_mtbf(unlike), mtbf_limits(20, 50.0)
    assert same == steady
    assert apart is not None
    assert apart.low < steady.low
    assert apart.high > steady.high
    assert apart.mtbf == steady.mtbf


def test_nobody_watched_and_nothing_told() -> None:
    assert fleet_mtbf([]) is None
    assert fleet_mtbf([([], 0.0)]) is None


def test_a_trend_is_told_with_the_years_that_were_watched() -> None:
    found = ageing_of(grown(10, 2.0))
    assert found.told
    assert found.compared is not None
    assert (found.compared.early, found.compared.late) == (1, 6)
    assert found.compared.times == pytest.approx(11, rel=0.15)
    assert found.compared.low < found.compared.times < found.compared.high


def test_years_that_hardly_any_appliance_was_watched_in_are_not_compared() -> None:
    found = ageing_of(grown(10, 2.0, entered=1.8))
    assert found.compared is not None
    assert found.compared.early == 3
    alone = ageing_of(grown(2, 3.0, to=4.0))
    assert alone.told
    assert alone.compared is None


def test_slower_with_age_is_told_too() -> None:
    found = ageing_of(grown(30, 0.5))
    assert found.told
    assert found.compared is not None
    assert found.compared.high < 1


def test_an_even_rate_tells_no_trend() -> None:
    found = ageing_of(grown(30, 1.0))
    assert not found.told
    assert found.compared is None
    assert found.mtbf is not None
    assert found.mtbf.mtbf == pytest.approx(YEAR / 2)


def test_four_failures_are_too_few() -> None:
    found = ageing_of([([9.0, 9.1, 9.2, 9.3], 10.0)])
    assert found.too_few
    assert (found.trend, found.power, found.told) == (None, None, False)
    assert not ageing_of([([9.0, 9.1, 9.2, 9.3, 9.4], 10.0)]).too_few


def test_failures_on_the_day_of_installation_have_no_power_of_age_and_are_passed_over() -> None:
    usual = [([1.0 + n, 4.0 + n], 30.0) for n in range(20)]
    first_day = [([0.0, *ages], end) for ages, end in usual]
    assert pooled_power_law(first_day) == pooled_power_law(usual)
