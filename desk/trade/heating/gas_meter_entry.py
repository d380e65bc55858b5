"""The gas as the meter counts it: what is entered of its pressure and temperature, or stands in."""

from __future__ import annotations

from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.heating.gas_model import AtMeter
from desk.trade.heating.gas_site import GasSite, weather
from desk.trade.measuring.estimate import Estimate, rectangular_error
from desk.trade.measuring.measurement import Inputs
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default, standing_in

DELIVERED = "delivered"
"""A heating value told for the gas as it is delivered on site, at its pressure there."""


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


def gas_at_meter(inputs: Inputs, site: GasSite) -> Metered:
    """Return the gas as the meter counts it; what it compensates for is at standard conditions.

    Raises:
        InputError: a pressure that cannot be, or a heating value as delivered for a meter that
            counts standard volumes; it names the field.
    """
    compensates = inputs.typed("meter_compensates")
    delivered = "heating_value" in inputs and inputs.typed("heating_value_as") == DELIVERED
    if compensates == "both" and delivered:
        raise InputError(_STANDARD_VOLUME_OF_DELIVERED_GAS, field="heating_value_as")
    base_pa, base_k = inputs.si("base_pressure"), inputs.si("base_temperature")
    pressure, temperature = Estimate(base_pa), Estimate(base_k)
    of_pressure: tuple[Message, ...] = ()
    of_temperature: tuple[Message, ...] = ()
    if delivered:  # its pressure is in the heating value already, but for the weather
        pressure = Estimate(base_pa, weather())
    elif compensates != "both":
        pressure, of_pressure = _pressure(inputs, site, base_pa)
    if compensates not in {"temperature", "both"}:
        temperature, of_temperature = _temperature(inputs, base_k)
    pressure_known = (
        compensates == "both"
        or delivered
        or site.atmosphere_pa is not None
        or "gas_pressure_at_meter" in inputs
    )
    known = (
        (pressure_known and not delivered)
        or compensates == "temperature"
        or "gas_temperature" in inputs
    )
    gas = AtMeter(pressure, temperature, base_pa, base_k)
    return Metered(gas, known, pressure_known, (*of_pressure, *of_temperature))


def _pressure(
    inputs: Inputs, site: GasSite, base_pa: float
) -> tuple[Estimate, tuple[Message, ...]]:
    """Return the absolute pressure, Pa, and what stands in for it or a part of it."""
    gauge_pa, atmosphere = inputs.maybe("gas_pressure_at_meter"), site.atmosphere_pa
    if gauge_pa is not None and gauge_pa < 0:
        raise InputError(
            message("The gas pressure at the meter must not be negative."),
            field="gas_pressure_at_meter",
        )
    if gauge_pa is None and atmosphere is None:
        return _spread(base_pa, "gas_pressure", QuantityKind.PRESSURE), (_pressure_unknown(),)
    assumed = site.assumed
    if gauge_pa is None:
        gauge_pa = standing_in("gas_pressure", QuantityKind.GAS_PRESSURE)
        assumed = (*assumed, default("gas_pressure").told(message("Gas pressure at the meter")))
    if atmosphere is None:
        sea_level_pa = standing_in("atmospheric_pressure", QuantityKind.PRESSURE)
        told = default("atmospheric_pressure").told(message("Atmospheric pressure, at the sea"))
        return _spread(sea_level_pa + gauge_pa, "gas_pressure", QuantityKind.PRESSURE), (told,)
    return Estimate(atmosphere.value + gauge_pa, atmosphere.errors), assumed


def _temperature(inputs: Inputs, base_k: float) -> tuple[Estimate, tuple[Message, ...]]:
    """Return the temperature, K, and what stands in for it."""
    if "gas_temperature" not in inputs:
        return (
            _spread(base_k, "gas_temperature", QuantityKind.TEMPERATURE_DIFFERENCE),
            (_temperature_unknown(),),
        )
    words = message("temperature of the gas")
    errors = inputs.rectangular("gas_temperature_accuracy", "gas_temperature", words)
    return inputs.estimate("gas_temperature", errors), ()


def _spread(value: float, source: str, kind: QuantityKind) -> Estimate:
    """Return a value with the spread of what is not known, ``<source>_spread``."""
    words = message("the gas's pressure and temperature at the meter, not known")
    half_width = standing_in(f"{source}_spread", kind)
    return Estimate(value, rectangular_error(source, words, half_width, lasting=True))


def _pressure_unknown() -> Message:
    spread = default("gas_pressure_spread")
    return message(
        "the gas's pressure at the meter is not known: counted as standard, give or take {spread}"
        " ({basis}); high above the sea, enter the altitude",
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


_STANDARD_VOLUME_OF_DELIVERED_GAS = message(
    "A heating value as delivered does not go with a meter that compensates for pressure; ask the"
    " gas supplier for the one at standard conditions."
)
