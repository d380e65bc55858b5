"""Kinds of quantity, with their usual units and the bounds of common sense."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from desk.base.texts import Message, message


class System(StrEnum):
    """Which usual units a person reads."""

    US = "us"
    SI = "si"


class QuantityKind(StrEnum):
    """What a quantity is a quantity of."""

    VOLUME = "volume"
    MASS = "mass"
    TIME = "time"
    VOLUME_RATE = "volume_rate"
    GAS_RATE = "gas_rate"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature_difference"
    PRESSURE = "pressure"
    GAS_PRESSURE = "gas_pressure"
    ENERGY = "energy"
    POWER = "power"
    HEATING_VALUE = "heating_value"
    LENGTH = "length"
    DIAMETER = "diameter"
    VELOCITY = "velocity"
    HARDNESS = "hardness"
    ALKALINITY = "alkalinity"
    CONCENTRATION = "concentration"
    RESISTANCE = "resistance"
    VOLTAGE = "voltage"
    CURRENT = "current"
    FREQUENCY = "frequency"
    FRACTION = "fraction"
    FLOW_COEFFICIENT = "flow_coefficient"
    ABSOLUTE_PRESSURE = "absolute_pressure"


@dataclass(frozen=True, slots=True)
class Usual:
    """The units and the bounds of common sense of one kind.

    Attributes:
        si: the unit everything is computed and stored in.
        json: the unit of the command line's answers.
        us: the usual unit where US customary units are used.
        metric: the usual unit elsewhere.
        lowest: smallest SI value that can be meant.
        highest: largest SI value that can be meant.
        expected: what to type, with an example.
    """

    si: str
    json: str
    us: str
    metric: str
    lowest: float
    highest: float
    expected: Message

    def in_system(self, system: System) -> str:
        """Return the usual unit of a system of units."""
        return self.us if system is System.US else self.metric


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as typed: ``factor`` times a unit that Pint's own registry reads."""

    name: str
    factor: float = 1.0


KV_OF_CV = 0.864978
"""Kv of a Cv of 1, by the definitions: m3/h at 1 bar, US gal/min at 1 psi (IEC 60534-1)."""

USUAL = {
    QuantityKind.VOLUME: Usual(
        "m^3", "L", "gallon", "L", 0, 1e6, message("a volume such as 5 gal, 19 L or 2 ft3")
    ),
    QuantityKind.MASS: Usual(
        "kg", "kg", "lb", "kg", 0, 1e6, message("a mass such as 12.4 kg or 27 lb")
    ),
    QuantityKind.TIME: Usual(
        "s", "s", "s", "s", 0, 1e9, message("a time such as 38.2 s or 0:38.2")
    ),
    QuantityKind.VOLUME_RATE: Usual(
        "m^3/s",
        "L/min",
        "gallon/minute",
        "L/min",
        0,
        10,
        message("a flow such as 1.5 gpm or 5.7 L/min"),
    ),
    QuantityKind.GAS_RATE: Usual(
        "m^3/s",
        "m^3/h",
        "ft^3/hour",
        "m^3/h",
        0,
        10,
        message("a gas flow such as 175 ft3/h or 5 m3/h"),
    ),
    QuantityKind.TEMPERATURE: Usual(
        "kelvin", "degC", "degF", "degC", 0, 2500, message("a temperature such as 120 F or 49 C")
    ),
    QuantityKind.TEMPERATURE_DIFFERENCE: Usual(
        "kelvin",
        "delta_degC",
        "delta_degF",
        "delta_degC",
        -2500,
        2500,
        message("a difference of temperature such as 70 F or 39 C"),
    ),
    QuantityKind.PRESSURE: Usual(
        "Pa",
        "kPa",
        "psi",
        "kPa",
        -101_325,
        1e8,
        message("a pressure such as 60 psi, 4.1 bar or 410 kPa"),
    ),
    QuantityKind.GAS_PRESSURE: Usual(
        "Pa",
        "kPa",
        "inch_H2O",
        "mbar",
        -101_325,
        1e7,
        message("a gas pressure such as 7 inH2O or 17 mbar"),
    ),
    QuantityKind.ABSOLUTE_PRESSURE: Usual(
        "Pa",
        "kPa",
        "psi",
        "kPa",
        0,
        1e8,
        message("an absolute pressure such as 14.7 psia or 101.3 kPa"),
    ),
    QuantityKind.ENERGY: Usual(
        "J", "MJ", "Btu_it", "MJ", 0, 1e15, message("an energy such as 50000 BTU or 53 MJ")
    ),
    QuantityKind.POWER: Usual(
        "W", "kW", "Btu_it/hour", "kW", 0, 1e8, message("a power such as 199000 BTU/h or 24 kW")
    ),
    QuantityKind.HEATING_VALUE: Usual(
        "J/m^3",
        "MJ/m^3",
        "Btu_it/ft^3",
        "MJ/m^3",
        0,
        1e9,
        message("a heating value such as 1030 BTU/ft3 or 38.4 MJ/m3"),
    ),
    QuantityKind.LENGTH: Usual(
        "m", "m", "ft", "m", 0, 1e6, message("a length such as 40 ft or 12 m")
    ),
    QuantityKind.DIAMETER: Usual(
        "m", "mm", "inch", "mm", 0, 100, message("a diameter such as 1/2 in or 15 mm")
    ),
    QuantityKind.VELOCITY: Usual(
        "m/s", "m/s", "ft/s", "m/s", 0, 1000, message("a velocity such as 5 ft/s or 1.5 m/s")
    ),
    QuantityKind.HARDNESS: Usual(
        "kg/m^3",
        "mg/L",
        "grain/gallon",
        "mg/L",
        0,
        1000,
        message("a hardness such as 12 gpg or 205 mg/L (as calcium carbonate)"),
    ),
    QuantityKind.ALKALINITY: Usual(
        "kg/m^3",
        "mg/L",
        "mg/L",
        "mg/L",
        0,
        1000,
        message("an alkalinity such as 180 mg/L or 10 gpg (as calcium carbonate)"),
    ),
    QuantityKind.CONCENTRATION: Usual(
        "kg/m^3", "mg/L", "mg/L", "mg/L", 0, 1000, message("a concentration such as 350 mg/L")
    ),
    QuantityKind.RESISTANCE: Usual(
        "ohm", "ohm", "ohm", "ohm", 0, 1e15, message("a resistance such as 0.4 ohm or 12 kohm")
    ),
    QuantityKind.VOLTAGE: Usual(
        "V", "V", "V", "V", -1e6, 1e6, message("a voltage such as 120 V or 5 V")
    ),
    QuantityKind.CURRENT: Usual(
        "A",
        "A",
        "microampere",
        "microampere",
        -1e6,
        1e6,
        message("a current such as 4 uA or 1.2 A"),
    ),
    QuantityKind.FREQUENCY: Usual(
        "Hz", "Hz", "Hz", "Hz", 0, 1e12, message("a frequency such as 60 Hz")
    ),
    QuantityKind.FLOW_COEFFICIENT: Usual(
        "m^3/s",
        "m^3/h",
        "m^3/h",
        "m^3/h",
        0,
        10,
        message("a flow coefficient such as 1.2 m3/h (Kv) or 1.4 Cv"),
    ),
    QuantityKind.FRACTION: Usual(
        "dimensionless",
        "percent",
        "percent",
        "percent",
        0,
        1,
        message("a share such as 9 % or 35 ppm"),
    ),
}
