"""Worth a second look: what chance explains is not shown, and what it does not is, in order."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
import scipy
from hypothesis import assume, given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.recurrence.outliers import (
    LEAST,
    FailureCount,
    Outlier,
    OutlierKind,
    Share,
    appliance_found,
    part_found,
    street_found,
    stuck_found,
    worth_a_look,
)
from desk.trade.recurrence.rate_comparison import FALSE_SHARE

NEW_YEAR = date(2026, 1, 1)


def shares(most: int = 60) -> st.SearchStrategy[Share]:
    return st.integers(0, most).flatmap(
        lambda of: st.builds(Share, hits=st.integers(0, of), of=st.just(of))
    )


def days(*offsets: int) -> list[date]:
    return [NEW_YEAR + timedelta(days=offset) for offset in sorted(offsets)]


def found(p_value: float, *, cases: int = 8, expected: float = 1.0, key: str = "") -> Outlier:
    nothing = message("Nothing.")
    return Outlier(
        OutlierKind.PART, key or str(p_value), cases, expected, p_value, nothing, nothing
    )


@given(shares(), shares())
def test_parts_are_judged_by_fishers_exact_test(its: Share, others: Share) -> None:
    """The oracle is scipy.stats.fisher_exact, one-sided."""
    assume(its.of and others.of)
    table = [[its.hits, its.of - its.hits], [others.hits, others.of - others.hits]]

    expected = scipy.stats.fisher_exact(table, alternative="greater").pvalue

    assert part_found("P-1", "Filter", its, others).p_value == pytest.approx(expected, rel=1e-9)


@given(shares(), shares())
def test_hard_water_is_judged_by_fishers_exact_test_within_the_model(
    hard: Share, softer: Share
) -> None:
    assume(hard.of and softer.of)
    table = [[hard.hits, hard.of - hard.hits], [softer.hits, softer.of - softer.hits]]

    expected = scipy.stats.fisher_exact(table, alternative="greater").pvalue

    assert stuck_found("Fern 24", hard, softer).p_value == pytest.approx(expected, rel=1e-9)


@given(
    st.integers(0, 40),
    st.integers(0, 3000),
    st.floats(0.1, 50, allow_nan=False),
    st.floats(1, 90_000, allow_nan=False),
)
def test_appliances_are_judged_by_the_rate_of_their_kind(
    failures: int, others: int, years: float, others_years: float
) -> None:
    """The oracle is the binomial tail of SciPy, with the share of the years."""
    share = years / (years + others_years)
    expected = scipy.stats.binom.sf(failures - 1, failures + others, share)

    one = appliance_found(
        "A-1", "A-1", FailureCount(failures, years), FailureCount(others, others_years)
    )

    assert one.p_value == pytest.approx(expected, rel=1e-7, abs=1e-300)


def test_a_million_jobs_are_judged_as_exactly_as_a_hundred() -> None:
    """Oracle: scipy.stats.hypergeom."""
    its, others = Share(2_300, 20_000), Share(99_000, 980_000)

    expected = scipy.stats.hypergeom.sf(its.hits - 1, 1_000_000, 101_300, its.of)

    assert part_found("P", "Vane", its, others).p_value == pytest.approx(expected, rel=1e-6)


def test_an_appliance_that_nothing_is_compared_with_is_not_accused() -> None:
    assert appliance_found("A-1", "A-1", FailureCount(9, 2.0), FailureCount(0, 0.0)).p_value == 1.0


@given(st.lists(st.floats(0, 1, allow_nan=False), min_size=1, max_size=30))
def test_what_is_shown_is_held_against_false_discovery(p_values: list[float]) -> None:
    """The oracle is scipy.stats.false_discovery_control (Benjamini and Hochberg)."""
    adjusted = scipy.stats.false_discovery_control(p_values)

    shown = worth_a_look(
        [found(p, key=str(place)) for place, p in enumerate(p_values)], most=len(p_values)
    )

    q_values = {int(line.found.key): line.q_value for line in shown}
    for place, q in enumerate(adjusted):
        assert (place in q_values) == (q <= FALSE_SHARE)
    for place, q in q_values.items():
        assert q == pytest.approx(adjusted[place], abs=1e-12)


def test_everything_that_was_looked_at_counts_not_only_what_looks_bad() -> None:
    bad = [found(0.001)]

    assert worth_a_look(bad)
    assert not worth_a_look(bad, looked_at=1_000)


def test_too_few_cases_are_never_shown() -> None:
    assert not worth_a_look([found(1e-9, cases=LEAST - 1)])
    assert worth_a_look([found(1e-9, cases=LEAST)])


def test_what_stands_for_most_jobs_comes_first() -> None:
    ranked = worth_a_look(
        [found(1e-9, cases=5, expected=1), found(1e-4, cases=30, expected=10, key="many")]
    )

    assert [line.found.key for line in ranked] == ["many", "1e-09"]


def test_a_small_number_is_cautioned_against() -> None:
    few, many = (say(worth_a_look([found(0.001, cases=cases)])[0].caution) for cases in (LEAST, 20))

    assert "Only 3 cases" in few
    assert "once in 1,000" in many


def test_a_street_whose_strainers_fill_from_a_day_on_is_found_with_that_day() -> None:
    elsewhere = days(*range(0, 1000, 2))

    one = street_found("Weir Lane", days(700, 710, 720, 730, 745, 760), elsewhere)

    assert one is not None
    assert one.since == NEW_YEAR + timedelta(days=700)
    assert (one.cases, round(one.expected, 1)) == (6, 1.8)
    assert one.p_value < 0.01
    assert "6 times since" in say(one.sentence)


def test_a_street_whose_strainers_fill_evenly_is_not_accused() -> None:
    elsewhere = days(*range(0, 1000, 2))

    one = street_found("Weir Lane", days(50, 260, 480, 640, 810, 990), elsewhere)

    assert one is not None
    assert one.p_value > 0.5


def test_a_shop_that_grew_does_not_accuse_its_streets() -> None:
    grown = days(*range(0, 600, 60), *range(600, 1000))

    one = street_found("Weir Lane", days(700, 710, 720, 730, 745, 760), grown)

    assert one is not None
    assert one.p_value > 0.5


def test_a_street_with_two_blocked_strainers_says_nothing() -> None:
    assert street_found("Weir Lane", days(1, 2), days(*range(100))) is None


def test_more_cannot_be_found_than_was_looked_at() -> None:
    with pytest.raises(InputError, match="More was found"):
        worth_a_look([found(0.5), found(0.6)], looked_at=1)


def test_counts_that_cannot_be_are_refused() -> None:
    with pytest.raises(InputError, match="less than none"):
        part_found("P", "Filter", Share(3, 2), Share(0, 5))
    with pytest.raises(InputError, match="less than none"):
        appliance_found("A", "A", FailureCount(-1, 2.0), FailureCount(0, 5.0))


def test_a_fair_shop_is_seldom_told_anything() -> None:
    """2,000 invented appliances of one rate, twenty shops: a line in at most two of them."""
    import numpy as np

    random = np.random.default_rng(20261126)
    told = 0
    for _shop in range(20):
        years = random.uniform(0.5, 12, 2000)
        failures = random.poisson(0.3 * years)
        all_failures, all_years = int(failures.sum()), float(years.sum())
        lines = worth_a_look(
            appliance_found(
                str(place),
                str(place),
                FailureCount(int(own), float(time)),
                FailureCount(all_failures - int(own), all_years - float(time)),
            )
            for place, (own, time) in enumerate(zip(failures, years, strict=True))
        )
        told += bool(lines)

    assert told <= 2
