"""Heat to the water: the rise, the share of the rating, the flow it is good for, what is said."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.heating.heat_measurement import HEAT
from desk.trade.heating.heat_model import HeatToWater, heat_to_water
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import Entered, MeasurementOutcome

L_PER_MIN = 1e-3 / 60
NAME = message("a source")


def error(source: str, u: float) -> Error:
    return Error(source, NAME, u)


def celsius(degrees: float, *errors: Error) -> Estimate:
    return Estimate(degrees + 273.15, errors)


def warmed(
    l_per_min: float = 10.0, inlet: float = 10.0, outlet: float = 50.0, **asked: float
) -> HeatToWater:
    flow = Estimate(l_per_min * L_PER_MIN)
    return heat_to_water(flow, celsius(inlet), celsius(outlet), None, **asked)


def outcome(**typed: str) -> MeasurementOutcome:
    readings = {"flow": "3 gpm", "inlet": "58 F", "outlet": "125 F"} | typed
    return HEAT.outcome(HEAT.understand(readings))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def names(found: MeasurementOutcome) -> list[str]:
    return [each.name for each in found.figures]


def test_without_ratings_there_are_heat_rise_and_the_flow_at_the_nominal_rise() -> None:
    assert names(outcome()) == ["heat", "rise", "flow_at_rise"]
    assert "cannot be told without its rated output" in said(outcome())


def test_at_its_own_rise_the_heat_is_good_for_the_measured_flow() -> None:
    at_rise = warmed(wanted_rise_k=40.0).flow_at_rise_m3_per_s
    assert at_rise is not None
    assert at_rise.value == pytest.approx(10 * L_PER_MIN)


def test_the_rated_output_tells_the_flow_at_a_rise_whatever_was_drawn() -> None:
    small, large = (
        warmed(flow, rated_output_w=30e3, wanted_rise_k=40.0).flow_at_rise_m3_per_s
        for flow in (3.0, 12.0)
    )
    assert small == large
    assert small is not None
    drawn = warmed(small.value / L_PER_MIN)
    assert drawn.heat_w.value == pytest.approx(30e3)


def test_the_volume_counts_as_hot_unless_a_temperature_is_given() -> None:
    hot = outcome()
    cold = outcome(flow_temperature="58 F")
    assert figure(cold, "heat").value > figure(hot, "heat").value
    told = "taken as measured at the outlet's temperature"
    assert any(told in say(source) for source in hot.sources)
    assert not any(told in say(source) for source in cold.sources)


def test_the_offset_of_the_thermometer_goes_away_in_the_rise_and_its_readings_do_not() -> None:
    offset, first, second = error("thermometer", 0.6), error("first", 0.3), error("second", 0.4)
    flow = Estimate(10 * L_PER_MIN)
    shared = heat_to_water(flow, celsius(10, offset), celsius(50, offset))
    assert shared.rise_k.errors == ()
    assert shared.heat_w.standard_uncertainty < 1e-3 * shared.heat_w.value
    read = heat_to_water(flow, celsius(10, offset, first), celsius(50, offset, second))
    assert read.rise_k.standard_uncertainty == pytest.approx(0.5)


flows = st.floats(0.5, 40.0)
colds = st.floats(0.0, 30.0)
rises = st.floats(5.0, 60.0)


@given(flows, colds, rises, st.floats(0.1, 10))
def test_heat_scales_with_the_flow(flow: float, cold: float, rise: float, factor: float) -> None:
    small, large = (warmed(each, cold, cold + rise) for each in (flow, flow * factor))
    assert large.heat_w.value == pytest.approx(factor * small.heat_w.value)


@given(flows, colds, rises, st.floats(0.1, 9.9))
def test_a_larger_rise_is_more_heat(flow: float, cold: float, rise: float, more: float) -> None:
    less, larger = (warmed(flow, cold, cold + each) for each in (rise, rise + more))
    assert larger.heat_w.value > less.heat_w.value


@given(flows, colds, rises, rises)
def test_at_a_larger_wanted_rise_less_flows(
    flow: float, cold: float, first: float, second: float
) -> None:
    low, high = (
        warmed(flow, cold, cold + 40, wanted_rise_k=each).flow_at_rise_m3_per_s
        for each in sorted((first, second))
    )
    assert low is not None
    assert high is not None
    assert low.value >= high.value


@given(st.floats(0, 2), st.floats(0.01, 2), st.floats(1e-7, 1e-5))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float, of_flow: float
) -> None:
    flow = Estimate(10 * L_PER_MIN, (error("flow", of_flow),))
    errors = (error("known", known), error("further", further))
    less, more = (
        heat_to_water(flow, celsius(10), celsius(50, *some)).heat_w for some in (errors[:1], errors)
    )
    assert more.standard_uncertainty >= less.standard_uncertainty * (1 - 1e-6)


@settings(deadline=None)  # the first unit loads their registry
@given(st.floats(1, 30), st.floats(35, 70), st.floats(2, 20))
def test_units_commute(cold: float, hot: float, flow: float) -> None:
    in_si = outcome(inlet=f"{cold!r} C", outlet=f"{hot!r} C", flow=f"{flow!r} L/min")
    in_us = outcome(
        inlet=f"{cold * 1.8 + 32!r} F",
        outlet=f"{hot * 1.8 + 32!r} F",
        flow=f"{flow / 3.785411784!r} gpm",
    )
    for name in ("heat", "flow_at_rise"):
        assert figure(in_us, name).value == pytest.approx(figure(in_si, name).value, rel=1e-9)


@pytest.mark.parametrize(
    ("flow", "inlet", "outlet", "asked", "field"),
    [
        (0.0, 10, 50, {}, "flow"),
        (-1.0, 10, 50, {}, "flow"),
        (math.nan, 10, 50, {}, "flow"),
        (10.0, -1, 50, {}, "inlet"),
        (10.0, 10, 101, {}, "outlet"),
        (10.0, math.nan, 50, {}, "inlet"),
        (10.0, 10, math.inf, {}, "outlet"),
        (10.0, 10, 50, {"rated_output_w": 0.0}, "rated_output"),
        (10.0, 10, 50, {"rated_output_w": math.nan}, "rated_output"),
        (10.0, 10, 50, {"wanted_rise_k": 0.0}, "wanted_rise"),
        (10.0, 10, 50, {"wanted_rise_k": -40.0}, "wanted_rise"),
    ],
)
def test_what_cannot_be_is_refused(
    flow: float, inlet: float, outlet: float, asked: dict[str, float], field: str
) -> None:
    with pytest.raises(InputError) as caught:
        warmed(flow, inlet, outlet, **asked)
    assert caught.value.field == field


def test_freezing_and_boiling_water_can_be_entered() -> None:
    found = outcome(inlet="0 C", outlet="100 C")
    assert figure(found, "heat").standard_uncertainty > 0


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"inlet": ""}, "inlet"),
        ({"flow": "3 psi"}, "flow"),
        ({"outlet": "nan C"}, "outlet"),
        ({"outlet": "125"}, "outlet"),
        ({"outlet": "125 C"}, "outlet"),
        ({"flow_temperature": "-5 C"}, "flow_temperature"),
        ({"rated_output": "44,000 W"}, "rated_output"),
        ({"thermometer_accuracy": "-1 C"}, "thermometer"),
        ({"thermometer_accuracy": "120 C"}, "thermometer_accuracy"),
    ],
)
def test_what_cannot_be_read_names_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


def test_other_digits_and_commas_are_read() -> None:
    found = outcome(inlet="１０,０ C", outlet="50,0 C")
    assert figure(found, "rise").value == pytest.approx(40)


def test_readings_of_the_visit_carry_the_thermometers_errors() -> None:
    typed = HEAT.understand({"flow": "3 gpm", "outlet": "125 F"})
    read = {"inlet": Entered("", "", 287.594, Estimate(287.594))}
    assert figure(HEAT.outcome(typed | read), "rise").standard_uncertainty == pytest.approx(
        math.sqrt(2) * 0.1 / math.sqrt(3), rel=1e-6
    )


@pytest.mark.parametrize(
    ("rated", "words"),
    [
        ("100000 BTU/h", "is at its rated output"),
        ("108000 BTU/h", "cannot be told with these instruments"),
        ("112000 BTU/h", "cannot be told with these instruments"),
        ("150000 BTU/h", "is not at its rated output: less than 90 %"),
    ],
)
def test_the_rated_output_is_judged_by_probability(rated: str, words: str) -> None:
    assert words in said(outcome(rated_output=rated))


def test_another_share_may_count_as_all_of_the_rated_output() -> None:
    assert "at least 60 %" in said(outcome(rated_output="150000 BTU/h", full_output="60 %"))


@pytest.mark.parametrize(
    ("flow", "words"),
    [
        ("3 gpm", "not too small"),
        ("1 gpm", "cannot be told"),
        ("0.4 gpm", "has to go on and off"),
    ],
)
def test_a_draw_below_the_smallest_output_makes_the_burner_cycle(flow: str, words: str) -> None:
    found = outcome(flow=flow, smallest_input="40000 BTU/h")
    assert words in said(found)
    assert figure(found, "smallest_output").value == pytest.approx(0.88 * 40_000 * 0.293071, 1e-4)


def test_the_smallest_output_allows_for_an_appliance_that_condenses_or_not() -> None:
    smallest = figure(outcome(smallest_input="40000 BTU/h"), "smallest_output")
    half_width = math.sqrt(3) * smallest.standard_uncertainty / (40_000 * 0.293071)
    assert 0.88 - half_width <= 0.82
    assert 0.88 + half_width >= 0.95


def test_the_flow_of_the_rated_output_is_known_no_better_than_the_rating() -> None:
    at_rise = figure(outcome(rated_output="150000 BTU/h"), "flow_at_rise")
    assert at_rise.standard_uncertainty / at_rise.value == pytest.approx(0.05 / 3**0.5, rel=0.01)
    told = " ".join(say(each) for each in outcome(rated_output="150000 BTU/h").sources)
    assert "from its rated output, either way: 5 %" in told


def test_a_steady_minute_is_asked_for() -> None:
    assert "steadily for a minute" in " ".join(say(note) for note in outcome().notes)
    assert "steadily for a minute" in say(HEAT.help)


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"inlet": "125 F", "outlet": "58 F"}, "were swapped"),
        ({"inlet": "58 F", "outlet": "58 F"}, "were swapped"),
        ({"flow": "300 gpm"}, "more than a tap gives"),
        ({"inlet": "49 C", "outlet": "60 C"}, "warmer than a cold supply"),
        ({"outlet": "95 C"}, "hotter than water heaters go"),
        ({"outlet": "58.5 F"}, "hardly more than the thermometer"),
        ({"rated_output": "20 kW"}, "BTU/h or kW"),
        ({"smallest_input": "180000 BTU/h"}, "two were swapped"),
    ],
)
def test_what_is_hardly_possible_is_computed_flagged_and_rests_nothing(
    typed: dict[str, str], slip: str
) -> None:
    found = outcome(**({"rated_output": "120000 BTU/h", "smallest_input": "15000 BTU/h"} | typed))
    assert math.isfinite(figure(found, "heat").value)
    assert any(slip in say(warning) for warning in found.warnings)
    assert said(found) == "The heat is doubtful; see the warning before anything rests on it."


def test_water_that_would_boil_has_no_flow_at_the_wanted_rise() -> None:
    found = outcome(wanted_rise="90 C")
    assert "flow_at_rise" not in names(found)
    assert any("would boil" in say(each) for each in found.warnings)


def test_heat_that_is_none_warms_no_flow() -> None:
    assert "flow_at_rise" not in names(outcome(outlet="50 F"))
    assert "flow_at_rise" in names(outcome(outlet="50 F", rated_output="100000 BTU/h"))


def test_what_was_assumed_is_told_with_its_source() -> None:
    told = " ".join(say(source) for source in outcome(smallest_input="15000 BTU/h").sources)
    for source in ("appendix E", "from memory", "WAC 51-11C-404021"):
        assert source in told
    assert "WAC" not in " ".join(say(source) for source in outcome().sources)
