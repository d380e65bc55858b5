"""Hardness, its class and the scale indices against published tables and worked examples."""

from __future__ import annotations

import pytest

from desk.trade.measuring.estimate import Estimate
from desk.trade.quantities.typed_quantity import QuantityKind, parse
from desk.trade.reference.reference_values import default
from desk.trade.water.quality_model import (
    MG_PER_L,
    Sample,
    ScaleIndices,
    aggressive_index,
    as_carbonate,
    hardness_class,
    scale_indices,
    solids_term,
    temperature_term,
    total_hardness,
)
from desk.trade.water.water_measurement import WATER
from tests.outside.published import Case, cases

CASES = cases("water_quality")


def mg_per_l(value: float) -> Estimate:
    return Estimate(value * MG_PER_L)


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def indices(
    ph: float, calcium: float, alkalinity: float, solids: float, celsius: float
) -> ScaleIndices:
    """Return the indices of a water told in mg/L as calcium carbonate."""
    sample = Sample(Estimate(ph), mg_per_l(calcium), mg_per_l(alkalinity), mg_per_l(solids))
    return scale_indices(sample, Estimate(celsius + 273.15))


@pytest.mark.parametrize("case_id", ["7-03", "7-04"])
def test_the_classes_of_the_geological_survey(case_id: str) -> None:
    case = CASES[case_id]
    found = hardness_class(case.inputs["mg_L_CaCO3"] * MG_PER_L)
    assert found.value.replace("_", " ") == case.expected


@pytest.mark.parametrize(("case_id", "class_"), [("7-05", "moderately_hard"), ("7-06", "hard")])
def test_grains_a_gallon_and_their_class(case_id: str, class_: str) -> None:
    case = CASES[case_id]
    typed = f"{case.inputs['gpg']} gpg"
    si = parse(typed, QuantityKind.HARDNESS, field="").si
    assert case.agrees(si / MG_PER_L)
    assert WATER.outcome(WATER.understand({"hardness": typed})).words["class"] == class_


@pytest.mark.parametrize("case_id", ["7-07", "7-08"])
def test_the_saturation_index_by_a_pool_operator_s_table(case_id: str) -> None:
    case = CASES[case_id]
    alkalinity, ph, calcium, fahrenheit = case.inputs["raw"]
    found = indices(ph, calcium, alkalinity, 1000.0, kelvin(fahrenheit) - 273.15)
    assert case.agrees(found.langelier.value)


def test_the_terms_of_the_usual_formula() -> None:
    case = CASES["7-10"]
    assert case.agrees(
        solids_term(case.inputs["TDS"] * MG_PER_L),
        *(temperature_term(celsius + 273.15) for celsius in case.inputs["T_degC"]),
    )


def test_the_ryznar_index_cold_and_hot() -> None:
    case = CASES["7-12"]
    i = case.inputs
    assert case.agrees(
        *(
            indices(
                i["pH"], i["Ca_mg_L_CaCO3"], i["alk_mg_L_CaCO3"], i["TDS_mg_L"], celsius
            ).ryznar.value
            for celsius in i["T_degC"]
        )
    )


def test_both_indices_of_a_hard_water_at_three_temperatures() -> None:
    case = CASES["7-14"]
    i = case.inputs
    found = [indices(i["pH"], i["Ca"], i["alk"], i["TDS"], each) for each in i["T_degC"]]
    assert case.agrees(
        *(each.langelier.value for each in found), *(each.ryznar.value for each in found)
    )


def test_the_hardness_of_two_ions() -> None:
    case = CASES["7-15"]
    i = case.inputs
    found = total_hardness(mg_per_l(i["Ca_mg_L"]), mg_per_l(i["Mg_mg_L"]))
    assert case.agrees(found.value / MG_PER_L)
    typed = {"calcium_ion": f"{i['Ca_mg_L']} mg/L", "magnesium_ion": f"{i['Mg_mg_L']} mg/L"}
    outcome = WATER.outcome(WATER.understand(typed))
    assert case.agrees(outcome.figures[0].estimate.value / MG_PER_L)


def test_the_aggressive_index() -> None:
    case = CASES["7-16"]
    i = case.inputs
    assert case.agrees(
        aggressive_index(Estimate(i["pH"]), mg_per_l(i["Ca"]), mg_per_l(i["alk"])).value
    )


def test_a_worked_example_of_the_department_of_defense() -> None:
    case = CASES["ufc-b1"]
    i = case.inputs
    found = indices(i["pH"], i["Ca"], i["alk"], i["TDS"], kelvin(i["T_F"]) - 273.15)
    assert case.agrees(found.saturation_ph.value, found.langelier.value, found.ryznar.value)
    # The two indices of one water hang together whatever table stands behind them.
    ph_of_saturation, langelier, ryznar = case.expected
    assert i["pH"] - ph_of_saturation == pytest.approx(langelier)
    assert i["pH"] - 2 * langelier == pytest.approx(ryznar)
    assert found.ryznar.value == pytest.approx(i["pH"] - 2 * found.langelier.value)


def test_the_temperature_term_against_a_printed_table() -> None:
    case = CASES["ufc-table-b2"]
    assert case.agrees(*(temperature_term(kelvin(each)) for each in case.inputs["T_F"]))


def test_the_formula_s_own_error_covers_a_full_equilibrium() -> None:
    case = CASES["full-equilibrium"]
    found = [each.langelier.value for each in _waters(case)]
    assert case.agrees(*found)
    two_of_them = zip(found[:2], case.expected, strict=False)  # the third is rounded to 1
    half_width = default("scale_index_accuracy").value
    assert all(abs(here - there) <= half_width + 0.05 for here, there in two_of_them)


def _waters(case: Case) -> list[ScaleIndices]:
    i = case.inputs
    return [
        scale_indices(
            Sample(
                Estimate(ph),
                as_carbonate(mg_per_l(calcium), "calcium"),
                mg_per_l(alkalinity),
                mg_per_l(solids),
            ),
            Estimate(298.15),
        )
        for ph, calcium, alkalinity, solids in zip(
            i["pH"], i["Ca_ion"], i["alk"], i["TDS"], strict=True
        )
    ]


def test_the_aggressive_index_of_a_water_package() -> None:
    case = CASES["aggressive"]
    i = case.inputs
    assert case.agrees(
        *(
            aggressive_index(
                Estimate(ph), as_carbonate(mg_per_l(calcium), "calcium"), mg_per_l(alkalinity)
            ).value
            for ph, alkalinity, calcium in zip(i["pH"], i["alk"], i["Ca_ion"], strict=True)
        )
    )
