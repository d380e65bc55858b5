"""What every measurement's entries have in common: how a plain number and a choice are read."""

from __future__ import annotations

import pytest

from desk.base.errors import InputError
from desk.base.texts import say
from desk.trade.measurement_registry import ALL, MEASUREMENTS
from desk.trade.measuring.measurement import Measurement


def refusal(kind: str, **typed: str) -> InputError:
    with pytest.raises(InputError) as caught:
        MEASUREMENTS[kind].understand(typed)
    return caught.value


@pytest.mark.parametrize(("kind", "name"), [("gas", "turns"), ("pulses", "maker")])
def test_a_comma_before_three_digits_is_refused_with_both_readings(kind: str, name: str) -> None:
    error = refusal(kind, **{name: "1,703"})
    assert error.field == name
    assert "may mean 1703 or 1.703" in str(error)


def test_a_decimal_comma_is_read_where_it_cannot_be_a_thousands_mark() -> None:
    assert MEASUREMENTS["water"].understand({"ph": "7,6"})["ph"].si == 7.6
    assert MEASUREMENTS["gas"].understand({"turns": "0,500"})["turns"].si == 0.5


def test_a_number_without_an_upper_bound_is_asked_for_without_one() -> None:
    assert "type a number from 0 up" in str(refusal("pulses", maker="-1"))
    assert "from 0 to 14" in str(refusal("water", ph="15"))


@pytest.mark.parametrize(
    ("kind", "name", "typed", "reach"),
    [
        ("heat", "full_output", "0 %", "from 10.0 % to 100 %"),
        ("heat", "rated_efficiency", "0 %", "from 10.0 % to 100 %"),
        ("pipe", "water_temperature", "212.5 F", "from 0.0 °C to 100.0 °C"),
        ("pipe", "water_temperature", "31 F", "from 0.0 °C to 100.0 °C"),
    ],
)
def test_a_senseless_setting_is_refused_with_its_range(
    kind: str, name: str, typed: str, reach: str
) -> None:
    error = refusal(kind, **{name: typed})
    assert error.field == name
    assert reach in str(error)


@pytest.mark.parametrize("measurement", ALL, ids=lambda one: one.kind)
def test_a_label_says_what_it_is_and_not_how_to_type_it(measurement: Measurement) -> None:
    for entry in measurement.entries:
        assert "such as" not in say(entry.label)
        assert "unless given" not in say(entry.label)
