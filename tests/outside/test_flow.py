"""The bucket and stopwatch against worked values, SciPy and a simulation.

The worked values, and the simulations of a mark and a watch, take the flow as steady, and so they
are computed here; what its unsteadiness adds to few fills is integrated by itself at the end.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

from desk.trade.flow.timed_flow import (
    Activation,
    FillContainer,
    Scale,
    TimedFill,
    TimedFlow,
    timed_volume,
    verdict,
)
from desk.trade.flow.unsteadiness import STEADY, USUAL
from desk.trade.reference.water_properties import density_kg_per_m3
from tests.outside.published import Case, cases

CASES = cases("uncertainty")
DENSITIES = cases("water_density")
GALLON_M3 = 3.785411784e-3
GPM = GALLON_M3 / 60


def measured(case: Case) -> TimedFlow:
    inputs = case.inputs
    bucket = FillContainer(inputs["V_gal"] * GALLON_M3, inputs["a_V_gal"] * GALLON_M3)
    return timed_volume(
        [TimedFill(inputs["t_s"])],
        bucket,
        timing_half_width_s=inputs["a_t_s"],
        unsteadiness=STEADY,
    )


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
        [TimedFill(t) for t in seconds], FillContainer(volume, half_width), timing_half_width_s=0.3
    )
    flow = volume / np.mean(seconds)
    u_volume, u_time = (
        half_width / math.sqrt(3) / volume,
        scipy.stats.sem(seconds) / np.mean(seconds),
    )
    u = flow * math.hypot(u_volume, u_time)
    freedom = (u / flow) ** 4 / (u_time**4 / 4)
    assert found.standard_uncertainty_m3_per_s == pytest.approx(u, rel=1e-12)
    assert found.degrees_of_freedom == pytest.approx(freedom, rel=1e-9)
    assert found.expanded_uncertainty_m3_per_s == pytest.approx(
        scipy.stats.t.ppf(0.975, math.floor(freedom)) * u, rel=1e-9
    )
    limit, limit_half_width = 1.96e-3 / 60, 0.02e-3 / 60
    u_difference = math.hypot(u, limit_half_width / math.sqrt(3))
    nu = u_difference**4 / (u**4 / freedom)
    assert verdict(found, Activation(limit, limit_half_width)).probability_reached == (
        pytest.approx(scipy.stats.t.sf((limit - flow) / u_difference, math.floor(nu)), rel=1e-9)
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
        [TimedFill(seconds)] * fills,
        FillContainer(volume, half_width),
        timing_half_width_s=timing,
        unsteadiness=STEADY,
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
        [TimedFill(m * pace, m) for m in masses.tolist()],
        Scale(half_width, 323.15),
        timing_half_width_s=timing,
        unsteadiness=STEADY,
    )
    flows = read.sum(axis=1) / density / times.sum(axis=1)
    assert found.standard_uncertainty_m3_per_s == pytest.approx(np.std(flows), rel=0.01)


@pytest.mark.parametrize("seconds", [[120.0], [118.0, 121.5], [117.0, 120.0, 124.0]])
def test_few_fills_of_an_unsteady_flow_are_students_t(seconds: list[float]) -> None:
    """The posterior of the mean, integrated over every scatter that is possible, by SciPy.

    Normal fills, a flat prior of their mean, a scaled inverse chi-square prior of their variance:
    what is integrated numerically has to be Student's t with the width and the degrees of freedom
    that the program gives (JCGM 101:2008, 6.4.9).
    """
    mean, fills = 1 / np.mean(seconds), len(seconds)
    found = timed_volume(
        [TimedFill(t) for t in seconds], FillContainer(1.0, 0.0), timing_half_width_s=0.0
    )
    prior = scipy.stats.invgamma(
        USUAL.degrees_of_freedom / 2, scale=USUAL.degrees_of_freedom * USUAL.share**2 / 2
    )
    sums = np.sum((np.array(seconds) * mean - 1) ** 2)
    variances = np.geomspace(1e-7, 1.0, 20_001)
    weights = prior.pdf(variances) * variances ** (-(fills - 1) / 2) * np.exp(-sums / 2 / variances)
    weights /= np.trapezoid(weights, variances)
    for off in (-0.04, -0.01, 0.005, 0.03):
        below = scipy.stats.norm.cdf(off, scale=np.sqrt(variances / fills))
        expected = np.trapezoid(weights * below, variances)
        u, nu = found.standard_uncertainty_m3_per_s / mean, found.degrees_of_freedom
        assert scipy.stats.t.cdf(off / u, nu) == pytest.approx(expected, abs=2e-5)
