"""How often a flow is called enough, or too little, wrongly, over fills that were drawn; printed.

The fills are those of ``tests/trade/simulated_fills.py``. A share of 10,000 that is 5 % has a
standard error of 0.22 of a point.
"""

from __future__ import annotations

import math

import pytest

from tests.trade.simulated_fills import Bucket, answers

RUNS = 10_000
COUNTS = (1, 2, 3, 4)
SCATTERS_S = (0.0, 0.5, 1.0, 2.0, 3.0)
A_HAIR, A_TENTH = 0.001, 0.1
MOST_WRONG = 0.05
# What chance alone may add to a share of just 5 % in one of many cells: three standard errors.
CHANCE = 3 * math.sqrt(MOST_WRONG * (1 - MOST_WRONG) / RUNS)

pytestmark = pytest.mark.bench


@pytest.mark.parametrize("mark", [0.0, 0.005, 0.02])
def test_a_flow_a_hair_from_the_activation_flow_is_seldom_judged_wrongly(mark: float) -> None:
    print(f"\n\n  wrongly enough / wrongly too little (cannot tell); mark within {mark:.1%}")
    print("  fills   " + "".join(f"{f'scatter {scatter} s':>24}" for scatter in SCATTERS_S))
    for count in COUNTS:
        row, worst = "", 0.0
        for scatter in SCATTERS_S:
            under, over = answers(Bucket(mark), count, scatter, -A_HAIR, A_HAIR, runs=RUNS)
            cell = f"{under.enough:.1%} / {over.too_little:.1%} ({over.cannot_tell:.1%})"
            row += f"{cell:>24}"
            worst = max(worst, under.enough, over.too_little)
        print(f"  {count:>5}   {row}", flush=True)
        assert worst <= MOST_WRONG + CHANCE


def test_a_flow_a_tenth_away_is_judged_rightly() -> None:
    print("\n\n  rightly enough / rightly too little (cannot tell), a tenth away, scatter 1 s")
    least = {1: 0.0, 2: 0.0, 3: 0.8, 4: 0.9}
    for count in COUNTS:
        for mark in (0.0, 0.005, 0.02):
            over, under = answers(Bucket(mark), count, 1.0, A_TENTH, -A_TENTH, runs=RUNS // 2)
            print(
                f"  {count} fills, mark within {mark:.1%}: {over.enough:.1%} /"
                f" {under.too_little:.1%} ({over.cannot_tell:.1%} / {under.cannot_tell:.1%})"
            )
            assert min(over.enough, under.too_little) >= least[count]


def test_the_range_about_a_flow_holds_the_truth() -> None:
    print("\n\n  the range of 95 % holds the true flow; mark within 0.5 %")
    for count in COUNTS:
        shares = [
            answers(Bucket(0.005), count, scatter, 0.0, runs=RUNS // 2)[0].held
            for scatter in SCATTERS_S
        ]
        print(f"  {count} fills: " + "  ".join(f"{share:.1%}" for share in shares))
        assert min(shares) >= 0.94
