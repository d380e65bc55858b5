"""A temperature sensor against the table of its model."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import message, say
from desk.trade.electrical.resistance_table import read_table
from desk.trade.electrical.temperature_sensor import (
    OPEN_CIRCUIT,
    SENSOR,
    SensorReading,
    sensor_reading,
)
from desk.trade.measuring.estimate import Error, Estimate, Telling
from desk.trade.measuring.measurement import MeasurementOutcome

FALLING = "0 C 32.65 kohm; 10 C 19.9 kohm; 25 C 10 kohm; 50 C 3.6 kohm; 80 C 1.26 kohm"
RISING = "0 C 1000 ohm; 50 C 1194 ohm; 100 C 1385.1 ohm"
TABLE = read_table(FALLING)
NAME = message("a source")
ROOM_K = 298.15


def outcome(**typed: str) -> MeasurementOutcome:
    readings = {"resistance": "10 kohm", "temperature": "25 C", "table": FALLING} | typed
    return SENSOR.outcome(SENSOR.understand(readings))


def said(found: MeasurementOutcome) -> str:
    return " ".join(say(sentence) for sentence in found.says)


def figure(found: MeasurementOutcome, name: str) -> float:
    return next(each.estimate.value for each in found.figures if each.name == name)


def reading(ohm: float, temperature_k: float = ROOM_K) -> SensorReading:
    return sensor_reading(Estimate(ohm), Estimate(temperature_k), TABLE, 0.05)


@pytest.mark.parametrize(("celsius", "ohm"), [(0, 32650), (10, 19900), (25, 10000), (80, 1260)])
def test_at_its_points_the_table_says_what_was_typed(celsius: float, ohm: float) -> None:
    assert TABLE.resistance_ohm(celsius + 273.15) == pytest.approx(ohm)
    assert TABLE.temperature_k(ohm) == pytest.approx(celsius + 273.15)


@given(st.floats(273.15, 353.15))
def test_a_temperature_comes_back_from_its_resistance(temperature_k: float) -> None:
    for table in (TABLE, read_table("-20 C 921.6 ohm; 50 C 1194 ohm; 100 C 1385.1 ohm")):
        again = table.temperature_k(table.resistance_ohm(temperature_k))
        assert again == pytest.approx(temperature_k)


@given(st.floats(273.15, 353.15), st.floats(273.15, 353.15))
def test_a_falling_table_falls_between_its_points_too(first: float, second: float) -> None:
    low, high = sorted((first, second))
    assert TABLE.resistance_ohm(low) >= TABLE.resistance_ohm(high)


@pytest.mark.parametrize(
    "typed",
    [
        "50 C 3.6 kohm; 25 C 10 kohm; 80 C 1.26 kohm; 0 C 32.65 kohm; 10 C 19.9 kohm",
        "32 F 32.65 kohm\n50 F: 19900 ohm\n77 F = 10 kΩ\n122 °F 3,6 kohm\n176 F 1260 Ω\n",
        "0 °C, 32650 ohm; 10°C 19900ohm; 25C 10kohm;; 50 c 3600 ohm; 353.15 K 1260 ohm;",
    ],
)
def test_a_table_is_read_however_it_is_typed(typed: str) -> None:
    found = read_table(typed)
    assert found.temperatures_k == pytest.approx(TABLE.temperatures_k)
    assert found.resistances_ohm == pytest.approx(TABLE.resistances_ohm)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("25 C 10 kohm", "from 2"),
        (";;", "from 2"),
        ("25 C 10 kohm; 50 C", "no pair"),
        ("25 C 10 kohm; warm 3.6 kohm", "no pair"),
        ("25 C 10 kohm; 50 C 3.6 bar", "no unit that fits"),
        ("25 C 10 kohm; 50 C 3,600 ohm", "may mean"),
        ("25 C 10 kohm; 25 C 3.6 kohm", "twice"),
        ("25 C 10 kohm; 50 C 0 ohm", "more than nothing"),
        ("25 C 10 kohm; 50 C 3.6 kohm; 60 C 4 kohm", "all rise or all fall"),
        ("25 C 10 kohm; 50 C 10 kohm", "all rise or all fall"),
        ("25 C 10 kohm; 50 C nan ohm", "not understood"),
    ],
)
def test_a_table_that_is_none_is_refused(typed: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        outcome(table=typed)
    assert caught.value.field == "table"


def test_a_table_too_long_is_refused() -> None:
    typed = "; ".join(f"{each} K {each + 1000} ohm" for each in range(200, 600))
    with pytest.raises(InputError, match="2 to 300"):
        read_table(typed)


def test_the_deviation_is_held_against_the_tolerance_by_probability() -> None:
    exact = {"thermometer_accuracy": "0 C", "thermometer_resolution": "0 C"}
    assert outcome(resistance="9.8 kohm", **exact).words["agrees"] == "yes"
    assert outcome(resistance="9 kohm").words["agrees"] == "cannot_tell"
    assert outcome(resistance="8 kohm").words["agrees"] == "no"
    assert "not known well enough" in said(outcome(resistance="9 kohm"))
    assert "ice water" in said(outcome(resistance="9 kohm"))


@pytest.mark.parametrize("celsius", [5, 25, 50, 75])
@pytest.mark.parametrize("table", [FALLING, RISING])
def test_a_sensor_right_on_its_table_agrees_by_the_usual_instruments(
    table: str, celsius: float
) -> None:
    ohm = read_table(table).resistance_ohm(celsius + 273.15)
    found = outcome(table=table, resistance=f"{ohm} ohm", temperature=f"{celsius} C")
    assert found.words["agrees"] == "yes"


@pytest.mark.parametrize(
    ("table", "off_k", "agrees"),
    [(FALLING, 5, "no"), (FALLING, -5, "no"), (RISING, 5, "cannot_tell"), (RISING, 8, "no")],
)
def test_a_sensor_five_kelvin_off_does_not_agree(table: str, off_k: float, agrees: str) -> None:
    # A meter good to 1 % is 3 K off with platinum: whether five more are the sensor's is open.
    ohm = read_table(table).resistance_ohm(ROOM_K + off_k)
    typed = {"table": table, "resistance": f"{ohm} ohm"}
    assert outcome(**typed).words["agrees"] == agrees
    better = outcome(**typed, meter_accuracy="0.3 %", tolerance="1 %")
    assert better.words["agrees"] == "no"


def test_a_probability_is_for_the_appendix_and_scripts() -> None:
    assert [each.name for each in outcome().figures if each.detail] == ["probability_agrees"]


def test_the_meter_s_own_error_is_the_same_before_and_after() -> None:
    deviation = next(each.estimate for each in outcome().figures if each.name == "deviation")
    assert {each.source for each in deviation.errors if each.lasting} == {
        "ohmmeter",
        "thermometer",
    }


def test_the_tolerance_that_stands_in_is_told_in_kelvin_and_as_a_share() -> None:
    told = " ".join(say(each) for each in outcome().sources)
    assert "2.5 C here" in told
    assert "share of its resistance: 1" in told
    assert "4.5 C" in " ".join(
        say(each) for each in outcome(table=RISING, resistance="1097 ohm").sources
    )
    assert "2.5 C here" not in " ".join(say(each) for each in outcome(tolerance="5 %").sources)


def test_a_thermometer_a_degree_off_makes_a_thermistor_four_per_cent_off() -> None:
    at_k = Estimate(ROOM_K, (Error("thermometer", NAME, 1.0),))
    found = sensor_reading(Estimate(1e4), at_k, TABLE, 0.05)
    assert found.deviation.standard_uncertainty == pytest.approx(0.044, abs=0.005)


def test_the_resistance_tells_a_temperature() -> None:
    found = reading(3600.0)
    assert found.temperature_meant_k is not None
    assert found.temperature_meant_k.value == pytest.approx(323.15)


def test_a_rising_table_is_taken_as_straight() -> None:
    found = outcome(table=RISING, resistance="1097 ohm", temperature="25 C")
    assert figure(found, "expected_resistance") == pytest.approx(1097.0)
    assert "linear in T" in found.formula
    assert "1/T" in outcome().formula


@pytest.mark.parametrize("temperature", ["-1 C", "81 C"])
def test_nothing_is_told_beyond_the_table(temperature: str) -> None:
    with pytest.raises(InputError, match=r"from 0\.0 °C to 80\.0 °C") as caught:
        outcome(temperature=temperature)
    assert caught.value.field == "temperature"


def test_a_resistance_beyond_the_table_has_a_deviation_and_no_temperature() -> None:
    found = outcome(resistance="900 ohm", temperature="80 C")
    assert figure(found, "deviation") == pytest.approx(900 / 1260 - 1)
    assert "temperature_meant" not in {each.name for each in found.figures}
    assert "no temperature is told" in said(found)


def test_a_table_may_be_split_by_commas_that_are_no_decimal_marks() -> None:
    for typed in (
        "25 C 10 kohm, 50 C 3.6 kohm",
        "25 C, 10 kohm, 50 C, 3,6 kohm",
        "25 C=10 kΩ,50 C=3.6 kΩ",
    ):
        assert read_table(typed).resistances_ohm == (10_000, 3_600)
    with pytest.raises(InputError):
        read_table("25 C, 10 k, 50 C, 3.6 k")


@pytest.mark.parametrize("typed", [{"reads": "open_circuit"}, {"reads": "OL"}])
def test_an_open_sensor_is_told_as_such(typed: dict[str, str]) -> None:
    found = outcome(resistance="", **typed)
    assert outcome(resistance="OL").says == found.says
    assert found.words["agrees"] == "no"
    assert "Open circuit" in said(found)
    assert all(math.isfinite(each.estimate.value) for each in found.figures)
    assert sensor_reading(OPEN_CIRCUIT, Estimate(ROOM_K), TABLE, 0.05).agrees is Telling.NO


@pytest.mark.parametrize("resistance", ["0 ohm", "2 ohm"])
def test_a_shorted_sensor_is_told_as_such(resistance: str) -> None:
    found = outcome(resistance=resistance)
    assert "short circuit" in said(found)


@pytest.mark.parametrize("resistance", ["10 ohm", "10 Mohm"])
def test_ohm_for_kilohm_is_flagged_and_nothing_rests_on_it(resistance: str) -> None:
    found = outcome(resistance=resistance)
    assert any("ohm or kohm" in say(each) for each in found.warnings)
    assert "doubtful" in said(found)
    assert found.words["agrees"] == "cannot_tell"


@given(st.floats(1e-3, 50.0), st.floats(1e-3, 50.0))
def test_another_source_never_shrinks_the_standard_uncertainty(
    known: float, further: float
) -> None:
    less, more = (
        sensor_reading(
            Estimate(1e4, errors), Estimate(ROOM_K), TABLE, 0.05
        ).deviation.standard_uncertainty
        for errors in (
            (Error("known", NAME, known),),
            (Error("known", NAME, known), Error("further", NAME, further)),
        )
    )
    assert more >= less * (1 - 1e-9)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"resistance": ""}, "resistance"),
        ({"resistance": "10"}, "resistance"),
        ({"resistance": "-1 ohm"}, "resistance"),
        ({"reads": "open_circuit"}, "reads"),
        ({"temperature": ""}, "temperature"),
        ({"temperature": "25 ohm"}, "temperature"),
        ({"table": ""}, "table"),
        ({"tolerance": "0 %"}, "tolerance"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(InputError) as caught:
        outcome(**typed)
    assert caught.value.field == field


@pytest.mark.parametrize("ohm", [-1.0, math.nan])
def test_a_resistance_of_less_than_nothing_is_refused(ohm: float) -> None:
    with pytest.raises(InputError) as caught:
        reading(ohm)
    assert caught.value.field == "resistance"


def test_electronics_are_never_tested_by_resistance_and_mains_is_named() -> None:
    assert "never tested by resistance" in say(SENSOR.help)
    assert "Mains voltage" in say(SENSOR.help)
