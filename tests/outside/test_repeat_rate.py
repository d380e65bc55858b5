"""Wilson's interval against Newcombe's table and SciPy (cases/repeat_rate.toml)."""

from __future__ import annotations

import pytest
import scipy

from desk.trade.recurrence import repeat_rate
from tests.outside.published import cases

CASES = cases("repeat_rate")


@pytest.mark.parametrize("case_id", CASES)
def test_newcombes_table(case_id: str) -> None:
    case = CASES[case_id]
    found = repeat_rate(case.inputs["k"], case.inputs["n"])
    assert case.agrees(found.low, found.high)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@pytest.mark.parametrize(("repeats", "counted"), [(0, 5), (1, 1), (3, 40), (20, 40), (40, 40)])
def test_scipys_interval(repeats: int, counted: int, confidence: float) -> None:
    found = repeat_rate(repeats, counted, confidence)
    oracle = scipy.stats.binomtest(repeats, counted).proportion_ci(confidence, method="wilson")
    assert (found.low, found.high) == pytest.approx((oracle.low, oracle.high), abs=1e-9)
