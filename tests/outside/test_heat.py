"""Heat to the water against IAPWS-95, the US test procedure, and the trade's own rule."""

from __future__ import annotations

import pytest

from desk.trade.heating.heat_model import HeatToWater, heat_to_water
from desk.trade.measuring.estimate import Estimate
from desk.trade.quantities.typed_quantity import parse
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default
from desk.trade.reference.water_properties import density_kg_per_m3
from tests.outside.published import cases

CASES = cases("heat")
GALLON_M3 = 231 * 0.0254**3
GPM = GALLON_M3 / 60
POUND_KG = 0.45359237
BTU_PER_H = 1055.05585262 / 3600
FAHRENHEIT_K = 5 / 9


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def warmed(
    gpm: float, inlet_f: float, outlet_f: float, measured_at_f: float | None = None, **asked: float
) -> HeatToWater:
    return heat_to_water(
        Estimate(gpm * GPM),
        Estimate(kelvin(inlet_f)),
        Estimate(kelvin(outlet_f)),
        None if measured_at_f is None else Estimate(kelvin(measured_at_f)),
        **asked,
    )


@pytest.mark.parametrize("case_id", ["4-01", "4-02", "4-03"])
def test_the_trades_500_at_a_temperature(case_id: str) -> None:
    case = CASES[case_id]
    at = case.inputs["T_F"]
    found = warmed(1.0, at - 0.5, at + 0.5, at)
    assert case.agrees(found.heat_w.value / BTU_PER_H)


def test_pounds_per_gallon() -> None:
    case = CASES["4-04"]
    assert case.agrees(
        *(density_kg_per_m3(kelvin(at)) * GALLON_M3 / POUND_KG for at in case.inputs["T_F"])
    )


def test_a_gallon_a_minute_measured_hot() -> None:
    case = CASES["4-07"]
    cold, hot = case.inputs["T1_F"], case.inputs["T2_F"]
    measured_hot = warmed(case.inputs["gpm"], cold, hot, case.inputs["flow_measured_at_F"])
    assert case.agrees(measured_hot.heat_w.value / BTU_PER_H)
    assert warmed(case.inputs["gpm"], cold, hot).heat_w == measured_hot.heat_w


def test_the_nominal_rise_is_that_of_the_us_test_procedure() -> None:
    case = CASES["4-11"]
    nominal = parse(default("nominal_rise").typed, QuantityKind.TEMPERATURE_DIFFERENCE, field="")
    assert case.agrees(nominal.value, nominal.si)
    rise = warmed(1.0, case.inputs["supply_F"], case.inputs["delivery_F"]).rise_k.value
    assert case.agrees(rise / FAHRENHEIT_K, rise)


def test_the_trades_rule_for_the_rise_available_comes_within_two_per_cent() -> None:
    """The rule reckons with cold water, 8.33 lb a gallon; here the flow is counted hot."""
    case = CASES["4-13"]
    output_w = case.inputs["input_Btu_h"] * case.inputs["eff"] * BTU_PER_H
    found = warmed(
        1.0, 58, 125, rated_output_w=output_w, wanted_rise_k=case.expected * FAHRENHEIT_K
    )
    assert found.flow_at_rise_m3_per_s is not None
    assert found.flow_at_rise_m3_per_s.value / GPM == pytest.approx(case.inputs["gpm"], rel=0.02)


def test_a_litre_a_minute_warmed_by_a_kelvin() -> None:
    case = CASES["4-14"]
    at = case.inputs["T_degC"] + 273.15
    half = case.inputs["dT_K"] / 2
    found = heat_to_water(
        Estimate(case.inputs["L_min"] * 1e-3 / 60),
        Estimate(at - half),
        Estimate(at + half),
        Estimate(at),
    )
    assert case.agrees(found.heat_w.value / 1000)


@pytest.mark.parametrize("inlet_f", [40, 58, 75])
@pytest.mark.parametrize("rise_f", [20, 67, 90])
def test_the_trades_500_comes_within_three_per_cent(inlet_f: float, rise_f: float) -> None:
    """``500 x gpm x rise``: common practice, no source."""
    found = warmed(3.0, inlet_f, inlet_f + rise_f)
    assert found.heat_w.value / BTU_PER_H == pytest.approx(500 * 3.0 * rise_f, rel=0.03)
