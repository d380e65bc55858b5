"""A flow measured with a container and a watch, and what it says about the appliance."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.flow.timed_flow import (
    Activation,
    FillContainer,
    FlowAnswer,
    Outlet,
    Scale,
    TimedFill,
    TimedFlow,
    answer_for,
    probability_reached,
    timed_volume,
    verdict,
)
from desk.trade.flow.unsteadiness import STEADY, Unsteadiness
from desk.trade.measuring.gum import coverage_factor
from desk.trade.reference.water_properties import density_kg_per_m3

LITRE = 1e-3
L_PER_MIN = LITRE / 60
BUCKET = FillContainer(10 * LITRE, 0.1 * LITRE)
EXACT = FillContainer(10 * LITRE, 0.0)
WARM_K = 323.15


def timed(
    *seconds: float,
    container: FillContainer = BUCKET,
    timing: float = 0.3,
    unsteadiness: Unsteadiness = STEADY,
) -> TimedFlow:
    """Time fills; of a flow that is taken as steady, so that the instruments alone count."""
    return timed_volume(
        [TimedFill(time) for time in seconds],
        container,
        timing_half_width_s=timing,
        unsteadiness=unsteadiness,
    )


def volume_share(flow: TimedFlow) -> float:
    return flow.contributions[0].standard_uncertainty_m3_per_s


def timing_share(flow: TimedFlow) -> float:
    return flow.contributions[1].standard_uncertainty_m3_per_s


def test_the_flow_is_the_volume_over_the_mean_time() -> None:
    assert timed(290, 310).flow_m3_per_s == pytest.approx(2 * L_PER_MIN)


def test_more_fills_average_the_timing_out_and_the_mark_not() -> None:
    one, three = timed(300), timed(300, 300, 300)
    assert volume_share(three) == pytest.approx(volume_share(one))
    assert timing_share(three) == pytest.approx(timing_share(one) / math.sqrt(3))


def test_three_fills_that_differ_count_by_timing_alone_and_it_is_said() -> None:
    found = timed(298, 300, 302)
    assert timing_share(found) == pytest.approx(timing_share(timed(300, 300, 300)))
    assert found.degrees_of_freedom == math.inf
    assert found.coverage_factor == pytest.approx(1.959964, abs=1e-6)
    assert [warning.values for warning in found.warnings] == [{"more": 1}]


@pytest.mark.parametrize(("apart_s", "doubts"), [(0.2, 0), (0.475, 0), (0.485, 1)])
def test_two_fills_may_differ_by_what_timing_explains(apart_s: float, doubts: int) -> None:
    # The 95 % point of chi-square with one degree of freedom is 3.841: apart by 0.480 s.
    assert len(timed(300, 300 + apart_s).warnings) == doubts


@pytest.mark.parametrize(("either_way_s", "doubts"), [(0.29, 0), (0.31, 1)])
def test_three_fills_may_differ_by_what_timing_explains(either_way_s: float, doubts: int) -> None:
    # With two degrees of freedom the point is 5.991: 0.300 s either way.
    assert len(timed(300 - either_way_s, 300, 300 + either_way_s).warnings) == doubts


def test_four_fills_count_by_their_scatter_where_it_is_larger() -> None:
    found = timed(298, 300, 302, 300, container=EXACT)
    scatter = math.sqrt(8 / 3)
    expected = found.flow_m3_per_s * scatter / math.sqrt(4) / 300
    assert found.standard_uncertainty_m3_per_s == pytest.approx(expected)
    assert found.degrees_of_freedom == pytest.approx(3)
    assert found.coverage_factor == pytest.approx(3.182446, abs=1e-6)
    assert found.warnings == ()


def test_four_fills_that_agree_count_by_timing() -> None:
    found = timed(300, 300, 300, 300.01, container=EXACT)
    expected = found.flow_m3_per_s * 0.3 / math.sqrt(3) / math.sqrt(4) / 300
    assert found.standard_uncertainty_m3_per_s == pytest.approx(expected, rel=1e-4)
    assert found.degrees_of_freedom == math.inf


def test_the_expanded_uncertainty_uses_whole_degrees_of_freedom() -> None:
    found = timed(296, 300, 304, 300)
    scatter, mark = math.sqrt(32 / 3) / 2 / 300, 0.1 / math.sqrt(3) / 10
    freedom = 3 * (math.hypot(scatter, mark) / scatter) ** 4
    assert found.degrees_of_freedom == pytest.approx(freedom)
    assert 13.5 < freedom < 14
    # Any table of Student's t at 97.5 %: 2.160 for 13 degrees of freedom, 2.145 for 14.
    assert found.coverage_factor == pytest.approx(2.160, abs=5e-4)
    assert found.expanded_uncertainty_m3_per_s == pytest.approx(
        found.coverage_factor * found.standard_uncertainty_m3_per_s
    )


def test_degrees_of_freedom_a_rounding_error_below_a_whole_number_count_as_it() -> None:
    assert coverage_factor(16 - 1e-12) == coverage_factor(16)
    assert coverage_factor(16 - 1e-6) == coverage_factor(15)


def test_weighed_water_is_turned_into_volume_by_its_density() -> None:
    found = timed_volume([TimedFill(300, 9.9), TimedFill(300, 9.9)], Scale(0.05, WARM_K))
    assert found.volume_m3 == pytest.approx(9.9 / density_kg_per_m3(WARM_K))
    assert volume_share(found) / found.flow_m3_per_s == pytest.approx(0.05 / math.sqrt(3) / 9.9)
    assert any("density" in str(source) for source in found.sources)


def test_weighed_fills_of_other_masses_do_not_scatter_by_that() -> None:
    fills = [TimedFill(mass * 30, mass) for mass in (8.0, 9.0, 10.0, 11.0)]
    assert timed_volume(fills, Scale(0.05, WARM_K)).scatter_s == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("fills", "container", "field"),
    [
        ([], BUCKET, "fill"),
        ([TimedFill(0)], BUCKET, "fill"),
        ([TimedFill(-1)], BUCKET, "fill"),
        ([TimedFill(math.nan)], BUCKET, "fill"),
        ([TimedFill(30)], FillContainer(0, 0), "container"),
        ([TimedFill(30)], FillContainer(math.inf, 0), "container"),
        ([TimedFill(30)], FillContainer(LITRE, LITRE), "graduation"),
        ([TimedFill(30)], FillContainer(LITRE, -LITRE), "graduation"),
        ([TimedFill(30, 5.0)], BUCKET, "mass"),
        ([TimedFill(30)], Scale(0.05, WARM_K), "mass"),
        ([TimedFill(30, 5.0)], Scale(0.05, 263.15), "water_temperature"),
    ],
)
def test_what_cannot_be_is_refused(
    fills: list[TimedFill], container: FillContainer | Scale, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        timed_volume(fills, container)
    assert caught.value.field == field


@pytest.mark.parametrize("half_width", [-0.1, math.nan, math.inf])
def test_a_timing_that_cannot_be_is_refused(half_width: float) -> None:
    with pytest.raises(InputError, match="timing"):
        timed(30, timing=half_width)


def test_more_than_a_tap_gives_is_answered_and_doubted() -> None:
    found = timed(3)
    assert found.flow_m3_per_s == pytest.approx(200 * L_PER_MIN)
    assert any("more than a tap gives" in str(warning) for warning in found.warnings)


def test_a_fill_far_from_the_others_is_named() -> None:
    found = timed(300, 301, 299, 150, 300)
    assert [warning.values["number"] for warning in found.warnings] == [4]


def test_of_two_fills_far_apart_both_are_named() -> None:
    numbers = [warning.values.get("number") for warning in timed(300, 150).warnings]
    assert numbers[:2] == [1, 2]


def test_fills_that_differ_on_a_perfect_watch_are_doubted() -> None:
    assert len(timed(300, 300.1, timing=0).warnings) == 1
    assert timed(300, 300, timing=0).warnings == ()


def test_a_measurement_too_coarse_for_two_figures_is_doubted() -> None:
    found = timed(1.0, timing=0.9, container=FillContainer(0.1 * LITRE, 0.0))
    assert any("too coarse" in str(warning) for warning in found.warnings)


@pytest.mark.parametrize(
    ("limit", "answer"),
    [(1.9, FlowAnswer.ENOUGH), (1.99, FlowAnswer.CANNOT_TELL), (2.1, FlowAnswer.TOO_LITTLE)],
)
def test_the_answer_follows_the_probability(limit: float, answer: FlowAnswer) -> None:
    assert verdict(timed(300), Activation(limit * L_PER_MIN)).answer is answer


@pytest.mark.parametrize(
    ("probability", "answer"),
    [(0.95, FlowAnswer.ENOUGH), (0.05, FlowAnswer.TOO_LITTLE)],
)
def test_the_bounds_belong_to_the_answers(probability: float, answer: FlowAnswer) -> None:
    found = timed(300)
    z = {0.95: 1.6448536269514722, 0.05: -1.6448536269514722}[probability]
    limit = found.flow_m3_per_s - (z * (1 + 1e-9)) * found.standard_uncertainty_m3_per_s
    assert verdict(found, Activation(limit)).answer is answer
    inside = found.flow_m3_per_s - (z * (1 - 1e-6)) * found.standard_uncertainty_m3_per_s
    assert verdict(found, Activation(inside)).answer is FlowAnswer.CANNOT_TELL


@pytest.mark.parametrize(
    ("probability", "answer"),
    [
        (1.0, FlowAnswer.ENOUGH),
        (0.95, FlowAnswer.ENOUGH),
        (math.nextafter(0.95, 0), FlowAnswer.CANNOT_TELL),
        (math.nextafter(0.05, 1), FlowAnswer.CANNOT_TELL),
        (0.05, FlowAnswer.TOO_LITTLE),
        (0.0, FlowAnswer.TOO_LITTLE),
    ],
)
def test_exactly_95_per_cent_is_enough_and_exactly_5_too_little(
    probability: float, answer: FlowAnswer
) -> None:
    assert answer_for(probability) is answer


def test_a_flow_at_the_limit_is_a_coin_toss() -> None:
    found = timed(300)
    assert verdict(found, Activation(found.flow_m3_per_s)).probability_reached == 0.5
    exact = timed(300, container=EXACT, timing=0)
    assert verdict(exact, Activation(exact.flow_m3_per_s)).probability_reached == 0.5


def test_an_activation_flow_known_badly_keeps_the_answer_open() -> None:
    found = timed(300)
    sharp = verdict(found, Activation(1.9 * L_PER_MIN))
    blurred = verdict(found, Activation(1.9 * L_PER_MIN, 0.2 * L_PER_MIN))
    assert (sharp.answer, blurred.answer) == (FlowAnswer.ENOUGH, FlowAnswer.CANNOT_TELL)
    assert (blurred.for_appliance, blurred.unproven) == (False, ())
    assert any("taken as exact" in str(source) for source in sharp.sources)
    assert not any("taken as exact" in str(source) for source in blurred.sources)


def test_the_degrees_of_freedom_are_those_of_the_difference() -> None:
    found = timed(296, 300, 304, 300)
    blurred = verdict(found, Activation(1.9 * L_PER_MIN, 0.2 * L_PER_MIN))
    assert blurred.degrees_of_freedom > found.degrees_of_freedom


@pytest.mark.parametrize(
    ("outlet", "missing"),
    [
        (Outlet(), 3),
        (Outlet(full_hot=True), 2),
        (Outlet(full_hot=True, no_mixing_valve=True), 1),
        (Outlet(full_hot=True, no_mixing_valve=True, crossing_passed=True), 0),
        (Outlet(vouched=True), 0),
    ],
)
def test_enough_is_said_of_the_outlet_until_the_rest_is_proven(
    outlet: Outlet, missing: int
) -> None:
    found = verdict(timed(300), Activation(1.5 * L_PER_MIN), outlet)
    assert len(found.unproven) == missing
    assert found.for_appliance is (missing == 0)
    assert ("at the outlet" in str(found.sentence)) is (missing > 0)


@pytest.mark.parametrize("shut", [False, True])
def test_too_little_asks_that_the_other_outlets_were_shut(shut: bool) -> None:
    found = verdict(timed(300), Activation(2.5 * L_PER_MIN), Outlet(others_shut=shut))
    assert found.answer is FlowAnswer.TOO_LITTLE
    assert found.for_appliance is shut
    assert ("at this outlet" in str(found.sentence)) is not shut


@pytest.mark.parametrize(
    ("activation", "field"),
    [
        (Activation(0), "activation"),
        (Activation(math.nan), "activation"),
        (Activation(L_PER_MIN, L_PER_MIN), "activation_accuracy"),
        (Activation(L_PER_MIN, -L_PER_MIN), "activation_accuracy"),
    ],
)
def test_an_activation_flow_that_cannot_be_is_refused(activation: Activation, field: str) -> None:
    with pytest.raises(InputError) as caught:
        verdict(timed(300), activation)
    assert caught.value.field == field


times = st.lists(st.floats(20, 400), min_size=1, max_size=8)


@given(seconds=times, factor=st.floats(0.1, 10))
def test_a_container_twice_as_large_doubles_flow_and_uncertainty(
    seconds: list[float], factor: float
) -> None:
    small = timed(*seconds)
    large = timed(
        *seconds, container=FillContainer(BUCKET.volume_m3 * factor, BUCKET.half_width_m3 * factor)
    )
    assert large.flow_m3_per_s == pytest.approx(factor * small.flow_m3_per_s)
    assert large.standard_uncertainty_m3_per_s == pytest.approx(
        factor * small.standard_uncertainty_m3_per_s
    )
    assert large.degrees_of_freedom == pytest.approx(small.degrees_of_freedom)


@given(seconds=times)
def test_the_order_of_the_fills_does_not_matter(seconds: list[float]) -> None:
    there, back = timed(*seconds), timed(*reversed(seconds))
    assert there.flow_m3_per_s == pytest.approx(back.flow_m3_per_s)
    assert there.standard_uncertainty_m3_per_s == pytest.approx(back.standard_uncertainty_m3_per_s)


@given(seconds=times, half_width=st.floats(0, 0.009), limit=st.floats(1e-6, 1e-3))
def test_another_error_never_makes_the_flow_better_known(
    seconds: list[float], half_width: float, limit: float
) -> None:
    without, with_it = (
        timed(*seconds, container=container)
        for container in (EXACT, FillContainer(10 * LITRE, half_width))
    )
    u = without.standard_uncertainty_m3_per_s
    assert with_it.standard_uncertainty_m3_per_s >= u * (1 - 1e-12)
    assert 0 <= probability_reached(with_it, Activation(limit, limit / 2))[0] <= 1


@given(seconds=times, lower=st.floats(1e-6, 1e-3), step=st.floats(0, 1e-3))
def test_a_higher_activation_flow_is_never_likelier_reached(
    seconds: list[float], lower: float, step: float
) -> None:
    found = timed(*seconds)
    low, high = (
        probability_reached(found, Activation(limit))[0] for limit in (lower, lower + step)
    )
    assert high <= low


def test_a_flow_of_more_than_a_tap_gives_is_no_verdict() -> None:
    found = verdict(timed(5), Activation(2.0 * L_PER_MIN), Outlet(vouched=True))
    assert (found.answer, found.for_appliance) == (FlowAnswer.CANNOT_TELL, False)
    assert str(found.sentence) == (
        "Cannot tell: that is more than a tap gives; check the volume and the seconds."
    )
    assert found.probability_reached is None


def test_a_stray_fill_withdraws_the_verdict_whatever_the_others_say() -> None:
    found = timed(100, 100, 600)
    for limit in (0.5, 2.0, 20.0):
        held = verdict(found, Activation(limit * L_PER_MIN), Outlet(vouched=True))
        assert (held.answer, held.for_appliance) == (FlowAnswer.CANNOT_TELL, False)
        assert held.probability_reached is None
        assert "the fills contradict each other" in str(held.sentence)


@pytest.mark.parametrize(
    ("found", "next_step"),
    [
        (timed(300, 330), "time 2 more"),
        (timed(300, 305, 310), "time 1 more"),
        (timed(300, 150), "strike out what slipped"),
        (timed(300, 301, 150, 299), "strike it out if it slipped"),
        (timed(5), "check the volume"),
        (timed(1.0, timing=0.9, container=FillContainer(0.1 * LITRE, 0.0)), "take a larger volume"),
    ],
)
def test_every_warning_withdraws_the_verdict_and_says_what_to_do(
    found: TimedFlow, next_step: str
) -> None:
    assert found.warnings
    for share in (0.3, 1.0, 3.0):
        held = verdict(found, Activation(share * found.flow_m3_per_s), Outlet(vouched=True))
        assert (held.answer, held.probability_reached) == (FlowAnswer.CANNOT_TELL, None)
        assert str(held.sentence).startswith("Cannot tell: ")
        assert next_step in str(held.sentence)


@pytest.mark.parametrize("place", [1, 2, 3])
def test_the_stray_fill_itself_is_named_and_spoils_the_verdict(place: int) -> None:
    """Of 10 L in 38, 38.2 and 60 s the last alone gives 10 L/min; together they give 13.2."""
    seconds = [38.0, 38.2]
    seconds.insert(place - 1, 60.0)
    found = timed(*seconds)
    assert found.warnings[0].values == {"number": place}
    held = verdict(found, Activation(12 * L_PER_MIN), Outlet(vouched=True))
    assert held.probability_reached is None
    assert (held.answer, held.for_appliance) == (FlowAnswer.CANNOT_TELL, False)
    assert f"fill {place} is far from the others" in str(held.sentence)


def test_by_volume_and_by_weight_each_tell_their_own_formula_and_error() -> None:
    by_volume = timed(300, 300)
    by_weight = timed_volume(
        [TimedFill(300, 9.9), TimedFill(300, 9.9)], Scale(0.05, WARM_K), unsteadiness=STEADY
    )
    assert (by_volume.weighed, by_weight.weighed) == (False, True)
    assert by_volume.formula.startswith("Q = V / mean(t); ")
    assert by_weight.formula.startswith("Q = sum(m) / (rho(T) sum(t)); ")
    assert [str(flow.contributions[0].name) for flow in (by_volume, by_weight)] == [
        "mark of the container, shared by every fill",
        "scale, shared by every fill",
    ]
    assert [len(flow.sources) for flow in (by_volume, by_weight)] == [2, 3]
