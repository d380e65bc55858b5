"""Sensors and pulses against standards' tables, published constants and worked examples."""

from __future__ import annotations

import math

import pytest

from desk.trade.electrical.pulses import LITRE_M3, flow_pulses
from desk.trade.electrical.resistance_table import ResistanceTable, read_table
from desk.trade.measuring.estimate import Estimate
from desk.trade.quantities.exact_factors import GALLON_M3
from tests.outside.published import cases

CASES = cases("electrical")
ZERO_K = 273.15


def test_platinum_between_the_points_of_a_printed_table() -> None:
    case = CASES["pt1000"]
    pairs = zip(case.inputs["table_degC"], case.inputs["table_ohm"], strict=True)
    table = read_table("; ".join(f"{celsius} C {ohm} ohm" for celsius, ohm in pairs))
    assert not table.falls
    assert case.agrees(*(table.resistance_ohm(each + ZERO_K) for each in case.inputs["at_degC"]))


def test_platinum_by_the_standard_s_polynomial() -> None:
    case = CASES["pt1000-law"]
    i = case.inputs

    def law(celsius: float) -> float:
        return float(i["R0"] * (1 + i["A"] * celsius + i["B"] * celsius**2))

    degrees = range(0, 201, 2)
    table = ResistanceTable(
        tuple(each + ZERO_K for each in degrees), tuple(law(each) for each in degrees)
    )
    assert case.agrees(table.resistance_ohm(i["at_degC"] + ZERO_K))
    assert table.temperature_k(case.expected) == pytest.approx(i["at_degC"] + ZERO_K, abs=0.01)


def steinhart_hart_k(ohm: float) -> float:
    i = CASES["steinhart-hart"].inputs
    return float(1 / (i["c1"] + i["c2"] * math.log(ohm) + i["c3"] * math.log(ohm) ** 3))


def ohm_of(temperature_k: float) -> float:
    """Turn the constants' law round by halving: it falls everywhere."""
    low, high = math.log(10.0), math.log(1e7)
    for _turn in range(80):
        middle = (low + high) / 2
        if steinhart_hart_k(math.exp(middle)) > temperature_k:
            low = middle
        else:
            high = middle
    return math.exp(low)


def test_a_thermistor_between_points_ten_degrees_apart_follows_its_law() -> None:
    case = CASES["steinhart-hart"]
    kelvins = [ZERO_K + each for each in range(0, 101, 10)]
    table = ResistanceTable(tuple(kelvins), tuple(ohm_of(each) for each in kelvins))
    for ohm in case.inputs["ohm"]:
        off_k = table.temperature_k(ohm) - steinhart_hart_k(ohm)
        assert case.agrees(off_k)
        assert table.resistance_ohm(steinhart_hart_k(ohm)) == pytest.approx(ohm, rel=0.003)


def test_pulses_a_gallon_of_a_worked_example() -> None:
    case = CASES["k-factor"]
    flow = case.inputs["gpm"] * GALLON_M3 / 60
    found = flow_pulses(Estimate(case.inputs["Hz"]), Estimate(flow))
    assert case.agrees(found.per_m3.value * GALLON_M3)


def test_pulses_a_litre_of_a_worked_example() -> None:
    case = CASES["k-factor-si"]
    flow = case.inputs["L_per_min"] * LITRE_M3 / 60
    found = flow_pulses(Estimate(case.inputs["Hz"]), Estimate(flow))
    assert case.agrees(found.per_m3.value * LITRE_M3)
