"""How often a verdict on a flow is wrong, over fills that were drawn; the long run is a bench."""

from __future__ import annotations

import math

import pytest

from tests.trade.simulated_fills import Bucket, answers

RUNS = 400
BUCKET = Bucket(0.005)
# A share of just 5 % comes out higher than this once in a thousand times.
MOST_WRONG = 0.05 + 3.1 * math.sqrt(0.05 * 0.95 / RUNS)


@pytest.mark.parametrize("scatter_s", [0.0, 1.0, 3.0])
@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_a_flow_a_hair_from_the_activation_flow_is_seldom_judged_wrongly(
    count: int, scatter_s: float
) -> None:
    under, over = answers(BUCKET, count, scatter_s, -0.001, 0.001, runs=RUNS)
    assert under.enough <= MOST_WRONG
    assert over.too_little <= MOST_WRONG


@pytest.mark.parametrize(("count", "least"), [(3, 0.8), (4, 0.9)])
def test_a_flow_a_tenth_away_is_judged_rightly(count: int, least: float) -> None:
    over, under = answers(BUCKET, count, 1.0, 0.1, -0.1, runs=RUNS)
    assert over.enough >= least
    assert under.too_little >= least
