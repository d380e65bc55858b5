"""How often 95 % limits hold the truth, over two thousand invented fleets each; printed.

The fleets are those of ``invented_fleets.py``. A share of 2,000 has a standard error of half a
point, one of three ages in 2,000 fleets somewhat less.
"""

from __future__ import annotations

import pytest

from desk.trade.recurrence.laplace import LEAST_UNITS_FOR_SCATTER
from desk.trade.recurrence.sentences import HELD_WITH_FEW, LEAST_FOR_LIMITS
from tests.benchmarks.invented_fleets import (
    CLUSTERED,
    JOBS,
    MIXED,
    RATES,
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

FLEETS = 2_000
SEED = 20261126
WORLDS = {"steady": STEADY, "mixed": MIXED, "wearing": WEARING}
NOISE = 0.01

pytestmark = pytest.mark.bench


def test_rates_and_their_differences() -> None:
    rates = rate_coverage(FLEETS, SEED)
    differences = difference_coverage(FLEETS, SEED)
    print(f"\nCoverage of 95 % limits over {FLEETS:,} invented fleets each")
    print(f"  Wilson, mean over rates {RATES} and jobs {JOBS}: {rates:.2%}")
    print(f"  difference of two rates, neighbours of the same grids: {differences:.2%}")
    assert 0.93 <= rates <= 0.97
    assert 0.93 <= differences <= 0.97


@pytest.mark.parametrize("units", [1, 5, 20, 100])
def test_time_between_failures_without_a_trend(units: int) -> None:
    steady = mtbf_coverage(STEADY, units, FLEETS, SEED)
    mixed, clustered = (mtbf_coverage(world, units, FLEETS, SEED) for world in (MIXED, CLUSTERED))
    print(
        f"\n  time between failures, {units} appliances: {steady:.1%}; where they differ "
        f"{mixed:.1%}, where repairs do not hold {clustered:.1%}"
    )
    assert steady >= 0.95
    if units >= LEAST_UNITS_FOR_SCATTER:
        assert min(mixed, clustered) >= 0.92


@pytest.mark.parametrize("units", [5, 10, 20, 50, 100, 200])
def test_the_cumulative_curve_at_each_of_three_ages(units: int) -> None:
    both = {name: cumulative_coverage(world, units, FLEETS, SEED) for name, world in WORLDS.items()}
    held = {name: told for name, (told, _plain) in both.items()}
    mean, plain = (sum(shares) / len(both) for shares in zip(*both.values(), strict=True))
    told = ", ".join(f"{name} {share:.1%}" for name, share in held.items())
    print(
        f"\n  cumulative curve at 2, 4 and 6 years, {units} appliances: {told}; mean {mean:.1%}, "
        f"of limits without the logarithm {plain:.1%}"
    )
    assert mean >= plain - NOISE / 2, "why the limits are on the logarithm"
    if units >= 100:
        assert all(0.93 <= share <= 0.97 for share in held.values())
    elif units >= LEAST_FOR_LIMITS:
        assert mean >= 0.92
    else:
        said = dict(HELD_WITH_FEW)[units]
        assert mean == pytest.approx(said, abs=2 * NOISE), "what the window says of it"


@pytest.mark.parametrize("fitted", [20, 40, 100, 300])
def test_lives_of_parts(fitted: int) -> None:
    median, shape, scale = life_coverage(fitted, FLEETS, SEED)
    print(
        f"\n  {fitted} parts, Weibull shape 1.5: median {median:.1%}, shape {shape:.1%}, "
        f"characteristic life {scale:.1%}"
    )
    assert 0.93 <= median <= 0.97
    assert 0.93 <= shape <= 0.97
    assert scale >= 0.91


@pytest.mark.parametrize("world", [STEADY, MIXED, CLUSTERED], ids=["steady", "mixed", "clustered"])
def test_a_trend_is_seldom_told_where_there_is_none(world: World) -> None:
    for units in (10, 40, 100):
        test, power, told = false_trends(world, units, FLEETS // 2, SEED)
        print(
            f"\n  no trend, {units} appliances: Laplace's test says one {test:.1%}, the limits of "
            f"the power {power:.1%}, both together {told:.1%}"
        )
        assert told <= 0.05 + NOISE
