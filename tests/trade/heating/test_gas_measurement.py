"""Gas input: from dial and watch to input and efficiency, and what may be said of them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.heating.atmosphere import standard_altitude_m, standard_pressure_pa
from desk.trade.heating.gas_measurement import GAS_INPUT
from desk.trade.heating.gas_model import AtMeter, Basis, GasInput, gas_input, plausible
from desk.trade.heating.gas_rating import derated_input_w
from desk.trade.heating.heat_measurement import HEAT
from desk.trade.measuring.estimate import Error, Estimate, Telling, Trend, compare
from desk.trade.measuring.measurement import Entered, MeasurementOutcome

BASE_PA, BASE_K = 101_560.0, 288.706
HEATING_VALUE = 38.4e6
NAME = message("a source")


def error(source: str, u: float) -> Error:
    return Error(source, NAME, u)


def at_meter(pressure_pa: float = BASE_PA, temperature_k: float = BASE_K) -> AtMeter:
    return AtMeter(Estimate(pressure_pa), Estimate(temperature_k), BASE_PA, BASE_K)


def burnt(
    volume_m3: float = 0.05,
    seconds: float = 40.0,
    meter: AtMeter | None = None,
    heat_w: float | None = None,
    rated_input_w: float | None = None,
) -> GasInput:
    return gas_input(
        Estimate(volume_m3),
        Estimate(seconds),
        meter or at_meter(),
        Estimate(HEATING_VALUE),
        heat_w=None if heat_w is None else Estimate(heat_w),
        rated_input_w=rated_input_w,
    )


def watts(found: GasInput) -> Estimate:
    assert found.input_w is not None
    return found.input_w


def outcome(**typed: str) -> MeasurementOutcome:
    readings = {"dial": "2 ft3", "seconds": "41.5"} | typed
    return GAS_INPUT.outcome(GAS_INPUT.understand(readings))


def rated(**typed: str) -> MeasurementOutcome:
    """Return the outcome where the atmosphere and 7 inH2O of gas make the standard pressure."""
    return outcome(**{"atmospheric_pressure": "99.816 kPa"} | typed)


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def noted(found: MeasurementOutcome) -> str:
    return " ".join(say(note) for note in found.notes)


def told(found: MeasurementOutcome) -> str:
    return " ".join(say(source) for source in found.sources)


def figure(found: MeasurementOutcome, name: str) -> Estimate:
    return next(each.estimate for each in found.figures if each.name == name)


def names(found: MeasurementOutcome) -> list[str]:
    return [each.name for each in found.figures]


# 2 ft3 in 41.5 s are 173.494 ft3/h, at 1030 BTU/ft3 178 699 BTU/h or 52 371 W.
def test_dial_and_seconds_alone_tell_rate_and_input() -> None:
    found = outcome()
    assert names(found) == ["volume_rate", "input"]
    assert figure(found, "volume_rate").value * 3600 / 0.3048**3 == pytest.approx(173.494, abs=1e-3)
    assert figure(found, "input").value == pytest.approx(52_371, abs=1)


def test_seconds_may_be_typed_with_their_unit_or_as_on_a_watch() -> None:
    rate = figure(outcome(), "volume_rate")
    assert figure(outcome(seconds="41.5 s"), "volume_rate") == rate
    assert figure(outcome(seconds="0:41.5"), "volume_rate") == rate


def test_two_turns_in_twice_the_time_are_the_same_rate_and_better_known() -> None:
    one, two = (
        figure(each, "volume_rate") for each in (outcome(), outcome(turns="2", seconds="83"))
    )
    assert two.value == pytest.approx(one.value)
    assert two.standard_uncertainty < one.standard_uncertainty


def test_the_error_of_the_meter_does_not_go_away_by_more_turns() -> None:
    many = figure(outcome(turns="100", seconds="4150"), "volume_rate")
    assert many.standard_uncertainty / many.value == pytest.approx(0.02 / math.sqrt(3), rel=0.01)


def test_nothing_known_of_the_gas_takes_the_volume_as_read_and_says_so() -> None:
    found = outcome()
    assert "taken as the meter reads it" in noted(found)
    assert "pressure at the meter is not known" in told(found)
    assert "temperature at the meter is not known" in told(found)
    assert "standard_volume_rate" not in names(found)


def test_what_the_meter_compensates_for_is_left_alone() -> None:
    found = outcome(meter_compensates="both", gas_pressure_at_meter="2 psi", gas_temperature="0 C")
    assert figure(found, "standard_volume_rate").value == pytest.approx(
        figure(found, "volume_rate").value
    )
    assert "not known" not in told(found)
    assert "as the meter reads it" not in noted(found)
    assert (
        figure(found, "input").standard_uncertainty
        < figure(outcome(), "input").standard_uncertainty
    )


def test_a_meter_that_compensates_for_temperature_leaves_the_pressure() -> None:
    found = outcome(
        meter_compensates="temperature", gas_temperature="0 C", atmospheric_pressure="83.4 kPa"
    )
    ratio = figure(found, "standard_volume_rate").value / figure(found, "volume_rate").value
    assert ratio == pytest.approx((83.4e3 + 7 * 249.089) / 101_560, rel=1e-4)
    assert "7 inH2O" in told(found)


def test_a_gauge_pressure_stands_on_the_atmosphere_at_the_sea() -> None:
    found = outcome(gas_pressure_at_meter="2 psi", meter_compensates="temperature")
    ratio = figure(found, "standard_volume_rate").value / figure(found, "volume_rate").value
    assert ratio == pytest.approx((101_325 + 2 * 6_894.757) / 101_560, rel=1e-4)
    assert "101.325 kPa" in told(found)


def test_cold_gas_holds_more() -> None:
    found = outcome(gas_temperature="32 F", meter_compensates="none")
    ratio = figure(found, "standard_volume_rate").value / figure(found, "volume_rate").value
    assert ratio == pytest.approx(288.706 / 273.15, rel=1e-4)


volumes = st.floats(0.001, 1)
times = st.floats(5, 1000)


@given(volumes, times, st.floats(0.1, 10))
def test_input_scales_with_the_volume_and_against_the_time(
    volume: float, seconds: float, factor: float
) -> None:
    once = watts(burnt(volume, seconds)).value
    assert watts(burnt(volume * factor, seconds)).value == pytest.approx(factor * once)
    assert watts(burnt(volume, seconds * factor)).value == pytest.approx(once / factor)


@given(st.floats(60e3, 200e3), st.floats(60e3, 200e3), st.floats(240, 330), st.floats(240, 330))
def test_denser_gas_is_more_input(
    first_pa: float, second_pa: float, first_k: float, second_k: float
) -> None:
    (thin_pa, dense_pa), (cold_k, hot_k) = (
        sorted((first_pa, second_pa)),
        sorted((first_k, second_k)),
    )
    thin, dense = burnt(meter=at_meter(thin_pa, hot_k)), burnt(meter=at_meter(dense_pa, cold_k))
    assert watts(dense).value >= watts(thin).value


@given(st.floats(0, 1e-3), st.floats(1e-5, 1e-3), st.floats(0.01, 1))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float, of_time: float
) -> None:
    seconds = Estimate(40.0, (error("time", of_time),))
    errors = (error("known", known), error("further", further))
    less, more = (
        watts(gas_input(Estimate(0.05, some), seconds, at_meter(), Estimate(HEATING_VALUE)))
        for some in (errors[:1], errors)
    )
    assert more.standard_uncertainty >= less.standard_uncertainty * (1 - 1e-6)


@settings(deadline=None)  # the first unit loads their registry
@given(st.floats(0.5, 10), st.floats(10, 500), st.floats(900, 1200))
def test_units_commute(feet: float, seconds: float, btu: float) -> None:
    in_us = outcome(
        dial=f"{feet!r} ft3", seconds=f"{seconds!r} s", heating_value=f"{btu!r} BTU/ft3"
    )
    in_si = outcome(
        dial=f"{feet * 28.316846592!r} L",
        seconds=f"{seconds / 60!r} min",
        heating_value=f"{btu * 1.05505585262e-3 / 0.028316846592!r} MJ/m3",
    )
    for name in ("volume_rate", "input"):
        assert figure(in_us, name).value == pytest.approx(figure(in_si, name).value, rel=1e-9)


@pytest.mark.parametrize(
    ("volume", "seconds", "meter", "field"),
    [
        (0.0, 40.0, at_meter(), "dial"),
        (math.nan, 40.0, at_meter(), "dial"),
        (0.05, 0.0, at_meter(), "seconds"),
        (0.05, -40.0, at_meter(), "seconds"),
        (0.05, math.inf, at_meter(), "seconds"),
        (0.05, 40.0, at_meter(pressure_pa=1.7e3), "gas_pressure_at_meter"),
        (0.05, 40.0, at_meter(temperature_k=0.0), "gas_temperature"),
        (0.05, 40.0, at_meter(temperature_k=math.nan), "gas_temperature"),
        (0.05, 40.0, AtMeter(Estimate(1e5), Estimate(288.0), 0.0, BASE_K), "base_pressure"),
        (0.05, 40.0, AtMeter(Estimate(1e5), Estimate(288.0), 1e5, 60.0), "base_temperature"),
    ],
)
def test_what_cannot_be_is_refused(
    volume: float, seconds: float, meter: AtMeter, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        burnt(volume, seconds, meter)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"dial": ""}, "dial"),
        ({"dial": "2"}, "dial"),
        ({"dial": "2 gpm"}, "dial"),
        ({"seconds": "-41.5"}, "seconds"),
        ({"seconds": "0"}, "seconds"),
        ({"seconds": "nan"}, "seconds"),
        ({"seconds": "inf s"}, "seconds"),
        ({"turns": "0"}, "turns"),
        ({"turns": "two"}, "turns"),
        ({"heating_value": "0 BTU/ft3"}, "heating_value"),
        ({"heating_value": "1,030 kJ/m3"}, "heating_value"),
        ({"rated_input": "0 kW"}, "rated_input"),
        ({"basis": "lower"}, "basis"),
        ({"gas_pressure_at_meter": "-1 kPa"}, "gas_pressure_at_meter"),
        ({"atmospheric_pressure": "0 psi"}, "atmospheric_pressure"),
        ({"meter_accuracy": "-1 %"}, "meter_accuracy"),
        ({"meter_accuracy": "1"}, "meter_accuracy"),
        ({"atmospheric_pressure": "14.7 psig"}, "atmospheric_pressure"),
        ({"base_pressure": "1 barg"}, "base_pressure"),
        ({"altitude": "1600"}, "altitude"),
        ({"altitude": "9000 m"}, "altitude"),
        ({"altitude": "-2000 ft"}, "altitude"),
        ({"altitude": "1600 kPa"}, "altitude"),
    ],
)
def test_what_cannot_be_read_names_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


def test_other_digits_and_commas_are_read() -> None:
    found = outcome(seconds="４１,５", heating_value="1,030 BTU/ft3")
    assert figure(found, "input").value == pytest.approx(52_371, abs=1)


def test_natural_gas_stands_in_where_nothing_is_known_and_that_is_told() -> None:
    for found in (outcome(), outcome(fuel="natural_gas")):
        assert "natural gas of 1030 BTU/ft3, gross, give or take 5 %" in told(found)
    assert "natural gas of" not in told(outcome(heating_value="1030 BTU/ft3"))


@pytest.mark.parametrize("typed", [{"fuel": "lpg"}, {"fuel": "other"}, {"basis": "net"}])
def test_no_heating_value_stands_in_for_another_gas_or_basis(typed: dict[str, str]) -> None:
    found = outcome(**typed)
    assert names(found) == ["volume_rate"]
    assert "cannot be told without the heating value" in said(found)
    assert found.words == {}


def test_bottled_gas_without_a_meter_is_not_measurable() -> None:
    assert "without a meter cannot be measured" in say(GAS_INPUT.help)
    assert "only a meter that counts the vapour" in said(outcome(fuel="lpg"))


def test_a_heating_value_from_the_supplier_is_better_known() -> None:
    typed, assumed = (
        figure(each, "input").standard_uncertainty
        for each in (outcome(heating_value="1030 BTU/ft3"), outcome())
    )
    assert typed < assumed


def test_gross_or_net_is_always_named() -> None:
    net = outcome(basis="net", heating_value="930 BTU/ft3", heat="40 kW")
    gross = outcome(heating_value="1030 BTU/ft3", heat="40 kW")
    assert (net.words, gross.words) == ({"basis": "net"}, {"basis": "gross"})
    assert "by its net heating value" in said(net)
    assert "by its gross heating value" in said(gross)
    assert {say(each.label) for each in net.figures} >= {"Gas input, net", "Efficiency, net"}


def test_efficiency_is_heat_over_input_with_the_errors_of_both() -> None:
    heat = Estimate(1600.0, (error("flow", 80.0),))
    volume = Estimate(0.002, (error("meter", 0.00004),))
    found = gas_input(volume, Estimate(38.4), at_meter(), Estimate(1e6 * 38.4), heat_w=heat)
    assert found.efficiency is not None
    assert found.efficiency.value == pytest.approx(0.8)
    relative = found.efficiency.standard_uncertainty / found.efficiency.value
    assert relative == pytest.approx(math.hypot(0.05, 0.02), rel=1e-4)


def test_the_heat_of_this_visit_brings_its_own_errors() -> None:
    heat = HEAT.outcome(HEAT.understand({"flow": "4 gpm", "inlet": "58 F", "outlet": "125 F"}))
    watts_of_visit = figure(heat, "heat")
    given_here = GAS_INPUT.understand({"dial": "2 ft3", "seconds": "41.5"})
    taken = {"heat": Entered("", "", watts_of_visit.value, watts_of_visit)}
    found = GAS_INPUT.outcome(given_here | taken)
    sources = {each.source for each in figure(found, "efficiency").errors}
    assert sources >= {"flow_accuracy", "inlet_resolution", "gas_meter", "heating_value"}
    assert "heat_accuracy" not in sources
    assert "Accuracy of the heat" not in told(found)
    assert "Accuracy of the heat" in told(outcome(heat="40 kW"))


@pytest.mark.parametrize(
    ("efficiency", "basis", "answer"),
    [
        (0.82, Basis.GROSS, Telling.YES),
        (0.97, Basis.GROSS, Telling.CANNOT_TELL),
        (1.02, Basis.GROSS, Telling.CANNOT_TELL),
        (1.30, Basis.GROSS, Telling.NO),
        (1.02, Basis.NET, Telling.YES),
        (1.30, Basis.NET, Telling.NO),
        (0.52, Basis.GROSS, Telling.CANNOT_TELL),
        (0.30, Basis.GROSS, Telling.NO),
    ],
)
def test_whether_an_efficiency_is_plausible(
    efficiency: float, basis: Basis, answer: Telling
) -> None:
    assert plausible(Estimate(efficiency, (error("all", 0.04),)), basis) is answer


@pytest.mark.parametrize(
    ("heat", "words"),
    [
        ("42 kW", "About 80 % of the gas's heat"),
        ("50 kW", "whether it is plausible cannot be told"),
        ("65 kW", "doubtful"),
        ("13 kW", "doubtful"),
    ],
)
def test_what_is_said_of_the_efficiency(heat: str, words: str) -> None:
    assert words in said(outcome(heat=heat))


@pytest.mark.parametrize(
    ("plate", "words"),
    [
        ("178700 BTU/h", "gets its rated input, to within 20 %"),
        ("140000 BTU/h", "cannot be told from this reading"),
        ("125000 BTU/h", "more than 20 % over its rated input"),
        ("260000 BTU/h", "more than 20 % less than its rated input"),
    ],
)
def test_the_rated_input_is_judged_by_probability(plate: str, words: str) -> None:
    assert words in said(rated(rated_input=plate, rated_tolerance="20 %"))


def test_setting_a_burner_is_for_a_licensed_person() -> None:
    assert "licensed person" in said(rated(rated_input="125000 BTU/h"))
    assert {"stop_and_leave", "gas_and_flue", "co_monitor"} <= set(GAS_INPUT.cautions)


def test_full_fire_and_nothing_else_burning_are_asked_for() -> None:
    for text in (noted(outcome()), say(GAS_INPUT.help)):
        assert "other gas appliance" in text
        assert "full fire" in text


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ({"rated_input": "60000 BTU/h"}, "size of the dial"),
        ({"rated_input": "60000 BTU/h"}, "minutes typed as seconds"),
        ({"seconds": "0.7"}, "minutes typed as seconds"),
        ({"seconds": "41.5 min"}, "seconds typed as minutes"),
        ({"rated_input": "180000 BTU/h", "seconds": "41.5 min"}, "seconds typed as minutes"),
        ({"seconds": "0.7"}, "too briefly"),
        ({"heat": "70 kW"}, "More heat in the water than in the gas"),
        ({"heat": "10 kW"}, "Less than half"),
        ({"heat": "0 kW"}, "takes up no heat"),
        ({"heating_value": "384 MJ/m3"}, "BTU/ft3 or MJ/m3"),
        ({"gas_temperature": "70 C"}, "°F or °C"),
        ({"gas_pressure_at_meter": "7 psi"}, "inH2O, mbar or psi"),
    ],
)
def test_what_is_hardly_possible_is_computed_flagged_and_rests_nothing(
    typed: dict[str, str], slip: str
) -> None:
    found = rated(**typed)
    assert figure(found, "input").value > 0
    assert any(slip in say(warning) for warning in found.warnings)
    assert found.says[0].id == (
        "The gas input is doubtful; see the warning before anything rests on it."
    )
    assert not any("gets its rated input" in say(sentence) for sentence in found.says)


@pytest.mark.parametrize(
    "typed",
    [
        {"rated_input": "125000 BTU/h"},
        {"rated_input": "100000 BTU/h"},
        {"rated_input": "60000 BTU/h"},
        {"rated_input": "125000 BTU/h", "heat": "80 kW"},
        {"rated_input": "155000 BTU/h"},
        {"seconds": "10"},
    ],
)
def test_what_may_be_far_over_the_rating_says_carbon_monoxide_and_the_slip(
    typed: dict[str, str],
) -> None:
    found = rated(**typed)
    for words in ("carbon monoxide", "wrong gas, orifice", "licensed person", "hut it off"):
        assert words in said(found)
    assert "can burn" not in " ".join(say(each) for each in found.warnings)


@pytest.mark.parametrize("plate", ["178700 BTU/h", "260000 BTU/h", "5000000 BTU/h"])
def test_carbon_monoxide_is_not_cried_without_reason(plate: str) -> None:
    assert "carbon monoxide" not in said(rated(rated_input=plate))


def test_a_doubt_about_the_heat_takes_no_danger_away() -> None:
    typed = GAS_INPUT.understand(
        {
            "dial": "2 ft3",
            "seconds": "41.5",
            "rated_input": "125000 BTU/h",
            "altitude": "30 m",
        }
    )
    heat = {"heat": Entered("", "", 30e3, Estimate(30e3), doubtful=True)}
    assert "carbon monoxide" in said(GAS_INPUT.outcome(typed | heat))


def test_a_heating_value_of_another_gas_is_flagged() -> None:
    for typed in (
        {"fuel": "lpg", "heating_value": "1030 BTU/ft3"},
        {"fuel": "natural_gas", "heating_value": "2500 BTU/ft3"},
    ):
        assert any("not that of the gas" in say(each) for each in outcome(**typed).warnings)
    assert not outcome(fuel="lpg", heating_value="2500 BTU/ft3", seconds="100").warnings


def test_metered_bottled_gas_is_not_called_unmeasurable() -> None:
    found = outcome(fuel="lpg", heating_value="2500 BTU/ft3", seconds="100")
    assert "input" in names(found)
    assert "ottled" not in said(found)


@pytest.mark.parametrize(
    ("typed", "fuel"), [("Propane", "lpg"), ("LP gas", "lpg"), ("NG", "natural_gas")]
)
def test_a_gas_is_known_by_its_usual_names(typed: str, fuel: str) -> None:
    assert GAS_INPUT.understand({"fuel": typed})["fuel"].typed == fuel


def test_a_meter_that_compensates_for_temperature_alone_still_reads_an_unknown_pressure() -> None:
    assert "as the meter reads it" in noted(outcome(meter_compensates="temperature"))
    assert "as the meter reads it" in noted(outcome(gas_temperature="60 F"))


def test_what_is_the_same_before_and_after_the_work_goes_away_in_the_difference() -> None:
    before, after = (figure(outcome(seconds=each), "input") for each in ("41.5", "38.5"))
    lasting = {each.source for each in before.errors if each.lasting}
    assert lasting == {"gas_meter", "heating_value", "gas_pressure", "gas_temperature"}
    change = compare(before, after, higher_is_better=True)
    assert change.trend is Trend.IMPROVED
    assert before.expanded_uncertainty > after.value - before.value


def test_formula_tells_the_efficiency_only_where_there_is_one() -> None:
    assert "efficiency" in burnt(heat_w=40e3).formula
    assert "efficiency" not in burnt().formula


heights_m = st.floats(-500, 5500)


@given(heights_m, heights_m)
def test_the_higher_the_thinner(first_m: float, second_m: float) -> None:
    low, high = sorted((first_m, second_m))
    assert standard_pressure_pa(low) >= standard_pressure_pa(high)
    assert standard_altitude_m(standard_pressure_pa(high)) == pytest.approx(high, abs=1e-6)


@settings(deadline=None)  # the first unit loads their registry
@given(heights_m, heights_m)
def test_the_same_reading_is_less_gas_higher_up(first_m: float, second_m: float) -> None:
    low, high = sorted((first_m, second_m))
    below, above = (figure(outcome(altitude=f"{each:.3f} m"), "input") for each in (low, high))
    assert below.value >= above.value


@given(heights_m, heights_m)
def test_nothing_is_rated_for_more_higher_up(first_m: float, second_m: float) -> None:
    low, high = (derated_input_w(50e3, each) or 50e3 for each in sorted((first_m, second_m)))
    assert 0 < high <= low <= 50e3


def test_a_cubic_foot_a_mile_up_holds_less_gas() -> None:
    """Given 83.5 kPa and 7 inH2O of 101.56 kPa, 52 371 W as the meter reads are 43 970 W."""
    found = figure(outcome(altitude="1600 m"), "input")
    assert found.value == pytest.approx(43_970, abs=20)
    assert abs(found.value - 44_800) < found.expanded_uncertainty
    assert figure(outcome(altitude="5249.3 ft"), "input").value == pytest.approx(found.value, 1e-5)


def test_the_altitude_names_the_atmosphere_it_stands_for() -> None:
    found = outcome(altitude="1600 m")
    assert figure(found, "altitude").value == 1600
    assert figure(found, "atmospheric_pressure").value == pytest.approx(83_524, abs=5)
    assert "altitude of 1600 m: 83.5 kPa, give or take 2 kPa" in told(found)
    assert "ISO 2533" in told(found)
    assert "as the meter reads it" not in noted(found)


def test_an_atmospheric_pressure_that_is_typed_wins() -> None:
    both = outcome(altitude="1600 m", atmospheric_pressure="82.0 kPa")
    alone = outcome(atmospheric_pressure="82.0 kPa")
    assert figure(both, "input") == figure(alone, "input")
    assert "ISO 2533" not in told(both)
    assert figure(both, "input").standard_uncertainty < (
        figure(outcome(altitude="1600 m"), "input").standard_uncertainty
    )


@pytest.mark.parametrize("pressure", ["14.7 psia", "14.7 psi", "1.01353 bara", "29.929 inHg"])
def test_an_absolute_pressure_is_read_as_one(pressure: str) -> None:
    found = figure(outcome(atmospheric_pressure=pressure), "atmospheric_pressure")
    assert found.value == pytest.approx(101_353, rel=1e-4)


def test_a_gauge_pressure_is_no_atmosphere() -> None:
    with pytest.raises(InputError, match="gauge pressure") as caught:
        outcome(atmospheric_pressure="14.7 psig")
    assert "14.7 psia" in str(caught.value)


def test_a_pressure_as_at_the_sea_is_asked_about_high_up() -> None:
    found = outcome(altitude="1600 m", atmospheric_pressure="1013 hPa")
    assert any("as it would be at the sea" in say(each) for each in found.warnings)
    assert not outcome(altitude="1600 m", atmospheric_pressure="820 hPa").warnings


@pytest.mark.parametrize(
    "typed",
    [
        {},
        {"rated_input": "178700 BTU/h"},
        {"rated_input": "150000 BTU/h"},
        {"rated_input": "60000 BTU/h"},
        {"rated_input": "125000 BTU/h", "gas_pressure_at_meter": "7 inH2O"},
        {"rated_input": "125000 BTU/h", "heat": "40 kW", "seconds": "10"},
    ],
)
def test_nothing_is_said_of_the_rating_where_the_place_is_not_known(typed: dict[str, str]) -> None:
    found = outcome(**typed)
    spoken = " ".join(say(each) for each in (*found.says, *found.warnings, *found.notes))
    assert "rated" not in spoken
    assert "rating" not in spoken
    assert "share_of_rated" not in names(found)
    assert set(found.not_known) == {"altitude", "share_of_rated", "derated_input"}


def test_what_would_tell_is_asked_for_instead() -> None:
    assert "without the altitude of the place" in said(outcome(rated_input="150000 BTU/h"))
    assert "does not say that the burner is right" in said(outcome(rated_input="100000 BTU/h"))


@pytest.mark.parametrize("plate", ["120000 BTU/h", "143000 BTU/h", "160000 BTU/h", "300000 BTU/h"])
def test_no_burner_a_mile_up_is_called_right_before_the_maker_s_rule_is_known(plate: str) -> None:
    """Fitted for the sea, a burner between the two inputs may get a quarter too much."""
    spoken = said(outcome(altitude="1600 m", rated_input=plate, gas_temperature="60 F"))
    assert "neither too much nor too little" not in spoken
    assert "an input between the two cannot be called right" in spoken


@pytest.mark.parametrize("plate", ["143000 BTU/h", "150000 BTU/h", "178700 BTU/h"])
def test_a_good_burner_a_mile_up_is_not_shut_off(plate: str) -> None:
    """It gets 150 000 BTU/h; 178 700 BTU/h derated by 21 % for 5249 ft are 141 200 BTU/h."""
    found = outcome(altitude="1600 m", rated_input=plate, gas_temperature="60 F")
    assert "hut it off" not in said(found)
    assert "over its rated input" not in said(found)
    assert "less than its rated input" not in said(found)
    assert "maker's altitude instructions" in said(found)
    assert "NFPA 54" in said(found)
    assert "(from memory)" in said(found)


def test_the_share_is_of_the_derated_input_where_that_is_given() -> None:
    found = outcome(altitude="1600 m", rated_input="178700 BTU/h")
    derated = figure(found, "derated_input").value
    assert derated == pytest.approx(178_700 * 0.29307107 * (1 - 0.04 * 5.2493), rel=1e-4)
    share = figure(found, "share_of_rated").value
    assert share == pytest.approx(figure(found, "input").value / derated)
    assert "derated for the altitude: NFPA 54" in told(found)
    assert found.not_known == ()


@pytest.mark.parametrize("altitude", ["-100 m", "0 ft", "2000 ft"])
def test_up_to_two_thousand_feet_the_plate_holds(altitude: str) -> None:
    found = outcome(altitude=altitude, rated_input="178700 BTU/h")
    assert "derated_input" not in names(found)
    assert "altitude instructions" not in said(found)


def test_what_is_over_the_plate_is_over_at_any_height() -> None:
    found = outcome(altitude="1600 m", rated_input="110000 BTU/h")
    for words in ("over its rated input", "carbon monoxide", "Shut it off"):
        assert words in said(found)


def test_what_is_under_the_derated_input_is_under() -> None:
    found = outcome(altitude="1600 m", rated_input="260000 BTU/h")
    assert "even when that is derated" in said(found)


def test_what_may_be_too_much_for_a_derated_burner_names_the_danger_with_its_if() -> None:
    found = outcome(altitude="1600 m", rated_input="150000 BTU/h")
    assert "If the derated input is the one that holds" in said(found)
    assert "combustion check" in said(found)


def test_an_atmosphere_without_an_altitude_tells_the_height_by_itself() -> None:
    found = outcome(atmospheric_pressure="83.5 kPa", rated_input="178700 BTU/h")
    assert found.not_known == ("altitude",)
    assert "About 1602 m" in said(found)


def test_the_supplier_is_asked_whether_the_heating_value_is_as_delivered() -> None:
    typed = {"altitude": "1600 m", "heating_value": "850 BTU/ft3"}
    assert "ask the gas supplier" in noted(outcome(**typed))
    for answer in ("standard", "delivered"):
        assert "ask the gas supplier" not in noted(outcome(**typed, heating_value_as=answer))
    assert "ask the gas supplier" not in noted(outcome(altitude="1600 m"))
    assert "as delivered" in say(GAS_INPUT.help)


def test_a_heating_value_as_delivered_has_the_pressure_in_it() -> None:
    typed = {"heating_value": "1030 BTU/ft3", "heating_value_as": "delivered"}
    found = figure(outcome(altitude="1600 m", **typed), "input")
    assert found.value == pytest.approx(52_371, abs=1)
    assert found.value == figure(outcome(**typed), "input").value


def test_a_heating_value_as_delivered_goes_with_no_meter_that_counts_standard_volumes() -> None:
    with pytest.raises(InputError) as caught:
        outcome(heating_value="850 BTU/ft3", heating_value_as="delivered", meter_compensates="both")
    assert caught.value.field == "heating_value_as"
