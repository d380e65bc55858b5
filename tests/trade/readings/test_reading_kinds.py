"""What is recorded and not computed: its instrument, its uncertainty, and what it means."""

from __future__ import annotations

import math

import pytest

from desk.base.texts import say
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.measuring.estimate import Estimate, propagate
from desk.trade.quantities.units import QuantityKind
from desk.trade.readings.reading_kinds import READING_KINDS, reading_estimate
from desk.trade.readings.reading_remarks import remarks
from desk.trade.reference.reference_values import default
from desk.trade.water.water_measurement import WATER

PSI_PA = 6894.757293168


@pytest.mark.parametrize("kind", READING_KINDS)
def test_every_reading_has_an_estimate(kind: str) -> None:
    read = READING_KINDS[kind]
    found = reading_estimate(kind, 0.05 if read.quantity is QuantityKind.FRACTION else 320.0)
    measured = read.taken_with is not None and bool(read.taken_with.accuracy)
    assert (found.standard_uncertainty > 0) == measured
    assert measured or read.quantity is None


@pytest.mark.parametrize("kind", READING_KINDS)
def test_every_accuracy_has_a_source(kind: str) -> None:
    device = READING_KINDS[kind].taken_with
    for name in (device.accuracy, device.resolution) if device else ():
        assert not name or default(name).source


@pytest.mark.parametrize(
    "kind",
    [
        "gas_pressure_static",
        "gas_pressure_working",
        "oxygen_in_flue",
        "co_in_flue",
        "co_in_room",
        "leak_test",
        "supply_voltage",
        "earth_resistance",
        "polarity",
        "outlet_temperature",
        "circuit_pressure",
        "flame_current",
    ],
)
def test_what_a_licensing_office_asks_for_has_an_instrument(kind: str) -> None:
    assert READING_KINDS[kind].instrument


@pytest.mark.parametrize("kind", ["fault_code", "set_temperature", "hardness"])
def test_a_display_or_a_test_kit_has_no_number(kind: str) -> None:
    assert not READING_KINDS[kind].instrument


def test_the_thermometer_s_error_goes_away_in_a_difference() -> None:
    inlet = reading_estimate("inlet_temperature", 283.15)
    outlet = reading_estimate("outlet_temperature", 322.15)
    rise = propagate(lambda hot, cold: hot - cold, outlet, inlet)
    only_reading = 0.1 / math.sqrt(3) * math.sqrt(2)
    assert rise.standard_uncertainty == pytest.approx(only_reading, rel=1e-4)


def test_two_instruments_have_two_errors() -> None:
    inlet = reading_estimate("inlet_temperature", 283.15, instrument="T-1")
    outlet = reading_estimate("outlet_temperature", 322.15, instrument="T-2")
    rise = propagate(lambda hot, cold: hot - cold, outlet, inlet)
    assert rise.standard_uncertainty > math.sqrt(2) * 1.0 / math.sqrt(3)


def test_the_same_kind_read_twice_is_read_off_twice() -> None:
    first, second = (
        reading_estimate("static_pressure", 60 * PSI_PA, taking=each) for each in ("a", "b")
    )
    gap = propagate(lambda one, other: one - other, first, second)
    assert gap.standard_uncertainty == pytest.approx(PSI_PA * math.sqrt(2 / 3), rel=1e-4)


def test_a_share_grows_with_the_reading_and_a_half_width_does_not() -> None:
    assert reading_estimate("supply_voltage", 240.0).standard_uncertainty == pytest.approx(
        2 * reading_estimate("supply_voltage", 120.0).standard_uncertainty
    )
    assert reading_estimate("co_in_room", 30e-6).standard_uncertainty == pytest.approx(
        reading_estimate("co_in_room", 60e-6).standard_uncertainty
    )


def test_what_a_measurement_takes_from_a_reading_is_of_its_kind() -> None:
    for measurement in (*MEASUREMENTS.values(), WATER):
        for entry in measurement.entries:
            if entry.taken_from in READING_KINDS:
                assert READING_KINDS[entry.taken_from].quantity is entry.quantity


def told(kind: str, si: float) -> str:
    return " ".join(say(each) for each in remarks(kind, reading_estimate(kind, si)))


@pytest.mark.parametrize(
    ("ppm", "words"),
    [
        (8, "Perhaps above 9 ppm"),
        (12, "Above 9 ppm"),
        (34, "Perhaps above 35 ppm"),
        (50, "Above 35 ppm"),
        (69, "Perhaps above 70 ppm"),
        (100, "Above 70 ppm"),
        (170, "Above 150 ppm"),
        (300, "Above 200 ppm"),
        (500, "Above 400 ppm"),
    ],
)
def test_carbon_monoxide_in_the_room_is_told_by_the_highest_level_not_ruled_out(
    ppm: float, words: str
) -> None:
    assert words in told("co_in_room", ppm * 1e-6)


def test_a_room_with_hardly_any_needs_no_remark() -> None:
    assert told("co_in_room", 2e-6) == ""


def test_what_to_do_grows_with_the_level() -> None:
    assert "Air the room" in told("co_in_room", 12e-6)
    assert "licensed person" in told("co_in_room", 50e-6)
    assert "leave at once with everybody" in told("co_in_room", 100e-6)
    assert "from memory" in told("co_in_room", 100e-6)


def test_a_flue_with_too_much_is_left_to_a_licensed_person() -> None:
    assert "licensed person" in told("co_in_flue", 600e-6)
    assert told("co_in_flue", 80e-6) == ""


def test_more_oxygen_than_in_air_is_a_slip() -> None:
    assert "look at the unit" in told("oxygen_in_flue", 0.25)
    assert told("oxygen_in_flue", 0.09) == ""
    assert told("oxygen_in_flue", 0.209) == ""


def test_stored_water_is_hot_enough_or_may_not_be() -> None:
    assert told("stored_temperature", 273.15 + 65) == ""
    assert "Legionella" in told("stored_temperature", 273.15 + 60)
    assert "do not cool the tank" in told("stored_temperature", 273.15 + 50)


def test_a_tap_that_scalds_is_remarked() -> None:
    assert "scalds" in told("tap_temperature", 273.15 + 60)
    assert told("tap_temperature", 273.15 + 43) == ""


def test_a_reading_that_means_no_harm_has_no_remark() -> None:
    assert remarks("flame_current", Estimate(4e-6)) == ()
