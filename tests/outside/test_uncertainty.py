"""Uncertainty and conformity against the GUM, JCGM 106 and SciPy (cases/uncertainty.toml)."""

from __future__ import annotations

import math
from statistics import stdev

import pytest
from scipy import stats

from desk.trade.uncertainty import (
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
    assert probability_above(0, t, Uncertain(1, freedom)) == pytest.approx(stats.t.cdf(t, freedom))


@pytest.mark.parametrize("freedom", [1, 2])
def test_points_of_chi_square(freedom: int) -> None:
    assert chi_square_point(0.95, freedom) == pytest.approx(stats.chi2.ppf(0.95, freedom))


def test_nothing_uncertain_is_certain() -> None:
    assert [probability_above(1, value, combine([])) for value in (0.9, 1, 1.1)] == [0, 0.5, 1]
