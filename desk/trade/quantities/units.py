"""The units of each kind of quantity, and the spellings of them that people type.

Every unit that leaves this module is one that Pint's own registry reads, so that a script can
feed our answers to any program that uses it. A gallon is the US gallon unless *imperial* is said.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.quantities.quantity_kinds import KV_OF_CV, USUAL, QuantityKind, System, Unit

if TYPE_CHECKING:
    import pint

__all__ = [
    "KV_OF_CV",
    "USUAL",
    "QuantityKind",
    "System",
    "Unit",
    "convert",
    "is_us_customary",
    "registry",
    "shown",
    "understand",
]

# Spellings are matched without spaces, points and capitals. Where capitals matter (MPa and mPa,
# MW and mW) a unit is left to Pint, which minds them. Sources: NIST SP 811, appendix B, for the
# units; the abbreviations are common practice, no source.
_SPELLINGS: dict[QuantityKind, dict[str, str]] = {
    QuantityKind.VOLUME: {
        "gallon": "gal gals gallon gallons usgal usgallon usgallons galus",
        "imperial_gallon": "impgal impgallon impgallons imperialgallon imperialgallons ukgal",
        "quart": "qt qts quart quarts", "pint": "pt pint pints",
        "fluid_ounce": "floz fluidounce fluidounces",
        "L": "l ltr litre litres liter liters", "mL": "ml cc cm3 cm^3", "dL": "dl", "cL": "cl",
        "ft^3": "ft3 ft^3 cuft cf cft cubicfoot cubicfeet", "inch^3": "in3 in^3 cuin",
        "m^3": "m3 m^3 cbm cubicmetre cubicmetres cubicmeter cubicmeters",
    },
    QuantityKind.MASS: {
        "kg": "kg kilo kilos", "g": "g gram grams", "lb": "lb lbs pound pounds #",
        "ounce": "oz ozs ounce ounces", "mg": "mg", "grain": "gr grain grains",
    },
    QuantityKind.TIME: {
        "s": "s sec secs second seconds", "minute": "m min mins minute minutes",
        "hour": "h hr hrs hour hours", "day": "d day days",
    },
    QuantityKind.VOLUME_RATE: {
        "gallon/minute": "gpm usgpm", "gallon/hour": "gph", "L/min": "lpm",
        "imperial_gallon/minute": "igpm impgpm", "ft^3/hour": "cfh scfh", "ft^3/minute": "cfm",
    },
    QuantityKind.TEMPERATURE: {
        "degC": "c °c degc celsius", "degF": "f °f degf fahrenheit", "kelvin": "k kelvin",
    },
    QuantityKind.TEMPERATURE_DIFFERENCE: {
        "delta_degC": "c °c degc celsius delta_degc", "kelvin": "k kelvin",
        "delta_degF": "f °f degf fahrenheit delta_degf",
    },
    QuantityKind.PRESSURE: {
        "psi": "psi psig lb/in2 lbf/in2", "kPa": "kpa", "Pa": "pa", "bar": "bar bars barg",
        "mbar": "mbar", "inch_H2O": 'inh2o inwc inwg iwc wc "wc "h2o " inchwc incheswc '
        "inchh2o inchesh2o inofwater inchofwater inchesofwater inofwatercolumn inchofwatercolumn "
        "inchesofwatercolumn incheswatercolumn inchwatercolumn", "ft_H2O": "fth2o ftwc",
        "hPa": "hpa",
    },
    QuantityKind.ENERGY: {
        "Btu_it": "btu btus", "kilowatt_hour": "kwh", "kJ": "kj", "US_therm": "therm therms",
    },
    QuantityKind.POWER: {
        "kW": "kw", "W": "w watt watts", "Btu_it/hour": "btuh btuhr", "kiloBtu_it/hour": "kbtuh",
    },
    QuantityKind.HEATING_VALUE: {},
    QuantityKind.LENGTH: {
        "ft": "ft foot feet '", "inch": 'in inch inches "', "yard": "yd yds yard yards",
        "mm": "mm", "cm": "cm", "m": "m metre metres meter meters",
    },
    QuantityKind.VELOCITY: {"ft/s": "fps", "m/s": "mps"},
    QuantityKind.HARDNESS: {"grain/gallon": "gpg gr grain grains"},
    QuantityKind.ALKALINITY: {"grain/gallon": "gpg gr grain grains"},
    QuantityKind.CONCENTRATION: {"mg/L": "ppm"},
    QuantityKind.RESISTANCE: {
        "ohm": "ohm ohms ω", "kiloohm": "kohm kohms kω k", "megaohm": "megohm megohms",
    },
    QuantityKind.VOLTAGE: {"V": "v vac vdc volt volts", "mV": "mv"},
    QuantityKind.CURRENT: {
        "A": "a amp amps", "mA": "ma", "microampere": "ua μa microamp microamps",
    },
    QuantityKind.FREQUENCY: {"Hz": "hz", "kHz": "khz", "1/minute": "rpm"},
    QuantityKind.FRACTION: {"percent": "% percent pct", "ppm": "ppm"},
}  # fmt: skip

# Multiples that Pint has no name for, as (unit, factor). Water hardness is told as calcium
# carbonate: 1 degree of general hardness is 10 mg/L of CaO, M(CaCO3)/M(CaO) = 100.0869/56.0774;
# a French degree is 10 mg/L; a Clark degree is one grain an imperial gallon; 1 mmol/L of
# calcium is 100.0869 mg/L. Definitions from memory, arithmetic checked in tests/outside.
_MULTIPLES: dict[QuantityKind, dict[str, Unit]] = {
    QuantityKind.VOLUME: {"ccf": Unit("ft^3", 100.0), "hcf": Unit("ft^3", 100.0)},
    QuantityKind.POWER: {"mbh": Unit("Btu_it/hour", 1000.0), "mmbtuh": Unit("Btu_it/hour", 1e6)},
    QuantityKind.ENERGY: {"mmbtu": Unit("Btu_it", 1e6), "kbtu": Unit("Btu_it", 1e3)},
    QuantityKind.HARDNESS: {
        "ppm": Unit("mg/L"),
        "°dh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "dh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "°fh": Unit("mg/L", 10.0),
        "fh": Unit("mg/L", 10.0),
        "°e": Unit("grain/imperial_gallon"),
        "°clark": Unit("grain/imperial_gallon"),
        "clark": Unit("grain/imperial_gallon"),
        "mmol/l": Unit("mg/L", 100.0869),
    },
    # An equivalent of alkalinity is half a mole of calcium carbonate.
    QuantityKind.ALKALINITY: {
        "ppm": Unit("mg/L"),
        "°dkh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "dkh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "°kh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "°dh": Unit("mg/L", 10 * 100.0869 / 56.0774),
        "meq/l": Unit("mg/L", 100.0869 / 2),
        "mval/l": Unit("mg/L", 100.0869 / 2),
    },
    QuantityKind.ABSOLUTE_PRESSURE: {
        "psia": Unit("psi"),
        "bara": Unit("bar"),
        "mbara": Unit("mbar"),
        "kpaa": Unit("kPa"),
    },
    QuantityKind.FLOW_COEFFICIENT: {"kv": Unit("m^3/h"), "cv": Unit("m^3/h", KV_OF_CV)},
}
# Dimensions that two kinds share, and what tells them apart: a pascal is a joule a cubic metre, and
# only what is written as an energy a volume is meant for a heating value.
_ENERGY_A_VOLUME = ("J", "m^3")
# The trade's M is a thousand, Pint's a million: neither is guessed.
_TWO_MEANINGS = {"mbtu", "mbtuh", "mcf"}

# Counted from the atmosphere: no measure of the atmosphere itself.
_GAUGE = {"psig", "barg", "mbarg", "kpag", "inwg"}

_DECAYS = {"Bq", "becquerel", "Ci", "curie"}
_LIKE_PRESSURE = {
    QuantityKind.PRESSURE,
    QuantityKind.GAS_PRESSURE,
    QuantityKind.ABSOLUTE_PRESSURE,
    QuantityKind.HEATING_VALUE,
}
_QUOTIENTS = {
    QuantityKind.VOLUME_RATE: (QuantityKind.VOLUME, QuantityKind.TIME),
    QuantityKind.GAS_RATE: (QuantityKind.VOLUME, QuantityKind.TIME),
    QuantityKind.FLOW_COEFFICIENT: (QuantityKind.VOLUME, QuantityKind.TIME),
    QuantityKind.POWER: (QuantityKind.ENERGY, QuantityKind.TIME),
    QuantityKind.HEATING_VALUE: (QuantityKind.ENERGY, QuantityKind.VOLUME),
    QuantityKind.VELOCITY: (QuantityKind.LENGTH, QuantityKind.TIME),
    QuantityKind.HARDNESS: (QuantityKind.MASS, QuantityKind.VOLUME),
    QuantityKind.ALKALINITY: (QuantityKind.MASS, QuantityKind.VOLUME),
    QuantityKind.CONCENTRATION: (QuantityKind.MASS, QuantityKind.VOLUME),
}
_SAME_SPELLINGS = {
    QuantityKind.GAS_RATE: QuantityKind.VOLUME_RATE,
    QuantityKind.FLOW_COEFFICIENT: QuantityKind.VOLUME_RATE,
    QuantityKind.GAS_PRESSURE: QuantityKind.PRESSURE,
    QuantityKind.ABSOLUTE_PRESSURE: QuantityKind.PRESSURE,
    QuantityKind.DIAMETER: QuantityKind.LENGTH,
}
# Patterns stay text until something is typed: compiling them costs the start of the program.
_US_CUSTOMARY = r"gal|quart|pint|ounce|ft|foot|inch|yard|lb|pound|grain|psi|Btu|therm|degF|H2O"

# What may go to Pint: names with a power of 1 to 3, multiplied or divided; nothing to evaluate.
_NAME = r"[^\W\d]\w{0,40}(?:\^-?[1-3])?"
_PINT_UNIT = rf"(?:1/)?{_NAME}(?:[*/]{_NAME}){{0,3}}"
_AS_CARBONATE = r"\(?(?:as)?caco3\)?$"
_RAISED = r"(?<=[A-Za-z])([23])(?=$|[*/])"

_SHOWN = {
    "gallon": "gal", "gallon/minute": "gpm", "gallon/hour": "gph", "imperial_gallon": "imp gal",
    "imperial_gallon/minute": "imp gal/min", "quart": "qt", "pint": "pt", "fluid_ounce": "fl oz",
    "ft^3": "ft³", "m^3": "m³", "m^3/h": "m³/h", "m^3/s": "m³/s", "ft^3/hour": "ft³/h",
    "ft^3/minute": "ft³/min", "inch^3": "in³", "degC": "°C", "degF": "°F", "kelvin": "K",
    "delta_degC": "°C", "delta_degF": "°F", "inch_H2O": "inH₂O", "ft_H2O": "ftH₂O",
    "Btu_it": "BTU", "Btu_it/hour": "BTU/h", "kiloBtu_it/hour": "kBTU/h",
    "Btu_it/ft^3": "BTU/ft³", "MJ/m^3": "MJ/m³", "J/m^3": "J/m³", "inch": "in", "ounce": "oz",
    "US_therm": "therm", "kilowatt_hour": "kWh", "grain/gallon": "gr/gal", "kg/m^3": "kg/m³",
    "grain/imperial_gallon": "gr/imp gal", "ohm": "Ω", "kiloohm": "kΩ", "microampere": "µA",
    "percent": "%", "minute": "min", "hour": "h", "dimensionless": "", "1/minute": "1/min",
}  # fmt: skip


def understand(text: str, kind: QuantityKind, *, field: str = "") -> Unit:
    """Return the unit that was typed.

    Args:
        text: the unit, as typed or as Pint spells it.
        kind: what it must be a unit of.
        field: name of the input, for the error.

    Raises:
        InputError: the unit is unknown, or one of another kind.
    """
    folded = text.casefold().replace("**", "^").replace(" per ", "/")
    folded = re.sub(_AS_CARBONATE, "", re.sub(r"[\s.]", "", folded))
    if folded.split("/")[0] in _TWO_MEANINGS:
        raise InputError(
            message("“{unit}” has two meanings; write kBTU for a thousand.", unit=text[:40]),
            field=field,
        )
    if folded in _GAUGE and kind is QuantityKind.ABSOLUTE_PRESSURE:
        raise InputError(
            message("“{unit}” is a gauge pressure, which counts from the atmosphere's; type"
                    " {expected}.", unit=text[:40], expected=USUAL[kind].expected),
            field=field,
        )  # fmt: skip
    if folded == "mmol/l" and kind is QuantityKind.ALKALINITY:
        raise InputError(
            message("“{unit}” has two meanings here; write meq/L for 50 mg/L of calcium carbonate,"
                    " or mg/L.", unit=text[:40]),
            field=field,
        )  # fmt: skip
    unit = _spelt(folded, kind) or _quotient(folded, kind) or _asked_of_pint(text, kind)
    if unit is not None and kind is QuantityKind.FLOW_COEFFICIENT and is_us_customary(unit.name):
        raise InputError(
            message("“{unit}” may stand for a Cv; write Cv, or a Kv in m3/h.", unit=text[:40]),
            field=field,
        )
    if unit is None:
        raise InputError(
            message("“{unit}” is no unit that fits here; type {expected}.",
                    unit=text[:40], expected=USUAL[kind].expected),
            field=field,
        )  # fmt: skip
    return unit


def convert(value: float, unit: str, target: str) -> float:
    """Return a value in another unit of the same kind; both as Pint spells them.

    Args:
        value: the number in ``unit``; a ``delta_`` unit makes it a difference of temperatures.
        unit: the unit it is in.
        target: the unit wanted.
    """
    return float(registry().Quantity(value, unit).to(target).magnitude)


def is_us_customary(unit: str) -> bool:
    """Say whether a unit, as Pint spells it, belongs to the US customary ones."""
    return bool(re.search(_US_CUSTOMARY, unit))


def shown(unit: str) -> str:
    """Return a unit as a person writes it."""
    return _SHOWN.get(unit, unit.replace("^3", "³").replace("^2", "²").replace("_", " "))


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the one registry of units; loaded when first needed, since it takes 0.2 s.

    Pint could keep its parsed definitions in a folder. That saves a tenth of a second and means
    reading pickles from where another program may write, so it is not used.
    """
    import pint

    return pint.UnitRegistry()


