"""Unit factors against NIST SP 811 and NIST Handbook 44 (cases/units.toml)."""

from __future__ import annotations

import pytest

from desk.trade.quantities.typed_quantity import QuantityKind, parse
from tests.outside.published import cases

CASES = cases("units")


def si(text: str, kind: QuantityKind) -> float:
    return parse(text, kind, field="").si


def test_a_gallon_is_231_cubic_inches() -> None:
    assert si("1 gal", QuantityKind.VOLUME) == pytest.approx(231 * 0.0254**3, rel=1e-14)
    assert si("1 gal", QuantityKind.VOLUME) == pytest.approx(
        si("231 in3", QuantityKind.VOLUME), rel=1e-14
    )


def test_a_gallon_in_litres() -> None:
    assert CASES["1-01"].agrees(si("1 gal", QuantityKind.VOLUME) * 1000)


def test_a_gallon_a_minute() -> None:
    assert CASES["1-03"].agrees(si("1 gpm", QuantityKind.VOLUME_RATE))


def test_half_a_gallon_a_minute_fills_a_quart_in_half_a_minute() -> None:
    assert CASES["1-05"].agrees(
        si("1 qt", QuantityKind.VOLUME) / si("0.5 gpm", QuantityKind.VOLUME_RATE)
    )


def test_a_btu_is_that_of_the_international_table() -> None:
    assert CASES["1-07"].agrees(si("1 BTU", QuantityKind.ENERGY))


def test_a_therm_is_the_us_one() -> None:
    assert CASES["1-08"].agrees(si("1 therm", QuantityKind.ENERGY))


def test_pounds_a_square_inch() -> None:
    assert CASES["1-11"].agrees(si("1 psi", QuantityKind.PRESSURE))


def test_an_inch_of_water_lies_between_the_two_printed_ones() -> None:
    # SP 811 prints three; Pint's is the conventional 249.0889 Pa.
    warm, cold = CASES["1-13"].expected[1], CASES["1-13"].expected[0] + 0.01
    assert warm < si("1 inH2O", QuantityKind.GAS_PRESSURE) < cold


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert CASES["1-15"].agrees(si("67 F", QuantityKind.TEMPERATURE_DIFFERENCE))


def test_a_pound_a_gallon() -> None:
    assert CASES["1-18"].agrees(si("1 lb/gal", QuantityKind.CONCENTRATION))


def test_a_german_degree_of_hardness() -> None:
    assert CASES["1-20"].agrees(si("1 °dH", QuantityKind.HARDNESS) * 1000)


def test_french_and_clark_degrees_of_hardness() -> None:
    french, clark = si("1 °fH", QuantityKind.HARDNESS), si("1 °Clark", QuantityKind.HARDNESS)
    assert CASES["1-21"].agrees(french * 1000, clark * 1000)


def test_the_imperial_gallon_is_another_one() -> None:
    assert CASES["1-22"].agrees(
        si("1 imp gal", QuantityKind.VOLUME) / si("1 gal", QuantityKind.VOLUME)
    )


def test_half_a_gallon_a_minute_is_the_usual_activation_flow() -> None:
    # Common practice, no source: 0.5 US gal/min, about 1.9 L/min.
    assert si("0.5 gpm", QuantityKind.VOLUME_RATE) * 60_000 == pytest.approx(1.9, abs=0.05)
