"""Pulses of a flow sensor at a measured flow."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.electrical.pulses import LITRE_M3, MakerFigure, flow_pulses
from desk.trade.electrical.registry import PULSES
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import MeasurementOutcome

NAME = message("a source")
L_PER_MIN = LITRE_M3 / 60


def outcome(**typed: str) -> MeasurementOutcome:
    readings = {"frequency": "60 Hz", "flow": "6 L/min"} | typed
    return PULSES.outcome(PULSES.understand(readings))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def test_pulses_are_told_a_litre_and_a_gallon() -> None:
    found = outcome()
    assert figure(found, "pulses_per_litre").value == pytest.approx(600)
    assert figure(found, "pulses_per_gallon").value == pytest.approx(600 * 3.785411784)


@given(st.floats(1, 1000), st.floats(0.5, 40), st.floats(0.1, 10))
def test_pulses_a_volume_do_not_depend_on_the_flow_where_both_grow(
    hertz: float, l_per_min: float, factor: float
) -> None:
    one, other = (
        flow_pulses(Estimate(each * hertz), Estimate(each * l_per_min * L_PER_MIN)).per_m3.value
        for each in (1.0, factor)
    )
    assert one == pytest.approx(other)


@given(st.floats(0.01, 10), st.floats(0.01, 10))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float
) -> None:
    less, more = (
        flow_pulses(Estimate(60.0, errors), Estimate(1e-4)).per_m3.standard_uncertainty
        for errors in (
            (Error("known", NAME, known),),
            (Error("known", NAME, known), Error("further", NAME, further)),
        )
    )
    assert more >= less * (1 - 1e-9)


def test_without_the_maker_s_figure_nothing_is_compared() -> None:
    found = outcome()
    assert found.words == {}
    assert "gives pulses" in said(found)


@pytest.mark.parametrize(
    ("maker", "agrees"), [("600", "yes"), ("660", "cannot_tell"), ("900", "no")]
)
def test_the_maker_s_figure_is_held_against_it_by_probability(maker: str, agrees: str) -> None:
    assert outcome(maker=maker, maker_per="litre").words["agrees"] == agrees


def test_a_figure_a_gallon_is_understood_as_such() -> None:
    assert outcome(maker="2271", maker_per="gallon").words["agrees"] == "yes"


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"maker": "2271", "maker_per": "litre"}, "a litre or a US gallon"),
        ({"maker": "10", "maker_per": "litre"}, "a second (Hz) or a minute"),
        ({"flow": "300 L/min", "maker": "12", "maker_per": "litre"}, "more than a tap gives"),
        ({"frequency": "60 kHz"}, "Hz or kHz"),
    ],
)
def test_a_likely_slip_is_named_and_nothing_rests_on_it(typed: dict[str, str], slip: str) -> None:
    found = outcome(**typed)
    assert any(slip in say(each) for each in found.warnings)
    assert "doubtful" in said(found)
    assert found.words.get("agrees", "cannot_tell") == "cannot_tell"


def test_no_pulses_while_water_runs_are_told_as_such() -> None:
    assert "No pulses while water runs" in said(outcome(frequency="0 Hz"))
    assert "No pulses" in said(outcome(frequency="0 Hz", maker="600", maker_per="litre"))


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"frequency": ""}, "frequency"),
        ({"frequency": "60"}, "frequency"),
        ({"frequency": "-60 Hz"}, "frequency"),
        ({"frequency": "nan Hz"}, "frequency"),
        ({"flow": "0 gpm"}, "flow"),
        ({"flow": "60 Hz"}, "flow"),
        ({"maker": "600"}, "maker_per"),
        ({"maker": "0", "maker_per": "litre"}, "maker"),
        ({"maker": "many", "maker_per": "litre"}, "maker"),
        ({"maker": "600", "maker_per": "pint"}, "maker_per"),
        ({"maker": "600", "maker_per": "litre", "tolerance": "0 %"}, "tolerance"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


@pytest.mark.parametrize("hertz", [-1.0, math.nan, math.inf])
def test_a_frequency_that_cannot_be_is_refused(hertz: float) -> None:
    with pytest.raises(InputError) as caught:
        flow_pulses(Estimate(hertz), Estimate(1e-4))
    assert caught.value.field == "frequency"


@pytest.mark.parametrize("per_m3", [0.0, -1.0, math.nan, math.inf])
def test_a_maker_s_figure_that_cannot_be_is_refused(per_m3: float) -> None:
    with pytest.raises(InputError) as caught:
        flow_pulses(Estimate(60.0), Estimate(1e-4), MakerFigure(per_m3, 0.1))
    assert caught.value.field == "maker"


def test_a_probability_is_for_the_appendix_and_scripts() -> None:
    found = outcome(maker="600", maker_per="litre")
    assert [each.name for each in found.figures if each.detail] == ["probability_agrees"]


def test_only_what_was_used_is_told_as_assumed() -> None:
    told = " ".join(say(each) for each in outcome().sources)
    assert "Agrees within" not in told
    assert "wanders with the flow" in told


def test_electronics_are_never_tested_by_resistance_and_mains_is_named() -> None:
    assert "tested by resistance" in say(PULSES.help)
    assert "mains voltage" in say(PULSES.help)
