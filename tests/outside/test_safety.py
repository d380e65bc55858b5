"""Scald times, stored water and carbon monoxide against published tables and limits."""

from __future__ import annotations

import pytest

from desk.base.texts import say
from desk.trade.measuring.estimate import Estimate, Telling
from desk.trade.readings.reading_remarks import remarks
from desk.trade.readings.scald import CEILING_K, outlet_is_safe, seconds_to_burn
from desk.trade.reference.reference_values import table
from tests.outside.published import cases

CASES = cases("safety")


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def in_room(ppm: float) -> str:
    return " ".join(say(each) for each in remarks("co_in_room", Estimate(ppm * 1e-6)))


@pytest.mark.parametrize("case_id", ["8-01", "8-02", "8-03", "8-04"])
def test_the_burn_times_of_the_consumer_product_safety_commission(case_id: str) -> None:
    case = CASES[case_id]
    seconds = seconds_to_burn(kelvin(case.inputs["T_F"]))
    assert seconds is not None
    assert case.agrees(seconds)


def test_the_burn_times_of_a_children_s_hospital() -> None:
    case = CASES["8-05"]
    found = [seconds_to_burn(kelvin(each), by="childrens_hospital") for each in case.inputs["T_F"]]
    assert found == pytest.approx(case.expected)


def test_the_two_tables_part_by_no_more_than_their_rounding() -> None:
    """The one followed lies within half of the other, and mostly beside it."""
    case = CASES["8-05"]
    for fahrenheit, seconds in zip(case.inputs["T_F"], case.expected, strict=True):
        followed = seconds_to_burn(kelvin(fahrenheit))
        assert followed is not None
        assert 0.65 <= followed / seconds <= 2.0


def test_the_recommended_setting_is_not_above_the_ceiling() -> None:
    recommended = kelvin(CASES["8-07"].expected)
    assert pytest.approx(recommended, abs=0.2) == CEILING_K
    assert outlet_is_safe(Estimate(recommended)) is Telling.YES


def test_stored_water_is_held_against_the_occupational_safety_manual() -> None:
    stored_c, stored_f, _delivered_c, _delivered_f = CASES["8-09"].expected
    assert stored_c == pytest.approx(table("bacteria")["stored"]["value"])
    assert kelvin(stored_f) == pytest.approx(stored_c + 273.15)
    assert remarks("stored_temperature", Estimate(stored_c + 273.15 + 0.1)) == ()
    assert remarks("stored_temperature", Estimate(stored_c + 273.15 - 0.1))


def test_british_practice_stores_as_hot() -> None:
    _cold, stored, _outlet, _healthcare = CASES["8-10"].expected
    assert stored == table("bacteria")["stored"]["value"]


def test_the_refrigerating_engineers_store_no_hotter() -> None:
    low, high, _delivered = CASES["8-12"].expected
    stored_k = table("bacteria")["stored"]["value"] + 273.15
    assert kelvin(low) < stored_k <= kelvin(high) + 1e-9


def test_the_limits_of_the_institute_for_occupational_safety() -> None:
    working_day, ceiling = CASES["8-14"].expected
    assert f"{working_day:g} ppm" in in_room(working_day + 1)
    assert f"{ceiling:g} ppm" in in_room(ceiling + 1)
    assert "NIOSH" in in_room(working_day + 1)
    assert "NIOSH" in in_room(ceiling + 1)


def test_the_points_at_which_a_household_alarm_sounds() -> None:
    for ppm, soonest, latest in CASES["8-16"].expected:
        told = in_room(ppm + 1)
        assert f"{soonest} to {latest} minutes at {ppm} ppm" in told
        assert "leave at once" in told


def test_from_the_level_of_symptoms_on_the_room_is_left() -> None:
    noticeable, dangerous = CASES["8-17"].expected
    assert "leave at once" in in_room(noticeable + 1)
    assert "unconsciousness" in in_room(dangerous + 1)
    assert "leave at once" not in in_room(noticeable - 1)
