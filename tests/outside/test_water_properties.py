"""Enthalpy and viscosity of water against IAPWS's releases and the library CoolProp."""

from __future__ import annotations

import math

import pytest

from desk.base.errors import InputError
from desk.trade.reference.water_properties import (
    density_kg_per_m3,
    enthalpy_j_per_kg,
    viscosity_pa_s,
)
from tests.outside.published import cases

CASES = cases("water_properties")
ATMOSPHERE_PA = 101_325.0
WHOLE_DEGREES_K = [273.16, *(273.15 + degree for degree in range(1, 100))]


def of_iapws(quantity: str, temperature_k: float) -> float:
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI(quantity, "T", temperature_k, "P", ATMOSPHERE_PA, "Water"))


def heat_capacity(temperature_k: float) -> float:
    """Return the slope of the enthalpy, J/(kg K)."""
    return enthalpy_j_per_kg(temperature_k + 0.5) - enthalpy_j_per_kg(temperature_k - 0.5)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def test_the_library_is_iapws_95() -> None:
    """IAPWS R6-95, table 7: what we are held to is itself the published formulation."""
    from CoolProp.CoolProp import PropsSI

    case = CASES["2-19"]
    at = ("T", case.inputs["T_K"], "Dmass", case.inputs["rho_kg_m3"], "Water")
    pressure, heat, sound = (PropsSI(each, *at) for each in ("P", "Cvmass", "speed_of_sound"))
    assert [pressure / 1e6, heat / 1e3, sound] == pytest.approx(case.expected, rel=case.tolerance)


@pytest.mark.parametrize("case_id", ["2-12", "2-14", "2-17"])
def test_the_slope_of_the_enthalpy_is_the_heat_capacity(case_id: str) -> None:
    case = CASES[case_id]
    assert case.agrees(heat_capacity(case.inputs["T_degC"] + 273.15))


def test_another_release_of_iapws_lies_close_by() -> None:
    """IAPWS SR7-09: its heat capacity is 0.003 % above that of IAPWS-95, which is followed."""
    case = CASES["2-20"]
    density, capacity = case.expected
    assert heat_capacity(case.inputs["T_K"]) == pytest.approx(capacity, abs=0.2)
    assert density_kg_per_m3(case.inputs["T_K"]) == pytest.approx(density, abs=0.02)


def test_heat_to_warm_water_from_58_to_125_f() -> None:
    case = CASES["4-05"]
    cold, hot = (enthalpy_j_per_kg(kelvin(case.inputs[end])) for end in ("T1_F", "T2_F"))
    assert case.agrees(hot - cold)


def test_viscosity_at_60_f() -> None:
    case = CASES["2-22"]
    assert case.agrees(viscosity_pa_s(kelvin(case.inputs["T_F"])))


@pytest.mark.parametrize("temperature_k", WHOLE_DEGREES_K)
def test_every_degree_is_that_of_iapws(temperature_k: float) -> None:
    enthalpy, viscosity, density = (of_iapws(each, temperature_k) for each in ("H", "V", "D"))
    assert enthalpy_j_per_kg(temperature_k) == pytest.approx(enthalpy, abs=0.1)
    assert viscosity_pa_s(temperature_k) == pytest.approx(viscosity, rel=1e-4)
    assert density_kg_per_m3(temperature_k) == pytest.approx(density, abs=0.02)


@pytest.mark.parametrize("temperature_k", [273.65, 283.4, 333.65, 370.9])
def test_between_the_degrees_the_enthalpy_is_within_a_joule(temperature_k: float) -> None:
    assert enthalpy_j_per_kg(temperature_k) == pytest.approx(of_iapws("H", temperature_k), abs=1)


@pytest.mark.parametrize("temperature_k", [272.0, 375.0, -5.0, math.nan, math.inf])
def test_ice_and_steam_are_refused(temperature_k: float) -> None:
    for of_water in (density_kg_per_m3, enthalpy_j_per_kg, viscosity_pa_s):
        with pytest.raises(InputError) as caught:
            of_water(temperature_k)
        assert caught.value.field == "water_temperature"


@pytest.mark.parametrize("temperature_k", [273.15, 373.15])
def test_either_end_has_a_slope(temperature_k: float) -> None:
    assert heat_capacity(temperature_k) == pytest.approx(4217, abs=5)
