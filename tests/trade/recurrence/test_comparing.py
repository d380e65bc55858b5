"""Rates held apart, two by two and each against the rest."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.recurrence import against_the_rest, rate_difference
from desk.trade.recurrence.rate_comparison import false_discovery

shares = st.integers(1, 300).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))


@settings(deadline=None)  # libraries are loaded by the first
@given(shares, shares, st.floats(0.5, 0.99))
def test_the_limits_hold_the_difference_and_turn_with_it(
    first: tuple[int, int], second: tuple[int, int], confidence: float
) -> None:
    found = rate_difference(first, second, confidence)
    turned = rate_difference(second, first, confidence)
    assert found is not None
    assert turned is not None
    assert -1 <= found.low <= found.difference <= found.high <= 1
    assert (turned.low, turned.high) == pytest.approx((-found.high, -found.low))
    assert turned.told_apart is found.told_apart


def test_a_difference_of_nothing_counted_is_none() -> None:
    assert rate_difference((0, 0), (1, 5)) is None
    assert rate_difference((1, 5), (0, 0)) is None


@settings(deadline=None)  # libraries are loaded by the first
@given(st.lists(shares, min_size=2, max_size=12))
def test_groups_of_one_count_are_judged_alike_and_no_q_is_below_its_p(
    groups: list[tuple[int, int]],
) -> None:
    found = against_the_rest(groups)
    judged = {group: one.p_value for group, one in zip(groups, found, strict=True)}
    for group, one in zip(groups, found, strict=True):
        assert one.p_value == judged[group]
        assert one.p_value is not None
        assert one.q_value is not None
        assert 0 <= one.p_value <= one.q_value <= 1
        assert one.looked_at == len(groups)


def test_one_bad_group_among_many_stands_out_and_no_good_one_does() -> None:
    found = against_the_rest([(30, 100), *([(5, 100)] * 20)])
    assert [one.stands_out for one in found] == [True] + [False] * 20
    assert found[0].above
    assert not found[1].above


def test_what_one_comparison_would_call_odd_is_not_among_a_hundred() -> None:
    odd, even = (14, 100), (6, 100)
    alone = against_the_rest([odd, (600, 10_000)])
    among = against_the_rest([odd, *([even] * 100)])
    assert alone[0].p_value == pytest.approx(0.003, abs=0.003)
    assert alone[0].stands_out
    assert not among[0].stands_out


def test_groups_that_share_jobs_are_held_against_the_total() -> None:
    found = against_the_rest([(4, 10), (4, 10)], total=(4, 40))
    apart = against_the_rest([(4, 10), (0, 30)])
    assert found[0].p_value == apart[0].p_value


def test_a_group_without_jobs_and_a_group_of_all_are_not_compared() -> None:
    nothing, everything = against_the_rest([(0, 0), (3, 9)])
    assert (nothing.p_value, nothing.q_value, nothing.looked_at) == (None, None, 0)
    assert everything.p_value is None
    assert not everything.stands_out


@pytest.mark.parametrize("groups", [[(3, 2), (0, 9)], [(-1, 2), (5, 9)]])
def test_counts_that_contradict_each_other_are_refused(groups: list[tuple[int, int]]) -> None:
    with pytest.raises(InputError):
        against_the_rest(groups)


def test_a_group_larger_than_the_total_is_refused() -> None:
    with pytest.raises(InputError):
        against_the_rest([(3, 20)], total=(5, 10))


def test_comparisons_that_were_not_made_cost_nothing() -> None:
    assert false_discovery([0.01, None, 0.04]) == [0.02, None, 0.04]
    assert false_discovery([]) == []
