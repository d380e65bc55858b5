"""Static and running pressure: Kv, the flow at another pressure, and what they allow to be said."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.measuring.estimate import Error, Estimate, Trend
from desk.trade.measuring.measurement import MeasurementOutcome
from desk.trade.piping.pressure_measurement import PRESSURE
from desk.trade.piping.pressure_model import (
    BAR_PA,
    SupplyPressure,
    loss_coefficient_change,
    supply_pressure,
)

L_PER_MIN = 1e-3 / 60
NAME = message("a source")


def error(source: str, u: float) -> Error:
    return Error(source, NAME, u)


def measured(
    static_bar: float = 4.0,
    running_bar: float = 3.0,
    l_per_min: float = 6.0,
    residual_bar: float | None = None,
) -> SupplyPressure:
    return supply_pressure(
        Estimate(static_bar * BAR_PA),
        Estimate(running_bar * BAR_PA),
        Estimate(l_per_min * L_PER_MIN),
        None if residual_bar is None else residual_bar * BAR_PA,
    )


def outcome(**typed: str) -> MeasurementOutcome:
    readings = {"static": "60 psi", "running": "45 psi", "flow": "3 gpm"} | typed
    return PRESSURE.outcome(PRESSURE.understand(readings))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def test_at_a_drop_of_one_bar_kv_is_the_flow() -> None:
    assert measured().kv_m3_per_s.value == pytest.approx(6 * L_PER_MIN)


def test_at_the_pressure_it_was_measured_at_the_flow_is_the_measured_one() -> None:
    asked = measured(residual_bar=3.0).flow_at_residual_m3_per_s
    assert asked is not None
    assert asked.value == pytest.approx(6 * L_PER_MIN)


def test_without_a_residual_pressure_no_flow_is_foretold() -> None:
    assert measured().flow_at_residual_m3_per_s is None
    assert "0.54" not in measured().formula
    assert "0.54" in measured(residual_bar=2.0).formula


def test_the_offset_of_the_gauge_goes_away_in_kv_and_its_readings_do_not() -> None:
    flow = Estimate(6 * L_PER_MIN)
    gauge = error("gauge", 0.2 * BAR_PA)
    offset_only = supply_pressure(
        Estimate(4 * BAR_PA, (gauge,)), Estimate(3 * BAR_PA, (gauge,)), flow
    )
    assert offset_only.kv_m3_per_s.standard_uncertainty == pytest.approx(0, abs=1e-12)
    read = supply_pressure(
        Estimate(4 * BAR_PA, (gauge, error("first", 0.03 * BAR_PA))),
        Estimate(3 * BAR_PA, (gauge, error("second", 0.04 * BAR_PA))),
        flow,
    )
    # dKv/Kv = du/(2 dp): half of 5 % of the drop.
    relative = read.kv_m3_per_s.standard_uncertainty / read.kv_m3_per_s.value
    assert relative == pytest.approx(0.025, rel=1e-4)


drops = st.floats(0.05, 8.0)
flows = st.floats(0.5, 40.0)


@given(drops, flows, st.floats(0.1, 10))
def test_kv_scales_with_the_flow(drop: float, flow: float, factor: float) -> None:
    small, large = (
        measured(9.0, 9.0 - drop, each).kv_m3_per_s.value for each in (flow, flow * factor)
    )
    assert large == pytest.approx(factor * small)


@given(drops, flows)
def test_a_fourfold_drop_at_the_same_flow_halves_kv(drop: float, flow: float) -> None:
    small, large = (
        measured(40.0, 40.0 - each, flow).kv_m3_per_s.value for each in (drop, 4 * drop)
    )
    assert large == pytest.approx(small / 2)


@given(st.floats(0, 3.9), st.floats(0, 3.9))
def test_at_a_lower_residual_pressure_more_flows(first: float, second: float) -> None:
    low, high = sorted((first, second))
    at_low, at_high = (
        measured(residual_bar=each).flow_at_residual_m3_per_s for each in (low, high)
    )
    assert at_low is not None
    assert at_high is not None
    assert at_low.value >= at_high.value


@given(st.floats(0, 5e3), st.floats(1, 5e3), st.floats(1e-8, 1e-5))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float, of_flow: float
) -> None:
    flow = Estimate(6 * L_PER_MIN, (error("flow", of_flow),))
    running = Estimate(3 * BAR_PA)
    less, more = (
        supply_pressure(Estimate(4 * BAR_PA, errors), running, flow)
        for errors in (
            (error("known", known),),
            (error("known", known), error("further", further)),
        )
    )
    assert more.kv_m3_per_s.standard_uncertainty >= less.kv_m3_per_s.standard_uncertainty * (
        1 - 1e-6
    )


@settings(deadline=None)  # the first unit loads their registry
@given(st.floats(1.0, 8.0), st.floats(0.1, 0.95))
def test_units_commute(static_bar: float, share: float) -> None:
    running = static_bar * share
    assume(static_bar - running > 0.05)
    in_bar = outcome(static=f"{static_bar!r} bar", running=f"{running!r} bar")
    in_kpa = outcome(static=f"{static_bar * 100!r} kPa", running=f"{running * 100!r} kPa")
    assert figure(in_bar, "kv").value == pytest.approx(figure(in_kpa, "kv").value, rel=1e-9)


@pytest.mark.parametrize(
    ("static", "running", "flow", "residual", "field"),
    [
        (3.0, 4.0, 6.0, None, "running"),
        (4.0, 4.0, 6.0, None, "running"),
        (math.nan, 3.0, 6.0, None, "static"),
        (4.0, -math.inf, 6.0, None, "running"),
        (4.0, 3.0, 0.0, None, "flow"),
        (4.0, 3.0, -6.0, None, "flow"),
        (4.0, 3.0, math.nan, None, "flow"),
        (4.0, 3.0, math.inf, None, "flow"),
        (4.0, 3.0, 6.0, 4.0, "residual"),
        (4.0, 3.0, 6.0, -1.0, "residual"),
        (4.0, 3.0, 6.0, math.nan, "residual"),
    ],
)
def test_what_cannot_be_is_refused(
    static: float, running: float, flow: float, residual: float | None, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        measured(static, running, flow, residual)
    assert caught.value.field == field


def test_swapped_readings_are_named_as_the_likely_slip() -> None:
    with pytest.raises(InputError, match="swapped"):
        outcome(static="45 psi", running="60 psi")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"static": ""}, "static"),
        ({"running": "45"}, "running"),
        ({"flow": "3 psi"}, "flow"),
        ({"static": "nan psi"}, "static"),
        ({"static": "60 gpm"}, "static"),
        ({"residual": "1,030 kPa"}, "residual"),
    ],
)
def test_what_cannot_be_read_names_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


def test_other_digits_and_commas_are_read() -> None:
    assert figure(outcome(static="４,０ bar", running="3,0 bar"), "drop").value == pytest.approx(
        1e5
    )


@pytest.mark.parametrize(
    ("static", "words"),
    [
        ("95 psi", "is above 80 psi"),
        ("81 psi", "cannot be told with this gauge"),
        ("79 psi", "cannot be told with this gauge"),
        ("60 psi", "is within the 80 psi"),
    ],
)
def test_too_much_static_pressure_is_said_by_probability(static: str, words: str) -> None:
    assert words in said(outcome(static=static))


def test_the_same_gauge_point_and_no_other_draw_are_asked_for() -> None:
    assert "same gauge point" in " ".join(say(note) for note in outcome().notes)
    assert "nothing else drawing" in say(PRESSURE.help)


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"static": "600 psi"}, "look at its unit"),
        ({"static": "3 psi", "running": "1 psi"}, "look at its unit"),
        ({"flow": "300 gpm"}, "more than a tap gives"),
        ({"running": "59 psi"}, "more water run"),
        ({"running": "0 psi"}, "pressure of nothing or less"),
        ({"running": "-5 psi"}, "valve before the gauge"),
    ],
)
def test_what_is_hardly_possible_is_computed_flagged_and_rests_nothing(
    typed: dict[str, str], slip: str
) -> None:
    found = outcome(earlier_kv="0.1 m3/h", **typed)
    assert figure(found, "kv").value > 0
    assert any(slip in say(warning) for warning in found.warnings)
    assert "doubtful" in said(found)
    assert "mproved" not in said(found)


def test_an_odd_static_pressure_is_not_held_against_the_codes() -> None:
    assert "80 psi" not in said(outcome(static="600 psi"))
    assert "80 psi" in said(outcome(flow="300 gpm"))


def test_a_flow_far_beyond_the_measured_one_is_doubted() -> None:
    assert any("far beyond" in say(each) for each in outcome(residual="0 psi").warnings)
    assert outcome(residual="30 psi").warnings == ()


def test_an_earlier_kv_of_another_size_is_doubted_and_not_compared() -> None:
    found = outcome(earlier_kv="100 m3/h")
    assert any("another size" in say(each) for each in found.warnings)
    assert "Worse" not in said(found)


def test_an_earlier_cv_is_understood_and_gpm_is_asked_about() -> None:
    by_cv, by_kv = outcome(earlier_kv="2 Cv"), outcome(earlier_kv="1.729957 m3/h")
    assert figure(by_cv, "kv_change").value == pytest.approx(figure(by_kv, "kv_change").value, 1e-4)
    with pytest.raises(InputError, match="Cv") as caught:
        outcome(earlier_kv="3 gpm")
    assert caught.value.field == "earlier_kv"


def test_a_strainer_that_fills_up_is_seen() -> None:
    clean = figure(outcome(), "kv")
    filled = figure(outcome(running="30 psi"), "kv")
    change = loss_coefficient_change(clean, filled)
    assert change.trend is Trend.WORSE
    assert "strainer" in say(change.sentence)
    assert loss_coefficient_change(filled, clean).trend is Trend.IMPROVED


def test_the_readings_of_two_days_are_no_shared_error() -> None:
    kv = figure(outcome(), "kv")
    again = loss_coefficient_change(kv, kv)
    assert again.trend is Trend.NO_CHANGE
    assert again.difference.standard_uncertainty == pytest.approx(
        math.sqrt(2) * kv.standard_uncertainty, rel=1e-4
    )


def test_the_same_bucket_on_both_days_is_a_shared_error() -> None:
    bucket = replace(error("vessel 5 gal", 1e-5), lasting=True)
    kv = Estimate(1e-4, (bucket,))
    better = Estimate(1.1e-4, (bucket, error("timing left", 1e-6)))
    assert loss_coefficient_change(kv, better).trend is Trend.IMPROVED


def test_an_earlier_kv_without_uncertainty_is_taken_as_exact_and_that_is_said() -> None:
    found = outcome(earlier_kv="1.2 m3/h")
    assert figure(found, "kv_change").value < 0
    assert "Worse" in said(found)
    assert any("taken as exact" in say(source) for source in found.sources)
    assert not any("taken as exact" in say(source) for source in outcome().sources)


def test_what_was_assumed_is_told_with_its_source() -> None:
    told = " ".join(say(source) for source in outcome().sources)
    assert "B40.100" in told
    assert "from memory" in told


def test_a_flow_measured_on_the_visit_keeps_its_own_errors() -> None:
    entered = PRESSURE.understand({"static": "60 psi", "running": "45 psi", "flow": "3 gpm"})
    flow = entered["flow"].si
    assert flow is not None
    timed = Estimate(flow, (error("vessel 5 gal", 0.2 * flow),))
    found = PRESSURE.outcome(entered | {"flow": replace(entered["flow"], estimate=timed)})
    assert {each.source for each in figure(found, "kv").errors} == {
        "vessel 5 gal",
        "static_resolution",
        "running_resolution",
    }
    assert not any("Accuracy of the flow" in say(source) for source in found.sources)
