"""How long a visit is booked for, from how long such visits took."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.trade.scheduling.usual_length import (
    DEFAULT_MINUTES,
    LEAST_VISITS,
    UsualLength,
    say_usual_length,
    usual_length,
)


def test_half_of_the_visits_before_would_have_fitted() -> None:
    took = [40.0, 50.0, 68.0, 95.0, 180.0]
    assert usual_length(took) == UsualLength(75, 5)
    assert say_usual_length(usual_length(took)) == (
        "75 minutes: half of 5 finished visits like this took no longer"
    )


def test_few_visits_say_nothing_and_that_is_said() -> None:
    assert usual_length([30.0] * (LEAST_VISITS - 1)) == UsualLength(DEFAULT_MINUTES, 0)
    assert say_usual_length(usual_length([])) == (
        "60 minutes, until 5 visits like this are finished"
    )


@pytest.mark.parametrize("left_open", [1.0, -20.0, 3 * 24 * 60.0])
def test_a_visit_written_down_afterwards_counts_for_nothing(left_open: float) -> None:
    took = [30.0] * LEAST_VISITS
    assert usual_length([*took, left_open]) == usual_length(took)


@given(st.lists(st.floats(5, 720), min_size=LEAST_VISITS, max_size=60))
def test_at_least_half_took_no_longer_and_a_quarter_less_would_not_do(took: list[float]) -> None:
    usual = usual_length(took)
    assert usual.minutes % 15 == 0
    assert sum(one <= usual.minutes for one in took) * 2 >= len(took)
    assert sum(one <= usual.minutes - 15 for one in took) * 2 <= len(took)
