"""Errors are carried by their sources: shared ones go away in a difference, others add up."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.measuring.estimate import (
    Error,
    Estimate,
    Telling,
    Trend,
    compare,
    propagate,
    rectangular_error,
    telling,
)

NAME = message("a source")
SIZES = st.floats(1e-3, 1e3)


def from_source(source: str, u: float, degrees_of_freedom: float = math.inf) -> Error:
    return Error(source, NAME, u, degrees_of_freedom)


def test_one_thermometer_read_twice_leaves_no_calibration_error_in_the_rise() -> None:
    inlet = Estimate(285.0, (from_source("thermometer", 0.6), from_source("inlet", 0.1)))
    outlet = Estimate(320.0, (from_source("thermometer", 0.6), from_source("outlet", 0.1)))
    rise = propagate(lambda hot, cold: hot - cold, outlet, inlet)
    assert rise.value == pytest.approx(35.0)
    assert rise.standard_uncertainty == pytest.approx(math.hypot(0.1, 0.1))


@given(SIZES, SIZES, st.floats(1e-4, 0.05), st.floats(1e-4, 0.05))
def test_relative_errors_of_a_quotient_add_in_squares(
    volume: float, time: float, of_volume: float, of_time: float
) -> None:
    flow = propagate(
        lambda v, t: v / t,
        Estimate(volume, (from_source("mark", of_volume * volume),)),
        Estimate(time, (from_source("watch", of_time * time),)),
    )
    relative = flow.standard_uncertainty / flow.value
    assert relative == pytest.approx(math.hypot(of_volume, of_time), rel=1e-4)


@given(st.lists(SIZES, min_size=1, max_size=6), SIZES)
def test_another_independent_source_never_shrinks_the_standard_uncertainty(
    known: list[float], further: float
) -> None:
    errors = tuple(from_source(str(place), u) for place, u in enumerate(known))
    less = Estimate(1.0, errors).standard_uncertainty
    more = Estimate(1.0, (*errors, from_source("further", further))).standard_uncertainty
    assert more >= less


def test_degrees_of_freedom_follow_their_source() -> None:
    twice = propagate(lambda x: 2 * x, Estimate(1.0, (from_source("scatter", 0.1, 4),)))
    assert twice.uncertain.degrees_of_freedom == pytest.approx(4)
    assert twice.expanded_uncertainty == pytest.approx(2.776 * 0.2, rel=1e-3)


def test_the_same_container_before_and_after_makes_a_small_change_visible() -> None:
    mark = replace(from_source("mark of the container", 0.05), lasting=True)
    before = Estimate(1.0, (mark, from_source("first", 0.01)))
    after = Estimate(1.05, (mark, from_source("second", 0.01)))
    other = Estimate(1.05, (from_source("another mark", 0.05), from_source("second", 0.01)))
    assert compare(before, after, higher_is_better=True).trend is Trend.IMPROVED
    assert compare(before, after, higher_is_better=False).trend is Trend.WORSE
    assert compare(before, other, higher_is_better=True).trend is Trend.NO_CHANGE


def test_what_is_read_anew_is_off_by_something_else() -> None:
    read = from_source("reading of the gauge", 0.05)
    before, after = Estimate(1.0, (read,)), Estimate(1.05, (read,))
    change = compare(before, after, higher_is_better=True)
    assert change.trend is Trend.NO_CHANGE
    assert change.difference.standard_uncertainty == pytest.approx(math.hypot(0.05, 0.05))


@pytest.mark.parametrize(
    ("probability", "said"),
    [(0.95, Telling.YES), (0.949, Telling.CANNOT_TELL), (0.051, Telling.CANNOT_TELL),
     (0.05, Telling.NO)],
)  # fmt: skip
def test_a_statement_needs_nineteen_in_twenty(probability: float, said: Telling) -> None:
    assert telling(probability) is said


@pytest.mark.parametrize("half_width", [-0.1, math.inf, math.nan])
def test_an_accuracy_that_cannot_be_is_refused_where_it_was_entered(half_width: float) -> None:
    with pytest.raises(InputError, match="accuracy") as refused:
        rectangular_error("thermometer", NAME, half_width)
    assert refused.value.field == "thermometer"


def test_an_exact_value_carries_no_error() -> None:
    assert rectangular_error("thermometer", NAME, 0.0) == ()
    assert propagate(lambda x: x * 3, Estimate(2.0)) == Estimate(6.0)
