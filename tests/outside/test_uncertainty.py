"""Uncertainty and conformity against the GUM, JCGM 106 and SciPy (cases/uncertainty.toml)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import stdev

import numpy as np
import pytest
import scipy

from desk.base.texts import message
from desk.trade.measuring.estimate import Error, Estimate, propagate
from desk.trade.measuring.gum import (
    Uncertain,
    chi_square_point,
    combine,
    coverage_factor,
    probability_above,
    rectangular,
)
from tests.outside.published import cases

CASES = cases("uncertainty")


def combined(case_id: str) -> Uncertain:
    inputs = CASES[case_id].inputs
    freedoms = inputs.get("dof", [math.inf] * len(inputs["u_nm"]))
    return combine(map(Uncertain, inputs["u_nm"], freedoms))


@pytest.mark.parametrize("case_id", ["3-01", "3-03"])
def test_independent_uncertainties_add_as_squares(case_id: str) -> None:
    assert CASES[case_id].agrees(combined(case_id).u)


def test_effective_degrees_of_freedom_of_the_end_gauge() -> None:
    assert CASES["3-04"].agrees(combined("3-04").degrees_of_freedom)


@pytest.mark.parametrize("case_id", ["3-05", "3-08", "3-09"])
def test_coverage_factors_of_table_g2(case_id: str) -> None:
    case = CASES[case_id]
    assert case.agrees(coverage_factor(case.inputs["dof"], case.inputs["p"]))


def test_coverage_factors_of_table_g2_further_down() -> None:
    case = CASES["3-12"]
    assert case.agrees(*map(coverage_factor, case.inputs["dof"], case.inputs["p"]))


def test_degrees_of_freedom_are_cut_down_and_not_rounded() -> None:
    assert coverage_factor(16.75, 0.99) == coverage_factor(16, 0.99)


def test_expanded_uncertainty_of_the_end_gauge() -> None:
    gauge = combined("3-04")
    assert CASES["3-06"].agrees(coverage_factor(gauge.degrees_of_freedom, 0.99) * gauge.u)


def test_a_mean_of_daily_readings_with_its_interval() -> None:
    case = CASES["3-17"]
    readings = case.inputs["t_degC"]
    mean, u = sum(readings) / len(readings), stdev(readings) / math.sqrt(len(readings))
    reach = coverage_factor(len(readings) - 1) * u
    assert case.agrees(mean, u, mean - reach, mean + reach)


def test_a_rectangular_half_width() -> None:
    assert rectangular(CASES["3-18"].inputs["a"]) == pytest.approx(
        CASES["3-18"].expected[0], abs=CASES["3-18"].tolerance
    )


def test_probability_of_keeping_an_upper_limit() -> None:
    case = CASES["3-22"]
    above = probability_above(
        case.inputs["T_U_V"], case.inputs["measured_V"], Uncertain(case.inputs["u_V"])
    )
    assert case.agrees(1 - above)


def test_probability_two_uncertainties_inside_the_limit() -> None:
    assert CASES["3-23"].agrees(
        probability_above(0, CASES["3-23"].inputs["w_over_u"], Uncertain(1))
    )


@pytest.mark.parametrize("freedom", [1, 3, 4.7, 30])
@pytest.mark.parametrize("t", [-2.5, 0.0, 0.4, 3.0])
def test_probabilities_are_those_of_students_t(t: float, freedom: float) -> None:
    assert probability_above(0, t, Uncertain(1, freedom)) == pytest.approx(
        scipy.stats.t.cdf(t, freedom)
    )


@pytest.mark.parametrize("freedom", [1, 2])
def test_points_of_chi_square(freedom: int) -> None:
    assert chi_square_point(0.95, freedom) == pytest.approx(scipy.stats.chi2.ppf(0.95, freedom))


def correlated(
    values: Sequence[float], u: Sequence[float], r: Sequence[Sequence[float]]
) -> list[Estimate]:
    """Return estimates whose shared sources give them the correlation ``r`` (Cholesky)."""
    roots = np.linalg.cholesky(np.array(r) * np.outer(u, u))
    name = message("one of the sources behind the correlation")
    return [
        Estimate(value, tuple(Error(str(n), name, float(part)) for n, part in enumerate(row)))
        for value, row in zip(values, roots, strict=True)
    ]


def test_shared_sources_carry_correlated_inputs_through_three_formulas() -> None:
    case = CASES["3-15"]
    at = case.inputs
    volts, amperes, phase = correlated(
        (at["V"], at["I_A"], at["phi_rad"]),
        at["u"],
        (
            (1, at["r_VI"], at["r_Vphi"]),
            (at["r_VI"], 1, at["r_Iphi"]),
            (at["r_Vphi"], at["r_Iphi"], 1),
        ),
    )
    found = (
        propagate(lambda v, i, phi: v / i * math.cos(phi), volts, amperes, phase),
        propagate(lambda v, i, phi: v / i * math.sin(phi), volts, amperes, phase),
        propagate(lambda v, i: v / i, volts, amperes),
    )
    values = [one.value for one in found]
    assert case.agrees(*values, *(one.standard_uncertainty for one in found))


def test_a_calibration_line_is_used_beyond_its_points() -> None:
    case = CASES["3-14"]
    at = np.array(case.inputs["calibration_t_degC"]) - case.inputs["t0_degC"]
    lines = np.column_stack([np.ones_like(at), at])
    found, rest, *_ = np.linalg.lstsq(lines, np.array(case.inputs["b_degC"]))
    covariance = float(rest[0]) / (len(at) - 2) * np.linalg.inv(lines.T @ lines)
    u = np.sqrt(np.diag(covariance)).tolist()
    r = covariance[0, 1] / (u[0] * u[1])
    constant, slope = correlated(found.tolist(), u, ((1, r), (r, 1)))
    beyond = case.inputs["t_degC"] - case.inputs["t0_degC"]
    correction = propagate(lambda y, k: y + k * beyond, constant, slope)
    assert case.agrees(correction.value, correction.standard_uncertainty)


def test_nothing_uncertain_is_certain() -> None:
    assert [probability_above(1, value, combine([])) for value in (0.9, 1, 1.1)] == [0, 0.5, 1]
