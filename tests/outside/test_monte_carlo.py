"""First-order uncertainty against a simulation, after JCGM 101:2008, clause 8.

What is simulated is written out once more in NumPy, from the rectangles of the instruments to the
result; the water is that of the library CoolProp. Clause 8 holds the ends of the GUM's 95 %
interval against those of the simulation's, probabilistically symmetric (7.7): they may differ by
half a unit in the last digit of the standard uncertainty that means something (7.9.2), here the
first. All inputs are of type B, and the flow is taken as steady: with a few fills whose scatter
counts the methods differ by design.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from desk.base.texts import message
from desk.trade.flow.timed_flow import FillContainer, TimedFill, estimate_of, timed_volume
from desk.trade.flow.unsteadiness import STEADY
from desk.trade.heating.gas_model import AtMeter, gas_input
from desk.trade.heating.heat_model import HeatToWater, heat_to_water
from desk.trade.measuring.estimate import Estimate, rectangular_error

Draws = npt.NDArray[np.float64]

DRAWS = 400_000
NAME = message("a source")

# Three fills of a 10 L bucket, 0.2 L either way, in 60 s, 1.5 s either way each.
BUCKET_M3, BUCKET_HALF_WIDTH_M3 = 10e-3, 0.2e-3
FILLS, FILL_S, TIMING_HALF_WIDTH_S = 3, 60.0, 1.5
# From 12 to 51 degC on one thermometer, out by 1 K either way in both, read to 0.3 K either way.
INLET_K, OUTLET_K, OFFSET_K, READING_K = 285.15, 324.15, 1.0, 0.3
# 0.1 m3 of gas in 120 s, 2 s either way; the meter within 2 %, the heating value within 3 %, the
# gas within 2 kPa and 5 K of what is entered.
GAS_M3, GAS_S, GAS_TIMING_S = 0.1, 120.0, 2.0
METER, HEATING_VALUE, OF_HEATING_VALUE = 0.02, 38.4e6, 0.03
GAS_PA, GAS_PA_HALF_WIDTH, GAS_K, GAS_K_HALF_WIDTH = 103e3, 2e3, 283.15, 5.0
BASE_PA, BASE_K = 101_560.0, 288.706


class Simulation:
    """Draws of every input, from a fixed seed, and the results computed from each draw."""

    def __init__(self) -> None:
        self._chance = np.random.default_rng(20261125)
        self.flow = self._flow()
        self.heat = self._heat(self.flow)
        self.efficiency = self.heat / self._gas()

    def _within(self, value: float, half_width: float, *shape: int) -> Draws:
        return value + self._chance.uniform(-half_width, half_width, (DRAWS, *shape))

    def _flow(self) -> Draws:
        times = self._within(FILL_S, TIMING_HALF_WIDTH_S, FILLS).mean(axis=1)
        return self._within(BUCKET_M3, BUCKET_HALF_WIDTH_M3) / times

    def _heat(self, flow: Draws) -> Draws:
        offset = self._within(0.0, OFFSET_K)
        inlet, outlet = (self._within(t, READING_K) + offset for t in (INLET_K, OUTLET_K))
        rise = water("H", outlet) - water("H", inlet)
        return flow * water("D", outlet) * rise

    def _gas(self) -> Draws:
        rate = GAS_M3 * self._within(1.0, METER) / self._within(GAS_S, GAS_TIMING_S)
        pressure = self._within(GAS_PA, GAS_PA_HALF_WIDTH)
        standard = rate * pressure / BASE_PA * BASE_K / self._within(GAS_K, GAS_K_HALF_WIDTH)
        return standard * HEATING_VALUE * self._within(1.0, OF_HEATING_VALUE)


def water(quantity: str, temperatures: Draws) -> Draws:
    """Return a property of water at each temperature, from a fine grid of CoolProp's."""
    from CoolProp.CoolProp import PropsSI

    grid = np.arange(280.0, 330.0, 0.25)
    known = PropsSI(quantity, "T", grid, "P", 101_325.0, "Water")
    return np.interp(temperatures, grid, known)