@cache
def _spellings(kind: QuantityKind) -> dict[str, Unit]:
    words = {
        spelling: Unit(name)
        for name, spellings in _SPELLINGS.get(_SAME_SPELLINGS.get(kind, kind), {}).items()
        for spelling in spellings.split()
    }
    return words | _MULTIPLES.get(_SAME_SPELLINGS.get(kind, kind), {}) | _MULTIPLES.get(kind, {})


def _spelt(folded: str, kind: QuantityKind) -> Unit | None:
    return _spellings(kind).get(folded)


def _quotient(folded: str, kind: QuantityKind) -> Unit | None:
    above, slash, below = folded.partition("/")
    if not slash or kind not in _QUOTIENTS:
        return None
    top, bottom = (
        _spelt(part, part_kind)
        for part, part_kind in zip((above, below), _QUOTIENTS[kind], strict=True)
    )
    if top is None or bottom is None:
        return None
    name = f"{top.name}/{bottom.name}"
    return Unit(
        {"L/minute": "L/min", "m^3/hour": "m^3/h"}.get(name, name), top.factor / bottom.factor
    )


def _asked_of_pint(text: str, kind: QuantityKind) -> Unit | None:
    name = re.sub(_RAISED, r"^\1", text.strip().replace("**", "^").replace(" ", ""))
    if not re.fullmatch(_PINT_UNIT, name):
        return None
    import pint.errors

    try:
        unit = registry().parse_units(name)
        if not unit.is_compatible_with(USUAL[kind].si):
            return None
        registry().Quantity(1.0, unit).to(USUAL[kind].si)
        named = _is_named_as(kind, name)
    except pint.errors.PintError:
        return None
    return Unit(name) if named else None


def _is_named_as(kind: QuantityKind, name: str) -> bool:
    """Say whether a unit of the right dimension is one of this kind, and not of its double."""
    if kind in _LIKE_PRESSURE:
        return _is_energy_a_volume(name) == (kind is QuantityKind.HEATING_VALUE)
    if kind is QuantityKind.FRACTION:  # an angle is a plain number too
        return "/" in name or name == USUAL[kind].si
    return kind is not QuantityKind.FREQUENCY or name not in _DECAYS


def _is_energy_a_volume(name: str) -> bool:
    """Say whether a unit is written as an energy over a volume, as no pressure is."""
    above, _slash, below = name.partition("/")
    return all(
        bool(part) and registry().parse_units(part).is_compatible_with(si)
        for part, si in zip((above, below), _ENERGY_A_VOLUME, strict=True)
    )
