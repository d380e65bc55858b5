"""Quantities as people type them, and as they read them."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.quantities.typed_quantity import (
    QuantityKind,
    System,
    TypedQuantity,
    parse,
    show,
    to_json,
    unit_named,
)
from desk.trade.quantities.units import USUAL, registry
from tests.every_day import every_day


def typed(text: str, kind: QuantityKind, default_unit: str | None = None) -> TypedQuantity:
    return parse(text, kind, field="box", default_unit=default_unit)


def refusal(text: str, kind: QuantityKind, default_unit: str | None = None) -> str:
    with pytest.raises(InputError) as caught:
        typed(text, kind, default_unit)
    assert caught.value.field == "box"
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit"),
    [
        ("1.5 gpm", QuantityKind.VOLUME_RATE, 1.5, "gallon/minute"),
        ("1.5GPM", QuantityKind.VOLUME_RATE, 1.5, "gallon/minute"),
        ("5,7 l/min", QuantityKind.VOLUME_RATE, 5.7, "L/min"),
        ("5 gallons per minute", QuantityKind.VOLUME_RATE, 5, "gallon/minute"),
        ("68F", QuantityKind.TEMPERATURE, 68, "degF"),
        ("-4 °C", QuantityKind.TEMPERATURE, -4, "degC"),
        ("\u22124 ℃", QuantityKind.TEMPERATURE, -4, "degC"),
        ("70 F", QuantityKind.TEMPERATURE_DIFFERENCE, 70, "delta_degF"),
        ("0:41", QuantityKind.TIME, 41, "s"),
        ("0:38.2", QuantityKind.TIME, 38.2, "s"),
        ("0:38,2", QuantityKind.TIME, 38.2, "s"),
        ("1:02:03", QuantityKind.TIME, 3723, "s"),
        ("38.2s", QuantityKind.TIME, 38.2, "s"),
        ("2 m", QuantityKind.TIME, 2, "minute"),
        ("1 min 20 s", QuantityKind.TIME, 4 / 3, "minute"),
        ("2 ft3", QuantityKind.VOLUME, 2, "ft^3"),
        ("2 ft³", QuantityKind.VOLUME, 2, "ft^3"),
        ("2 cu ft", QuantityKind.VOLUME, 2, "ft^3"),
        ("1 ccf", QuantityKind.VOLUME, 100, "ft^3"),
        ("5 gal", QuantityKind.VOLUME, 5, "gallon"),
        ("5 Gal.", QuantityKind.VOLUME, 5, "gallon"),
        ("５\u3000gal", QuantityKind.VOLUME, 5, "gallon"),
        ("٥ gal", QuantityKind.VOLUME, 5, "gallon"),
        ("5 imp gal", QuantityKind.VOLUME, 5, "imperial_gallon"),
        ("1030 BTU/ft3", QuantityKind.HEATING_VALUE, 1030, "Btu_it/ft^3"),
        ("1,030 Btu/cu ft", QuantityKind.HEATING_VALUE, 1030, "Btu_it/ft^3"),
        ("199 000 BTU/h", QuantityKind.POWER, 199_000, "Btu_it/hour"),
        ("199,000 btuh", QuantityKind.POWER, 199_000, "Btu_it/hour"),
        ("199 MBH", QuantityKind.POWER, 199_000, "Btu_it/hour"),
        ("24 kW", QuantityKind.POWER, 24, "kW"),
        ("12 gpg", QuantityKind.HARDNESS, 12, "grain/gallon"),
        ("205 mg/L as CaCO3", QuantityKind.HARDNESS, 205, "mg/L"),
        ("205 ppm", QuantityKind.HARDNESS, 205, "mg/L"),
        ("1/2 in", QuantityKind.DIAMETER, 0.5, "inch"),
        ('1 1/2"', QuantityKind.DIAMETER, 1.5, "inch"),
        ("1½ in", QuantityKind.DIAMETER, 1.5, "inch"),
        ("¾″", QuantityKind.DIAMETER, 0.75, "inch"),
        ("5′ 3″", QuantityKind.LENGTH, 5.25, "ft"),
        ("1.234,5 L", QuantityKind.VOLUME, 1234.5, "L"),
        ("1,234.5 L", QuantityKind.VOLUME, 1234.5, "L"),
        ("1'234'567 L", QuantityKind.VOLUME, 1_234_567, "L"),
        ("0,125 L", QuantityKind.VOLUME, 0.125, "L"),
        ("7 in wc", QuantityKind.GAS_PRESSURE, 7, "inch_H2O"),
        ("7 inches WC", QuantityKind.GAS_PRESSURE, 7, "inch_H2O"),
        ("7 inches of water", QuantityKind.GAS_PRESSURE, 7, "inch_H2O"),
        ("58\u00baF", QuantityKind.TEMPERATURE, 58, "degF"),
        ("58 \u02daF", QuantityKind.TEMPERATURE, 58, "degF"),
        ("205 mg/L CaCO3", QuantityKind.HARDNESS, 205, "mg/L"),
        ("12 grains", QuantityKind.HARDNESS, 12, "grain/gallon"),
        ("0.3 MPa", QuantityKind.PRESSURE, 0.3, "MPa"),
        ("0.4 MΩ", QuantityKind.RESISTANCE, 0.4, "MΩ"),
        ("4 µA", QuantityKind.CURRENT, 4, "microampere"),
        ("9 %", QuantityKind.FRACTION, 9, "percent"),
        ("10.3 kWh/m3", QuantityKind.HEATING_VALUE, 10.3, "kilowatt_hour/m^3"),
        ("38 kJ/L", QuantityKind.HEATING_VALUE, 38, "kJ/L"),
        ("0.4 N/mm^2", QuantityKind.PRESSURE, 0.4, "N/mm^2"),
        ("1.2 Kv", QuantityKind.FLOW_COEFFICIENT, 1.2, "m^3/h"),
        ("1 Cv", QuantityKind.FLOW_COEFFICIENT, 0.864978, "m^3/h"),
    ],
)
def test_what_people_type_is_understood(
    text: str, kind: QuantityKind, value: float, unit: str
) -> None:
    found = typed(text, kind)
    assert (found.text, found.unit) == (text, unit)
    assert found.value == pytest.approx(value, rel=1e-12)


def test_a_bare_number_takes_the_unit_of_its_field() -> None:
    assert typed("38.2", QuantityKind.TIME, "s").si == 38.2
    assert typed("½", QuantityKind.DIAMETER, "inch").si == pytest.approx(0.0127)


def test_a_temperature_has_an_offset_and_its_difference_has_none() -> None:
    assert typed("32 F", QuantityKind.TEMPERATURE).si == pytest.approx(273.15)
    assert typed("18 F", QuantityKind.TEMPERATURE_DIFFERENCE).si == pytest.approx(10)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("nan gal", QuantityKind.VOLUME),
        ("inf", QuantityKind.VOLUME),
        ("1e999 gal", QuantityKind.VOLUME),
        ("5 kg", QuantityKind.VOLUME),
        ("5 gal 3 s", QuantityKind.VOLUME),
        ("5 gal 5 gal", QuantityKind.VOLUME),
        ("1.2.3 gal", QuantityKind.VOLUME),
        ("1,23,456 gal", QuantityKind.VOLUME),
        ("1/0 in", QuantityKind.DIAMETER),
        ("10² L", QuantityKind.VOLUME),
        ("gal", QuantityKind.VOLUME),
        ("5 gal**9**9**9", QuantityKind.VOLUME),
        ("5 __import__", QuantityKind.VOLUME),
        ("{text} gal", QuantityKind.VOLUME),
        ("0:75", QuantityKind.TIME),
        ("9" * 500, QuantityKind.TIME),
        ("200 BTU", QuantityKind.POWER),
        ("380 bar", QuantityKind.HEATING_VALUE),
        ("380 MPa", QuantityKind.HEATING_VALUE),
        ("38 N/mm^2", QuantityKind.HEATING_VALUE),
        ("38 MJ/m3", QuantityKind.PRESSURE),
        ("38 kJ/L", QuantityKind.GAS_PRESSURE),
        ("5 rad", QuantityKind.FRACTION),
        ("5 Bq", QuantityKind.FREQUENCY),
    ],
)
def test_nonsense_is_refused_with_what_is_expected(text: str, kind: QuantityKind) -> None:
    assert str(USUAL[kind].expected) in refusal(
        text, kind, "s" if kind is QuantityKind.TIME else "L"
    )


@pytest.mark.parametrize("text", ["", "   ", "\u3000\t"])
def test_nothing_typed_is_asked_for(text: str) -> None:
    assert refusal(text, QuantityKind.TIME) == "Type a time such as 38.2 s or 0:38.2."


def test_a_number_alone_asks_for_its_unit() -> None:
    assert "needs a unit" in refusal("5", QuantityKind.VOLUME)


def test_a_share_without_its_sign_is_asked_for_it() -> None:
    assert (
        refusal("1", QuantityKind.FRACTION)
        == "“1” needs its sign; type a share such as 9 % or 35 ppm."
    )
    assert typed("0", QuantityKind.FRACTION).si == 0
    assert typed("1 %", QuantityKind.FRACTION).si == pytest.approx(0.01)


@pytest.mark.parametrize("gauge", ["14.7 psig", "14.7 PSIG", "1 barg", "1 bar g"])
def test_a_gauge_pressure_is_no_absolute_one(gauge: str) -> None:
    assert "is a gauge pressure" in refusal(gauge, QuantityKind.ABSOLUTE_PRESSURE)
    assert typed(gauge, QuantityKind.PRESSURE).si > 0


def test_an_absolute_pressure_may_say_so() -> None:
    for text in ("14.7 psia", "14.7 psi", "14.7 psi a"):
        assert typed(text, QuantityKind.ABSOLUTE_PRESSURE).si == pytest.approx(101_353, abs=1)


def test_a_comma_before_three_digits_is_not_guessed_with_metric_units() -> None:
    assert "may mean 1030 or 1.03" in refusal("1,030 L", QuantityKind.VOLUME)


def test_a_unit_with_two_meanings_is_not_guessed() -> None:
    assert "two meanings" in refusal("100 MBTU/h", QuantityKind.POWER)


@pytest.mark.parametrize("text", ["3 gpm", "3 gal/min", "11 ft3/h"])
def test_a_flow_coefficient_in_us_units_is_not_guessed(text: str) -> None:
    assert "Cv" in refusal(text, QuantityKind.FLOW_COEFFICIENT)


def test_bounds_are_said_in_the_refusal() -> None:
    with pytest.raises(InputError, match=r"from 0\.0 °C to 100\.0 °C"):
        parse("300 F", QuantityKind.TEMPERATURE, field="t", lowest=273.15, highest=373.15)
    assert "out of range" in refusal("-3 gal", QuantityKind.VOLUME)


@pytest.mark.parametrize(
    ("si", "kind", "unit", "text"),
    [
        (1.93e-3 / 60, QuantityKind.VOLUME_RATE, System.SI, "1.93 L/min"),
        (0.5 * 3.785411784e-3 / 60, QuantityKind.VOLUME_RATE, System.US, "0.500 gpm"),
        (1.93e-3 / 60, QuantityKind.VOLUME_RATE, "m3/h", "0.116 m³/h"),
        (322.15, QuantityKind.TEMPERATURE, System.SI, "49.0 °C"),
        (322.15, QuantityKind.TEMPERATURE, System.US, "120.2 °F"),
        (38.24, QuantityKind.TIME, System.SI, "38.2 s"),
        (199_000 * 1055.05585262 / 3600, QuantityKind.POWER, System.US, "199\u202f000 BTU/h"),
        (0.0, QuantityKind.VOLUME, System.SI, "0 L"),
        (0.09, QuantityKind.FRACTION, System.SI, "9.00 %"),
    ],
)
def test_people_read_few_figures(
    si: float, kind: QuantityKind, unit: System | str, text: str
) -> None:
    assert show(si, kind, unit) == text


def test_scripts_get_a_value_and_a_unit() -> None:
    assert to_json(1e-3 / 60, QuantityKind.VOLUME_RATE) == {"value": 1.0, "unit": "L/min"}
    assert to_json(1e-3, QuantityKind.VOLUME, "cc") == {"value": 1000.0, "unit": "mL"}


def test_no_answer_is_given_in_a_unit_without_a_name() -> None:
    with pytest.raises(InputError, match="ask for mg/L"):
        unit_named("°dH", QuantityKind.HARDNESS)


@pytest.mark.parametrize("kind", every_day(QuantityKind, [*QuantityKind][:6]))
def test_every_unit_we_answer_in_is_one_of_pints_own(kind: QuantityKind) -> None:
    own = pint.UnitRegistry()
    usual = USUAL[kind]
    for unit in (usual.si, usual.json, usual.us, usual.metric):
        assert own.parse_units(unit).is_compatible_with(usual.si)
        assert unit_named(unit, kind) == unit or kind is QuantityKind.FRACTION


@pytest.mark.parametrize("kind", QuantityKind)
@given(data=st.data())
def test_what_is_shown_can_be_typed_again(kind: QuantityKind, data: st.DataObject) -> None:
    usual = USUAL[kind]
    low, high = max(usual.lowest, usual.highest * 1e-9), usual.highest * 1e-3
    si = data.draw(st.floats(low, high)) if kind is not QuantityKind.TEMPERATURE else 300.0
    system = data.draw(st.sampled_from(System))
    again = typed(show(si, kind, system, significant=6), kind).si
    assert again == pytest.approx(si, rel=1e-3, abs=0.06)


@given(number=st.floats(0.001, 9999.0))
def test_the_same_amount_in_another_unit_is_the_same(number: float) -> None:
    gallons = typed(f"{number:.6f} gal", QuantityKind.VOLUME)
    quarts = typed(f"{4 * float(f'{number:.6f}'):.6f} qt", QuantityKind.VOLUME)
    assert quarts.si == pytest.approx(gallons.si, rel=1e-9)


@given(text=st.text(max_size=70), kind=st.sampled_from(QuantityKind))
def test_no_text_gets_past_as_anything_but_a_finite_quantity(text: str, kind: QuantityKind) -> None:
    try:
        found = typed(text, kind, USUAL[kind].json)
    except InputError:
        return
    assert math.isfinite(found.si)
    assert USUAL[kind].lowest <= found.si <= USUAL[kind].highest


@given(
    unit=st.text(alphabet="abcdefgilmnoprstuCFHLMPWVΩμ°%/*^23_ '\"", max_size=12),
    kind=st.sampled_from(QuantityKind),
)
def test_any_unit_is_understood_or_refused(unit: str, kind: QuantityKind) -> None:
    try:
        found = typed(f"1 {unit}", kind, USUAL[kind].json)
    except InputError:
        return
    assert registry().parse_units(found.unit).is_compatible_with(USUAL[kind].si)