def near(value: float, source: str, half_width: float) -> Estimate:
    return Estimate(value, rectangular_error(source, NAME, half_width))


def flow_estimate() -> Estimate:
    measured = timed_volume(
        [TimedFill(FILL_S)] * FILLS,
        FillContainer(BUCKET_M3, BUCKET_HALF_WIDTH_M3),
        timing_half_width_s=TIMING_HALF_WIDTH_S,
        unsteadiness=STEADY,
    )
    return estimate_of(measured, "bucket", "now")


def first_order_heat(*, one_thermometer: bool = True) -> HeatToWater:
    inlet, outlet = (
        Estimate(
            value,
            (
                *rectangular_error("thermometer" if one_thermometer else end, NAME, OFFSET_K),
                *rectangular_error(f"reading {end}", NAME, READING_K),
            ),
        )
        for value, end in ((INLET_K, "inlet"), (OUTLET_K, "outlet"))
    )
    return heat_to_water(flow_estimate(), inlet, outlet)


def first_order_efficiency() -> Estimate:
    found = gas_input(
        near(GAS_M3, "meter", GAS_M3 * METER),
        near(GAS_S, "watch", GAS_TIMING_S),
        AtMeter(
            near(GAS_PA, "pressure", GAS_PA_HALF_WIDTH),
            near(GAS_K, "temperature", GAS_K_HALF_WIDTH),
            BASE_PA,
            BASE_K,
        ),
        near(HEATING_VALUE, "heating value", HEATING_VALUE * OF_HEATING_VALUE),
        heat_w=first_order_heat().heat_w,
    )
    assert found.efficiency is not None
    return found.efficiency


def tolerance(standard_uncertainty: float) -> float:
    """Return half a unit of the first significant digit of ``u`` (JCGM 101:2008, 7.9.2)."""
    return 0.5 * 10.0 ** int(f"{standard_uncertainty:.0e}".partition("e")[2])


def farthest_end(estimate: Estimate, drawn: Draws) -> float:
    """Return how far the worse of the interval's two ends is off, in tolerances (8.1.2)."""
    low, high = np.quantile(drawn, (0.025, 0.975))
    reach = estimate.expanded_uncertainty
    ends = (estimate.value - reach - low, estimate.value + reach - high)
    return float(max(map(abs, ends)) / tolerance(float(np.std(drawn))))


@pytest.fixture(scope="module")
def simulation() -> Simulation:
    return Simulation()


@pytest.mark.parametrize(
    ("quantity", "first_order"),
    [
        ("flow", flow_estimate()),
        ("heat", first_order_heat().heat_w),
        ("efficiency", first_order_efficiency()),
    ],
)
def test_the_interval_is_that_of_a_simulation(
    simulation: Simulation, quantity: str, first_order: Estimate
) -> None:
    drawn = getattr(simulation, quantity)
    assert farthest_end(first_order, drawn) <= 1
    assert first_order.standard_uncertainty == pytest.approx(float(np.std(drawn)), rel=0.005)
    assert first_order.value == pytest.approx(float(np.mean(drawn)), rel=0.001)


def test_two_thermometers_would_be_told_apart(simulation: Simulation) -> None:
    """The comparison can fail: an offset that is not shared is seen at once."""
    apart = first_order_heat(one_thermometer=False).heat_w
    assert farthest_end(apart, simulation.heat) > 1


@pytest.mark.parametrize(("u", "half_a_digit"), [(2.37e-6, 0.5e-6), (417.0, 50.0), (0.96, 0.5)])
def test_the_tolerance_is_half_of_the_first_digit(u: float, half_a_digit: float) -> None:
    assert tolerance(u) == pytest.approx(half_a_digit)
