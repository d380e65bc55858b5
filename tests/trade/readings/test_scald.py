"""Whether an outlet scalds: by probability, and with what to do."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import say
from desk.trade.measuring.estimate import Estimate, Telling
from desk.trade.readings.reading_kinds import reading_estimate
from desk.trade.readings.scald import (
    CEILING_K,
    outlet_is_safe,
    probability_safe,
    scald,
    seconds_to_burn,
)


def at_tap(fahrenheit: float) -> Estimate:
    return reading_estimate("tap_temperature", (fahrenheit + 459.67) / 1.8)


@pytest.mark.parametrize(
    ("fahrenheit", "safe"),
    [
        (110, Telling.YES),
        (117, Telling.YES),
        (120, Telling.CANNOT_TELL),
        (121, Telling.CANNOT_TELL),
        (123, Telling.NO),
        (140, Telling.NO),
    ],
)
def test_the_thermometer_s_accuracy_decides_near_the_ceiling(
    fahrenheit: float, safe: Telling
) -> None:
    assert outlet_is_safe(at_tap(fahrenheit)) is safe
    assert scald(at_tap(fahrenheit)).safe is safe


def test_with_an_exact_thermometer_the_ceiling_itself_is_safe() -> None:
    assert outlet_is_safe(Estimate(CEILING_K)) is Telling.YES
    assert outlet_is_safe(Estimate(CEILING_K + 0.01)) is Telling.NO


@given(st.floats(300, 370))
def test_the_probabilities_of_safe_and_scalding_add_up_to_one(kelvin: float) -> None:
    found = reading_estimate("tap_temperature", kelvin)
    turned = Estimate(2 * CEILING_K - kelvin, found.errors)
    assert probability_safe(found) + probability_safe(turned) == pytest.approx(1)


@given(st.floats(250, 400), st.floats(250, 400))
def test_hotter_water_never_takes_longer_to_burn(first: float, second: float) -> None:
    low, high = (seconds_to_burn(each) for each in sorted((first, second)))
    assert (low or math.inf) >= (high or math.inf)


@pytest.mark.parametrize(
    ("fahrenheit", "words"),
    [
        (125, "in about 2 minutes"),
        (130, "in about 30 s"),
        (133, "in about 16 to 19 s"),
        (140, "in about 5 to 6 s"),
        (160, "in about 1 to 2 s"),
    ],
)
def test_the_time_to_a_burn_is_told_as_far_as_the_published_tables_agree(
    fahrenheit: float, words: str
) -> None:
    found = scald(at_tap(fahrenheit))
    assert words in say(found.sentence)
    told = " ".join(say(source) for source in found.sources)
    assert "CPSC" in told
    assert "Moritz and Henriques" in told


def test_below_the_table_no_time_is_told_and_above_it_the_shortest() -> None:
    assert seconds_to_burn(320.0) is None
    assert seconds_to_burn(372.0) == 2.0


def test_water_that_scalds_is_told_with_the_time_and_what_to_do() -> None:
    told = say(scald(at_tap(140)).sentence)
    assert "60.0 °C (140 °F) at the tap scalds" in told
    assert "49.0 °C (120 °F)" in told
    assert "in about 5 to 6 s" in told
    assert "mixing valve" in told
    assert "before you leave" in told


def test_a_long_time_is_told_in_minutes() -> None:
    assert "in about 2 minutes" in say(scald(at_tap(124)).sentence)


def test_too_close_is_treated_as_too_hot() -> None:
    assert "treat it as too hot" in say(scald(at_tap(120)).sentence)


def test_a_lower_ceiling_of_a_nursery_is_held_too() -> None:
    found = scald(at_tap(115), ceiling_k=273.15 + 38)
    assert found.safe is Telling.NO
    assert found.seconds_to_burn is None
    assert "above the ceiling of 38.0 °C (100 °F)" in say(found.sentence)


@pytest.mark.parametrize("celsius", [120.0, 9.4])
def test_a_likely_slip_of_unit_is_flagged_and_never_called_safe(celsius: float) -> None:
    found = scald(reading_estimate("tap_temperature", celsius + 273.15))
    assert found.safe is Telling.CANNOT_TELL
    assert any("°C or °F" in say(each) for each in found.warnings)
    assert "nothing is said" in say(found.sentence)


def test_the_table_that_was_used_is_told() -> None:
    assert any("5098" in say(each) for each in scald(at_tap(140)).sources)


@pytest.mark.parametrize("kelvin", [math.nan, math.inf, 0.0, -5.0])
def test_a_temperature_that_cannot_be_is_refused(kelvin: float) -> None:
    for call in (seconds_to_burn, lambda each: outlet_is_safe(Estimate(each))):
        with pytest.raises(InputError) as caught:
            call(kelvin)
        assert caught.value.field == "temperature"
