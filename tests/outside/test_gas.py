"""Gas input by clocking the meter, against the table of the fuel gas code and exact units."""

from __future__ import annotations

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from desk.trade.heating.atmosphere import standard_pressure_pa
from desk.trade.heating.gas_model import AtMeter, gas_input
from desk.trade.measuring.estimate import Estimate
from tests.outside.published import Case, cases

CASES = cases("gas")
CUBIC_FOOT_M3 = 0.3048**3
HOUR_S = 3600.0
PSI_PA = 4.4482216152605 / 0.0254**2
BASE_PA, BASE_K = 14.73 * PSI_PA, (60 + 459.67) / 1.8
AS_READ = AtMeter(Estimate(BASE_PA), Estimate(BASE_K), BASE_PA, BASE_K)


def cubic_feet_an_hour(case: Case) -> float:
    inputs = case.inputs
    volume = inputs.get("m3_per_rev") or inputs["dial_ft3"] * CUBIC_FOOT_M3
    found = gas_input(Estimate(volume), Estimate(inputs["seconds"]), AS_READ)
    return found.volume_rate_m3_per_s.value / CUBIC_FOOT_M3 * HOUR_S


@pytest.mark.parametrize("case_id", ["5-03", "5-07", "5-08", "5-11", "5-12"])
def test_gas_as_metered(case_id: str) -> None:
    case = CASES[case_id]
    assert case.agrees(cubic_feet_an_hour(case))


def test_a_foot_of_gas_at_a_mile_above_the_sea_after_boyle_and_charles() -> None:
    """83.4 kPa, US Standard Atmosphere 1976 at 1600 m (from memory); 7 inH2O more, 40 F."""
    at_meter = AtMeter(Estimate(83.4e3 + 7 * 249.089), Estimate(277.594), BASE_PA, BASE_K)
    found = gas_input(Estimate(CUBIC_FOOT_M3), Estimate(36.0), at_meter)
    standard = found.standard_rate_m3_per_s.value / CUBIC_FOOT_M3 * HOUR_S
    assert standard == pytest.approx(100 * (85.1436 / 101.560) * (288.706 / 277.594), rel=1e-4)


@pytest.mark.parametrize("case_id", ["A-01", "A-02", "A-03", "A-04", "A-05", "A-06", "A-07"])
def test_the_atmosphere_by_the_altitude(case_id: str) -> None:
    case = CASES[case_id]
    inputs = case.inputs
    altitude_m = inputs.get("altitude_m") or inputs["altitude_ft"] * 0.3048
    pressure_pa = standard_pressure_pa(altitude_m)
    assert case.agrees(pressure_pa if "altitude_m" in inputs else pressure_pa / PSI_PA)


@pytest.mark.parametrize("altitude_m", [-400.0, 0.0, 500.0, 1600.0, 3000.0, 5400.0])
def test_the_atmosphere_by_another_program(altitude_m: float) -> None:
    """U.S. Standard Atmosphere 1976 by the library fluids; it tells geometric altitudes."""
    other = ATMOSPHERE_1976(altitude_m).P
    assert standard_pressure_pa(altitude_m) == pytest.approx(other, rel=1e-3)
