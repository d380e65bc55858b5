"""Rates held apart, against Fisher, Newcombe, Benjamini and Hochberg, SciPy and statsmodels."""

from __future__ import annotations

import random

import pytest
import scipy

from desk.trade.recurrence import against_the_rest, rate_difference
from desk.trade.recurrence.rate_comparison import FALSE_SHARE, false_discovery
from tests.outside.published import cases

CASES = cases("recurrence")


def fisher(first: tuple[int, int], second: tuple[int, int]) -> float:
    """Return our probability of two groups against each other, hits and jobs of each."""
    return against_the_rest([first, second])[0].p_value or 0.0


def test_the_lady_tasting_tea() -> None:
    case = CASES["9-55"]
    (right, wrong), (mistaken, other) = case.inputs["table"]
    both_sides = fisher((right, right + wrong), (mistaken, mistaken + other))
    all_right = fisher((4, 4), (0, 4))
    one_sided = case.expected[0]
    # With equal groups the two sides are alike, so that half is the one-sided probability.
    assert case.agrees(both_sides / 2, both_sides, all_right / 2)
    assert one_sided == pytest.approx(both_sides / 2, abs=1e-6)


def test_fishers_exact_test_of_unequal_groups() -> None:
    case = CASES["9-56"]
    (a, b), (c, d) = case.inputs["table"]
    assert case.agrees(fisher((a, a + c), (b, b + d)))


@pytest.mark.parametrize(
    ("first", "second"),
    [((0, 7), (5, 90)), ((12, 40), (3, 55)), ((400, 9000), (390, 8000)), ((1, 2), (1, 2))],
)
def test_scipys_exact_test(first: tuple[int, int], second: tuple[int, int]) -> None:
    table = [[hits, jobs - hits] for hits, jobs in (first, second)]
    assert fisher(first, second) == pytest.approx(scipy.stats.fisher_exact(table).pvalue, rel=1e-7)


@pytest.mark.parametrize("case_id", ["newcombe-a", "newcombe-b", "newcombe-h"])
def test_newcombes_table_of_differences(case_id: str) -> None:
    case = CASES[case_id]
    found = rate_difference(tuple(case.inputs["first"]), tuple(case.inputs["second"]))
    assert found is not None
    assert case.agrees(found.low, found.high)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@pytest.mark.parametrize(
    ("first", "second"), [((0, 9), (3, 8)), ((5, 56), (0, 29)), ((40, 400), (30, 500))]
)
def test_statsmodels_limits_of_a_difference(
    first: tuple[int, int], second: tuple[int, int], confidence: float
) -> None:
    found = rate_difference(first, second, confidence)
    assert found is not None
    from statsmodels.stats.proportion import confint_proportions_2indep

    oracle = confint_proportions_2indep(
        *first, *second, method="newcomb", compare="diff", alpha=1 - confidence
    )
    assert (found.low, found.high) == pytest.approx(oracle)


def test_benjamini_and_hochbergs_fifteen_comparisons() -> None:
    case = CASES["benjamini-hochberg"]
    q_values = false_discovery(case.inputs["p"])
    found = [p for p, q in zip(case.inputs["p"], q_values, strict=True) if q <= FALSE_SHARE]
    assert case.agrees(len(found), max(found))


@pytest.mark.parametrize("seed", range(5))
def test_statsmodels_false_discovery(seed: int) -> None:
    chance = random.Random(seed)
    p_values = [chance.choice([chance.random() ** 4, 0.01, 1.0]) for _ in range(200)]
    from statsmodels.stats.multitest import multipletests

    oracle = multipletests(p_values, FALSE_SHARE, method="fdr_bh")[1]
    assert false_discovery(p_values) == pytest.approx(list(oracle))
