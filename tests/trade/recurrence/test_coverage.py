"""The limits hold the truth about as often as they say: few fleets, the same every time.

``make bench`` asks two thousand fleets (tests/benchmarks/test_coverage.py).
"""

from __future__ import annotations

import pytest

from tests.benchmarks.invented_fleets import (
    CLUSTERED,
    MIXED,
    STEADY,
    WEARING,
    World,
    cumulative_coverage,
    difference_coverage,
    false_trends,
    life_coverage,
    mtbf_coverage,
    rate_coverage,
)

FLEETS = 200
SEED = 7
# Three standard errors of a share of 200 about 95 % are 4.6 points.
LEAST, MOST = 0.90, 0.995


def test_limits_of_rates_and_of_their_differences() -> None:
    assert 0.93 <= rate_coverage(FLEETS, SEED) <= 0.97
    assert 0.93 <= difference_coverage(FLEETS, SEED) <= 0.97


@pytest.mark.parametrize("world", [STEADY, MIXED, CLUSTERED], ids=["steady", "mixed", "clustered"])
def test_limits_of_the_time_between_failures(world: World) -> None:
    assert mtbf_coverage(world, 20, FLEETS, SEED) >= LEAST


@pytest.mark.parametrize("world", [STEADY, MIXED, WEARING], ids=["steady", "mixed", "wearing"])
def test_limits_of_the_cumulative_curve_with_a_hundred_appliances(world: World) -> None:
    assert LEAST <= cumulative_coverage(world, 100, FLEETS, SEED)[0] <= MOST


def test_limits_of_the_cumulative_curve_are_too_narrow_with_five() -> None:
    told, plain = cumulative_coverage(MIXED, 5, FLEETS, SEED)
    assert plain < told < LEAST, "and would be narrower yet without the logarithm"


def test_limits_of_the_lives_of_parts() -> None:
    assert all(LEAST <= held <= MOST for held in life_coverage(40, FLEETS, SEED))


@pytest.mark.parametrize("world", [STEADY, MIXED, CLUSTERED], ids=["steady", "mixed", "clustered"])
def test_a_trend_is_seldom_told_where_there_is_none(world: World) -> None:
    _test, _power, told = false_trends(world, 20, FLEETS, SEED)
    assert told <= 0.05


def test_a_trend_is_mostly_told_where_there_is_one() -> None:
    _test, _power, told = false_trends(World(rate_a_year=0.2, power=2.2), 40, FLEETS, SEED)
    assert told >= 0.9
