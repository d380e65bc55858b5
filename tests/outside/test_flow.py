"""The bucket and stopwatch against worked values, SciPy and a simulation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from desk.trade.flow import Activation, Container, Fill, Scale, TimedFlow, timed_volume, verdict
from desk.trade.water_properties import density_kg_per_m3
from tests.outside.published import Case, cases

CASES = cases("uncertainty")
DENSITIES = cases("water_density")
GALLON_M3 = 3.785411784e-3
GPM = GALLON_M3 / 60


def measured(case: Case) -> TimedFlow:
    inputs = case.inputs
    bucket = Container(inputs["V_gal"] * GALLON_M3, inputs["a_V_gal"] * GALLON_M3)
    return timed_volume([Fill(inputs["t_s"])], bucket, timing_half_width_s=inputs["a_t_s"])


def test_a_gallon_in_two_minutes() -> None:
    found = measured(CASES["3-27"])
    u = found.standard_uncertainty_m3_per_s
    assert CASES["3-27"].agrees(found.flow_m3_per_s / GPM, u / GPM)


def test_a_gallon_in_114_seconds_reaches_half_a_gallon_a_minute() -> None:
    case = CASES["3-28"]
    found = measured(case)
    reached = verdict(found, Activation(case.inputs["threshold_gpm"] * GPM)).probability_reached
    u = found.standard_uncertainty_m3_per_s
    assert case.agrees(found.flow_m3_per_s / GPM, u / GPM, reached)


@pytest.mark.parametrize("case_id", ["2-01", "2-03", "2-05", "2-06", "2-10"])
def test_density_of_water_is_that_of_iapws_95(case_id: str) -> None:
    case = DENSITIES[case_id]
    assert case.agrees(density_kg_per_m3(case.inputs["T_degC"] + 273.15))


def test_water_expands_from_10_to_60_degrees() -> None:
    case = DENSITIES["2-21"]
    assert case.agrees(density_kg_per_m3(283.15) / density_kg_per_m3(333.15))


def test_scatter_of_five_fills_after_the_gum_by_scipy() -> None:
    """GUM 4.2.3, 5.1.2, G.4.1 and JCGM 106 written out once more, on SciPy's distributions."""
    seconds = [61.0, 59.2, 60.4, 58.8, 60.6]
    volume, half_width = 2e-3, 0.02e-3
    found = timed_volume(
        [Fill(t) for t in seconds], Container(volume, half_width), timing_half_width_s=0.3
    )
    flow = volume / np.mean(seconds)
    u_volume, u_time = half_width / math.sqrt(3) / volume, stats.sem(seconds) / np.mean(seconds)
    u = flow * math.hypot(u_volume, u_time)
    freedom = (u / flow) ** 4 / (u_time**4 / 4)
    assert found.standard_uncertainty_m3_per_s == pytest.approx(u, rel=1e-12)
    assert found.degrees_of_freedom == pytest.approx(freedom, rel=1e-9)
    assert found.expanded_uncertainty_m3_per_s == pytest.approx(
        stats.t.ppf(0.975, math.floor(freedom)) * u, rel=1e-9
    )
    limit, limit_half_width = 1.96e-3 / 60, 0.02e-3 / 60
    u_difference = math.hypot(u, limit_half_width / math.sqrt(3))
    nu = u_difference**4 / (u**4 / freedom)
    assert verdict(found, Activation(limit, limit_half_width)).probability_reached == (
        pytest.approx(stats.t.sf((limit - flow) / u_difference, nu), rel=1e-9)
    )


@pytest.mark.parametrize("fills", [1, 3, 8])
def test_the_standard_uncertainty_is_what_a_simulation_scatters_by(fills: int) -> None:
    """A fixed-seed simulation (JCGM 101): the mark's error shared, the timing's drawn anew."""
    volume, half_width, seconds, timing = 5e-3, 0.1e-3, 40.0, 1.5
    draw = np.random.default_rng(20261125)
    count = 200_000
    volumes = volume + draw.uniform(-half_width, half_width, count)
    times = seconds + draw.uniform(-timing, timing, (count, fills)).mean(axis=1)
    found = timed_volume(
        [Fill(seconds)] * fills, Container(volume, half_width), timing_half_width_s=timing
    )
    assert found.standard_uncertainty_m3_per_s == pytest.approx(np.std(volumes / times), rel=0.01)


def test_weighed_fills_scatter_as_a_simulation_does() -> None:
    """The scale's error is shared, also where the masses differ."""
    masses, pace, half_width, timing = np.array([4.0, 5.0, 6.0]), 10.0, 0.1, 1.0
    draw = np.random.default_rng(20261125)
    count = 200_000
    read = masses + draw.uniform(-half_width, half_width, (count, 1))
    times = masses * pace + draw.uniform(-timing, timing, (count, 3))
    density = density_kg_per_m3(323.15)
    found = timed_volume(
        [Fill(m * pace, m) for m in masses.tolist()],
        Scale(half_width, 323.15),
        timing_half_width_s=timing,
    )
    flows = read.sum(axis=1) / density / times.sum(axis=1)
    assert found.standard_uncertainty_m3_per_s == pytest.approx(np.std(flows), rel=0.01)
