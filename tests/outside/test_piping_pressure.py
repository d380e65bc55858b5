"""Pipe run and pressure against codes, standards and worked examples."""

from __future__ import annotations

import pytest

from desk.trade.estimates import Estimate
from desk.trade.pressure import BAR_PA, MOST_STATIC_PA, supply_pressure
from tests.outside.published import cases

CASES = cases("piping_pressure")
PSI_PA = 4.4482216152605 / 0.0254**2
GPM = 231 * 0.0254**3 / 60
HOUR_S = 3600.0


def kv(flow_m3_per_s: float, drop_pa: float) -> float:
    """Return Kv as it is usually told, in m3/h."""
    found = supply_pressure(Estimate(drop_pa), Estimate(0.0), Estimate(flow_m3_per_s))
    return found.kv_m3_per_s.value * HOUR_S


def flow_at(case_id: str, residual_psi: float) -> float:
    inputs = CASES[case_id].inputs
    found = supply_pressure(
        Estimate(inputs["static_psi"] * PSI_PA),
        Estimate(inputs.get("test_psi", inputs["residual_psi"]) * PSI_PA),
        Estimate(inputs["test_gpm"] * GPM),
        residual_psi * PSI_PA,
    )
    assert found.flow_at_residual_m3_per_s is not None
    return found.flow_at_residual_m3_per_s.value / GPM


def test_a_gallon_a_minute_at_a_pound_is_the_kv_of_cv_one() -> None:
    kv_of_cv = kv(GPM, PSI_PA)
    assert CASES["6-25"].agrees(1 / kv_of_cv, kv_of_cv)


def test_kv_of_a_worked_example() -> None:
    case = CASES["6-26"]
    found = kv(case.inputs["Q_m3_h"] / HOUR_S, case.inputs["dp_bar"] * BAR_PA)
    assert case.agrees(found, found / kv(GPM, PSI_PA))


def test_half_a_gallon_a_minute_flows_at_the_pressure_that_it_leaves() -> None:
    case = CASES["6-29"]
    assert flow_at("6-29", case.expected) == pytest.approx(case.inputs["gpm"], abs=2e-4)


def test_the_flow_at_three_times_the_drop() -> None:
    case = CASES["6-27"]
    assert case.agrees(flow_at("6-27", case.inputs["residual_psi"]))


def test_the_most_static_pressure_of_the_codes() -> None:
    assert CASES["6-31"].agrees(MOST_STATIC_PA / PSI_PA, MOST_STATIC_PA / 1000)
