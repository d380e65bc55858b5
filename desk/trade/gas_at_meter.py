"""The gas as the meter counts it: what is entered of its pressure and temperature, or stands in."""

from __future__ import annotations

from dataclasses import dataclass

from desk.errors import InputError
from desk.trade.estimates import Estimate, rectangular_error
from desk.trade.gas_input import AtMeter
from desk.trade.measurement import Inputs
from desk.trade.reference import default, standing_in
from desk.trade.units import Kind
from desk.wording import Message, message

_ATMOSPHERE_PA = (50e3, 110e3)


@dataclass(frozen=True, slots=True)
class Metered:
    """The gas at the meter, with where that comes from.

    Attributes:
        gas: its pressure and temperature, as counted, and the standard ones.
        known: False where nothing was entered and the volume is taken as read.
        pressure_known: False where the pressure is taken as read.
        assumed: what stands in, with its source.
    """

    gas: AtMeter
    known: bool
    pressure_known: bool
    assumed: tuple[Message, ...]


def gas_at_meter(inputs: Inputs) -> Metered:
    """Return the gas as the meter counts it; what it compensates for is at standard conditions.

    Raises:
        InputError: a pressure that cannot be; it names the field.
    """
    compensates = inputs.typed("meter_compensates")
    base_pa, base_k = inputs.si("base_pressure"), inputs.si("base_temperature")
    pressure, temperature = Estimate(base_pa), Estimate(base_k)
    of_pressure: tuple[Message, ...] = ()
    of_temperature: tuple[Message, ...] = ()
    if compensates != "both":
        pressure, of_pressure = _pressure(inputs, base_pa)
    if compensates not in {"temperature", "both"}:
        temperature, of_temperature = _temperature(inputs, base_k)
    pressure_known = compensates == "both" or any(
        name in inputs for name in ("gas_pressure_at_meter", "atmospheric_pressure")
    )
    known = pressure_known or compensates == "temperature" or "gas_temperature" in inputs
    gas = AtMeter(pressure, temperature, base_pa, base_k)
    return Metered(gas, known, pressure_known, (*of_pressure, *of_temperature))


def _pressure(inputs: Inputs, base_pa: float) -> tuple[Estimate, tuple[Message, ...]]:
    """Return the absolute pressure, Pa, and what stands in for it or a part of it."""
    gauge_pa = inputs.maybe("gas_pressure_at_meter")
    atmospheric_pa = inputs.maybe("atmospheric_pressure")
    _check(gauge_pa, atmospheric_pa)
    if gauge_pa is None and atmospheric_pa is None:
        return _spread(base_pa, "gas_pressure", Kind.PRESSURE), (_pressure_unknown(),)
    assumed: tuple[Message, ...] = ()
    if gauge_pa is None:
        gauge_pa = standing_in("gas_pressure", Kind.GAS_PRESSURE)
        assumed = (default("gas_pressure").told(message("Gas pressure at the meter")),)
    if atmospheric_pa is None:
        sea_level_pa = standing_in("atmospheric_pressure", Kind.PRESSURE)
        told = default("atmospheric_pressure").told(message("Atmospheric pressure, at the sea"))
        return _spread(sea_level_pa + gauge_pa, "gas_pressure", Kind.PRESSURE), (told,)
    words = message("atmospheric pressure")
    errors = inputs.rectangular("atmospheric_accuracy", "gas_pressure", words, lasting=True)
    return Estimate(atmospheric_pa + gauge_pa, errors), assumed


def _temperature(inputs: Inputs, base_k: float) -> tuple[Estimate, tuple[Message, ...]]:
    """Return the temperature, K, and what stands in for it."""
    if "gas_temperature" not in inputs:
        return (
            _spread(base_k, "gas_temperature", Kind.TEMPERATURE_DIFFERENCE),
            (_temperature_unknown(),),
        )
    words = message("temperature of the gas")
    errors = inputs.rectangular("gas_temperature_accuracy", "gas_temperature", words)
    return inputs.estimate("gas_temperature", errors), ()


def _check(gauge_pa: float | None, atmospheric_pa: float | None) -> None:
    if gauge_pa is not None and gauge_pa < 0:
        raise InputError(
            message("The gas pressure at the meter must not be negative."),
            field="gas_pressure_at_meter",
        )
    low, high = _ATMOSPHERE_PA
    if atmospheric_pa is not None and not low <= atmospheric_pa <= high:
        raise InputError(
            message(
                "The atmospheric pressure on site must lie from 50 to 110 kPa (7.3 to 16 psi),"
                " absolute."
            ),
            field="atmospheric_pressure",
        )


def _spread(value: float, source: str, kind: Kind) -> Estimate:
    """Return a value with the spread of what is not known, ``<source>_spread``."""
    words = message("the gas's pressure and temperature at the meter, not known")
    half_width = standing_in(f"{source}_spread", kind)
    return Estimate(value, rectangular_error(source, words, half_width, lasting=True))


def _pressure_unknown() -> Message:
    spread = default("gas_pressure_spread")
    return message(
        "the gas's pressure at the meter is not known: counted as standard, give or take {spread}"
        " ({basis}); high above the sea, enter the atmospheric pressure",
        spread=spread.typed,
        basis=spread.basis,
    )


def _temperature_unknown() -> Message:
    spread = default("gas_temperature_spread")
    return message(
        "the gas's temperature at the meter is not known: counted as standard, give or take"
        " {spread} ({basis})",
        spread=spread.typed,
        basis=spread.basis,
    )
