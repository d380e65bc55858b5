"""How long parts last: the product limit, its median, and a Weibull fit beside it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.recurrence import fit_weibull, part_life

lives = st.lists(st.tuples(st.integers(0, 30).map(float), st.booleans()), min_size=1, max_size=30)


@settings(deadline=None)  # libraries are loaded by the first
@given(lives)
def test_the_share_still_running_falls_and_its_limits_hold_it(
    rows: list[tuple[float, bool]],
) -> None:
    found = part_life([life for life, _ in rows], [ended for _, ended in rows])
    assert list(found.survival) == sorted(found.survival, reverse=True)
    for low, share, high in zip(found.low, found.survival, found.high, strict=True):
        assert 0 <= low <= share <= high <= 1
    assert found.replaced == sum(ended for _, ended in rows)
    assert found.fitted == len(rows)


@settings(deadline=None)  # libraries are loaded by the first
@given(st.lists(st.integers(1, 30).map(float), min_size=1, max_size=30))
def test_with_all_replaced_it_is_the_plain_share(rows: list[float]) -> None:
    found = part_life(rows, [True] * len(rows))
    for time, share in zip(found.times, found.survival, strict=True):
        assert share == pytest.approx(sum(life > time for life in rows) / len(rows))
    assert found.median is not None


def test_a_part_that_still_runs_at_a_replacement_was_at_risk_there() -> None:
    found = part_life([3.0, 3.0, 5.0], [True, False, True])
    assert found.at_risk == (3, 1)
    assert found.survival == pytest.approx((2 / 3, 0))


def test_a_part_replaced_on_the_day_it_was_fitted_counts() -> None:
    found = part_life([0.0, 4.0], [True, False])
    assert (found.times, found.survival, found.at_risk) == ((0.0,), (0.5,), (2,))


def test_a_part_watched_from_later_on_is_not_at_risk_before() -> None:
    found = part_life([3.0, 5.0, 9.0], [True, True, False], entered=[0.0, 4.0, 0.0])
    assert found.at_risk == (2, 2)
    assert found.survival == pytest.approx((0.5, 0.25))


def test_the_median_is_reached_at_a_half_and_not_by_rounding() -> None:
    # 9/10 * 8/9 * ... * 5/6 is a half, but for the last bit.
    found = part_life([float(n) for n in range(1, 11)], [True] * 5 + [False] * 5)
    assert found.survival[-1] == pytest.approx(0.5)
    assert found.median == 5.0
    assert found.median_high is None


def test_a_median_that_is_not_reached_is_none_and_what_is_seen_is_told() -> None:
    found = part_life([1.0, 2.0] + [10.0] * 20, [True, True] + [False] * 20)
    assert (found.median, found.median_low, found.median_high) == (None, None, None)
    assert found.still_running(5.0) == (found.survival[1], found.low[1], found.high[1])
    assert found.still_running(0.5) is None
    assert found.still_running(11.0) is None
    assert found.longest == 10.0


def test_where_none_is_left_the_upper_limit_stays() -> None:
    found = part_life([1.0, 2.0, 3.0], [True, True, True])
    assert (found.survival[-1], found.low[-1], found.standard_error[-1]) == (0, 0, 0)
    assert found.high[-1] == found.high[-2]


def test_nothing_fitted_tells_nothing() -> None:
    found = part_life([], [])
    assert (found.fitted, found.times, found.median, found.weibull) == (0, (), None, None)


@pytest.mark.parametrize(
    ("durations", "failed"), [([-1.0], [True]), ([math.nan], [True]), ([1.0, 2.0], [True])]
)
def test_lives_that_cannot_be_are_refused(durations: list[float], failed: list[bool]) -> None:
    with pytest.raises(InputError):
        part_life(durations, failed)
    with pytest.raises(InputError):
        fit_weibull(durations, failed)


def test_a_part_watched_from_after_its_end_is_refused() -> None:
    with pytest.raises(InputError):
        part_life([1.0], [True], entered=[2.0])


def test_four_replacements_are_too_few_for_a_weibull_and_five_are_not() -> None:
    running = [9.0] * 4
    four = part_life([1.0, 2, 3, 4, *running], [True] * 4 + [False] * 4)
    five = part_life([1.0, 2, 3, 4, 5, *running], [True] * 5 + [False] * 4)
    assert four.weibull is None
    assert five.weibull is not None


def test_lives_all_alike_have_no_weibull() -> None:
    assert fit_weibull([3.0] * 6, [True] * 6) is None


def test_a_part_that_failed_at_once_is_left_out_of_the_fit_and_counted() -> None:
    with_it = fit_weibull([0.0, 1, 2, 3, 4, 6], [True] * 6)
    without = fit_weibull([1.0, 2, 3, 4, 6], [True] * 5)
    assert with_it is not None
    assert without is not None
    assert (with_it.at_once, without.at_once) == (1, 0)
    assert with_it.shape == pytest.approx(without.shape)


@pytest.mark.parametrize("shape", [0.7, 1.0, 3.0])
def test_a_weibull_is_found_again_from_its_own_quantiles(shape: float) -> None:
    shares = [(n + 0.5) / 200 for n in range(200)]
    life = [5 * (-math.log(1 - share)) ** (1 / shape) for share in shares]
    found = fit_weibull([min(one, 6.0) for one in life], [one <= 6 for one in life])
    assert found is not None
    assert found.shape == pytest.approx(shape, rel=0.03)
    assert found.scale == pytest.approx(5, rel=0.03)
    assert found.shape_low < shape < found.shape_high
    assert found.scale_low < 5 < found.scale_high
    assert found.median == pytest.approx(5 * math.log(2) ** (1 / shape), rel=0.03)
