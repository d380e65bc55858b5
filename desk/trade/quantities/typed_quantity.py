"""Quantities as people type and read them; inside the program they are plain SI floats.

`parse` turns typed text into a `TypedQuantity`, which keeps the text and the unit beside the SI
value. `show` says an SI value to a person, `to_json` to a script.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.quantities.number_text import NUMBER, Numeral, plain, quoted, read_number
from desk.trade.quantities.units import (
    USUAL,
    QuantityKind,
    System,
    Unit,
    convert,
    is_us_customary,
    shown,
    understand,
)

__all__ = [
    "QuantityKind",
    "System",
    "TypedQuantity",
    "convert",
    "is_us_customary",
    "parse",
    "show",
    "to_json",
    "two_readings",
    "unit_named",
]

_ONE = re.compile(rf"(?P<number>{NUMBER})\s*(?P<unit>.*)")
_PART = re.compile(rf"({NUMBER})\s*([a-zA-Z'\"]+)\s*")
_PARTS = re.compile(rf"(?:(?:{NUMBER})\s*[a-zA-Z'\"]+\s*){{2,4}}")
_CLOCK = re.compile(r"(?:(?P<h>\d{1,3}):)?(?P<m>\d{1,4}):(?P<s>[0-5]\d(?:[.,]\d{1,6})?)")
_OF_PARTS = {
    QuantityKind.LENGTH,
    QuantityKind.DIAMETER,
    QuantityKind.TIME,
    QuantityKind.MASS,
    QuantityKind.VOLUME,
}
_ONE_DECIMAL = {QuantityKind.TEMPERATURE, QuantityKind.TEMPERATURE_DIFFERENCE, QuantityKind.TIME}
_GROUP_FROM = 10_000


@dataclass(frozen=True, slots=True)
class TypedQuantity:
    """A quantity as it was typed and as it was understood.

    Attributes:
        text: what was typed, unchanged.
        kind: what it is a quantity of.
        unit: the unit it was understood in, as Pint's own registry reads it.
        value: the number in that unit.
        si: the value in the SI unit of its kind (kelvin for temperatures).
    """

    text: str
    kind: QuantityKind
    unit: str
    value: float
    si: float


def parse(
    text: str,
    kind: QuantityKind,
    *,
    field: str,
    default_unit: str | None = None,
    lowest: float | None = None,
    highest: float | None = None,
) -> TypedQuantity:
    """Read a quantity as people type it.

    Understood are ``1.5 gpm``, ``5,7 l/min``, ``68F``, ``0:38.2``, ``1/2 in``, ``5 ft 3 in``,
    ``1,030 BTU/ft3``, full-width digits and more. One comma before three digits is a thousands
    mark with a US customary unit; with any other it can be read two ways and is refused.

    Args:
        text: what was typed.
        kind: what it must be a quantity of.
        field: name of the input, carried by the error.
        default_unit: unit of a number typed without one; without it a unit is asked for.
        lowest: smallest value accepted, in the SI unit of the kind; the bound of common sense
            unless given.
        highest: largest value accepted, likewise.

    Raises:
        InputError: the text is empty, no such quantity, or out of bounds; the sentence says what
            is expected.
    """
    tidy = plain(text)
    if tidy == "":
        raise InputError(message("Type {expected}.", expected=USUAL[kind].expected), field=field)
    if tidy is None:
        raise _not_understood(text, kind, field)
    value, unit = _read(tidy, text, kind, field, default_unit)
    si = convert(value, unit, USUAL[kind].si)
    usual = USUAL[kind]
    low = usual.lowest if lowest is None else lowest
    high = usual.highest if highest is None else highest
    if not low <= si <= high:
        raise InputError(
            message(
                "“{text}” is out of range; type {expected}, from {low} to {high}.",
                text=quoted(text),
                expected=usual.expected,
                low=show(low, kind),
                high=show(high, kind),
            ),
            field=field,
        )
    return TypedQuantity(text, kind, unit, value, si)


def unit_named(text: str, kind: QuantityKind, *, field: str = "unit") -> str:
    """Return the unit asked for in an answer, as Pint's own registry reads it.

    Args:
        text: the unit as typed.
        kind: what it must be a unit of.
        field: name of the input, carried by the error.

    Raises:
        InputError: no such unit of this kind, or a multiple that Pint has no name for.
    """
    tidy = plain(text)
    if tidy is None:
        raise _not_understood(text, kind, field)
    unit = understand(tidy, kind, field=field)
    if unit.factor != 1.0:
        raise InputError(
            message(
                "“{unit}” cannot be answered in; ask for {other}.",
                unit=quoted(text),
                other=shown(unit.name),
            ),
            field=field,
        )
    return unit.name


def show(
    si: float, kind: QuantityKind, unit: System | str = System.SI, *, significant: int = 3
) -> str:
    """Say an SI value to a person, rounded to what matters.

    Args:
        si: the value in the SI unit of its kind.
        kind: what it is a quantity of.
        unit: a system of units, or the unit to say it in.
        significant: figures to keep; temperatures and times get one decimal instead.
    """
    name = USUAL[kind].in_system(unit) if isinstance(unit, System) else unit_named(unit, kind)
    number = _rounded(convert(si, USUAL[kind].si, name), kind, significant)
    label = shown(name)
    return f"{number} {label}" if label else number


def to_json(si: float, kind: QuantityKind, unit: str | None = None) -> dict[str, object]:
    """Return an SI value as ``{"value", "unit"}``, in the kind's unit for scripts unless told.

    Twelve figures are kept: what follows is the noise of converting.

    Args:
        si: the value in the SI unit of its kind.
        kind: what it is a quantity of.
        unit: a unit as typed; None for the kind's own unit for scripts.
    """
    name = USUAL[kind].json if unit is None else unit_named(unit, kind)
    return {"value": float(f"{convert(si, USUAL[kind].si, name):.12g}"), "unit": name}


def _read(
    tidy: str, text: str, kind: QuantityKind, field: str, default_unit: str | None
) -> tuple[float, str]:
    """Return the number and the unit of a tidied text."""
    if kind is QuantityKind.TIME and (clock := _CLOCK.fullmatch(tidy)):
        return _seconds(clock), "s"
    parts = _PART.findall(tidy) if kind in _OF_PARTS and _PARTS.fullmatch(tidy) else []
    if len(parts) > 1:
        return _sum_of_parts(parts, text, kind, field)
    match = _ONE.fullmatch(tidy)
    numeral = read_number(match["number"]) if match else None
    if match is None or numeral is None:
        raise _not_understood(text, kind, field)
    spelling = match["unit"].strip()
    if kind is QuantityKind.FRACTION and not spelling and numeral.value == 0:
        return 0.0, USUAL[kind].si  # nothing is nothing with any sign
    unit = _unit_of(spelling, text, kind, field, default_unit)
    return _settle_comma(numeral, unit, text, field) * unit.factor, unit.name


def _seconds(clock: re.Match[str]) -> float:
    hours, minutes = int(clock["h"] or 0), int(clock["m"])
    return hours * 3600 + minutes * 60 + float(clock["s"].replace(",", "."))


def _sum_of_parts(
    parts: list[tuple[str, str]], text: str, kind: QuantityKind, field: str
) -> tuple[float, str]:
    """Add up ``5 ft 3 in``; told in the first, largest unit."""
    units = [understand(spelling, kind, field=field) for _, spelling in parts]
    numerals = [read_number(number) for number, _ in parts]
    # Each part in units of the first: the sum of "1 min 20 s" is then as exact as its parts.
    sizes = [unit.factor * convert(1.0, unit.name, units[0].name) for unit in units]
    signed = any(number[0] in "+-" for number, _ in parts)
    descending = all(first > second for first, second in pairwise(sizes))
    if signed or not descending or None in numerals:
        raise _not_understood(text, kind, field)
    values = [numeral.value for numeral in numerals if numeral is not None]
    return math.sumprod(values, sizes), units[0].name


def _unit_of(
    spelling: str, text: str, kind: QuantityKind, field: str, default_unit: str | None
) -> Unit:
    if spelling in {"", "°"}:
        if default_unit is not None:
            return understand(default_unit, kind, field=field)
        said = {"text": quoted(text), "expected": USUAL[kind].expected}
        sentence = message("“{text}” needs a unit; type {expected}.", **said)
        if kind is QuantityKind.FRACTION:  # 1 may be 1 % or all of it
            sentence = message("“{text}” needs its sign; type {expected}.", **said)
        raise InputError(sentence, field=field)
    return understand(spelling, kind, field=field)


def _settle_comma(numeral: Numeral, unit: Unit, text: str, field: str) -> float:
    if numeral.grouped is None:
        return numeral.value
    if is_us_customary(unit.name):
        return numeral.grouped
    raise InputError(two_readings(text, numeral.grouped, numeral.value), field=field)


def two_readings(text: str, large: float, small: float) -> Message:
    """Say that a comma before three digits can be read two ways, and which.

    Args:
        text: what was typed.
        large: its value with the comma as a thousands mark.
        small: its value with the comma as the decimal mark.
    """
    return message(
        "“{text}” may mean {large:g} or {small:g}; type it without the comma.",
        text=quoted(text),
        large=large,
        small=small,
    )


def _not_understood(text: str, kind: QuantityKind, field: str) -> InputError:
    return InputError(
        message(
            "“{text}” is not understood; type {expected}.",
            text=quoted(text),
            expected=USUAL[kind].expected,
        ),
        field=field,
    )


def _rounded(value: float, kind: QuantityKind, significant: int) -> str:
    if kind in _ONE_DECIMAL:
        decimals = 1
    elif value == 0:
        decimals = 0
    else:
        decimals = max(0, significant - 1 - math.floor(math.log10(abs(value))))
    number = f"{value:.{min(decimals, 12)}f}"
    # ISO 80000-1 groups long numbers by a thin space, which no one takes for a decimal mark.
    return f"{float(number):,.0f}".replace(",", "\u202f") if abs(value) >= _GROUP_FROM else number
