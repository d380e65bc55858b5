"""Where the gas is burnt: altitude and atmospheric pressure, as far as they are known."""

from __future__ import annotations

from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.heating.atmosphere import (
    HIGHEST_M,
    LOWEST_M,
    standard_altitude_m,
    standard_pressure_pa,
)
from desk.trade.measuring.estimate import Error, Estimate, rectangular_error
from desk.trade.measuring.measurement import Inputs
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default, standing_in

_ATMOSPHERE_PA = (50e3, 110e3)
# Highs and lows stay within it, but for storms: common practice, no source.
_MOST_BY_WEATHER_PA = 6e3


@dataclass(frozen=True, slots=True)
class GasSite:
    """Altitude and atmospheric pressure of a place.

    Attributes:
        altitude_m: as entered, or of the premises, m above the sea; None where it is not known.
        atmosphere_pa: pressure of the atmosphere, Pa, as entered or else by the altitude; None
            where neither is known.
        assumed: that it is by the altitude, with its source.
        warnings: what a person should look at.
    """

    altitude_m: float | None
    atmosphere_pa: Estimate | None
    assumed: tuple[Message, ...] = ()
    warnings: tuple[Message, ...] = ()

    @property
    def height_m(self) -> float | None:
        """How high the place lies, m: its altitude, else the one that its pressure belongs to."""
        if self.altitude_m is not None or self.atmosphere_pa is None:
            return self.altitude_m
        return standard_altitude_m(self.atmosphere_pa.value)


def site_of(inputs: Inputs) -> GasSite:
    """Return where the gas is burnt; an atmospheric pressure that is entered comes first.

    Raises:
        InputError: an altitude or a pressure that cannot be; it names the field.
    """
    altitude_m, entered_pa = inputs.maybe("altitude"), inputs.maybe("atmospheric_pressure")
    _check(altitude_m, entered_pa)
    if entered_pa is not None:
        errors = inputs.rectangular("atmospheric_accuracy", "gas_pressure", _NAME, lasting=True)
        return GasSite(
            altitude_m, Estimate(entered_pa, errors), warnings=_doubts(altitude_m, entered_pa)
        )
    if altitude_m is None:
        return GasSite(None, None)
    spread = default("standard_atmosphere_spread")
    standard_pa = standard_pressure_pa(altitude_m)
    told = message(
        "the atmosphere's pressure by the altitude of {altitude:.0f} m: {pressure:.1f} kPa, give or"
        " take {spread} ({basis}); ISO 2533, standard atmosphere",
        altitude=altitude_m,
        pressure=standard_pa / 1e3,
        spread=spread.typed,
        basis=spread.basis,
    )
    return GasSite(altitude_m, Estimate(standard_pa, weather()), (told,))


def weather() -> tuple[Error, ...]:
    """Return the error of the standard atmosphere for the weather of a day."""
    half_width = standing_in("standard_atmosphere_spread", QuantityKind.PRESSURE)
    return rectangular_error("gas_pressure", _NAME, half_width, lasting=True)


def _check(altitude_m: float | None, atmospheric_pa: float | None) -> None:
    if altitude_m is not None and not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise InputError(_ODD_ALTITUDE, field="altitude")
    low, high = _ATMOSPHERE_PA
    if atmospheric_pa is not None and not low <= atmospheric_pa <= high:
        raise InputError(_ODD_ATMOSPHERE, field="atmospheric_pressure")


def _doubts(altitude_m: float | None, atmospheric_pa: float) -> tuple[Message, ...]:
    if altitude_m is None:
        return ()
    off_pa = abs(atmospheric_pa - standard_pressure_pa(altitude_m))
    return (_NOT_OF_THAT_PLACE,) if off_pa > _MOST_BY_WEATHER_PA else ()


_NAME = message("atmospheric pressure")
_ODD_ALTITUDE = message(
    "The altitude must lie from -500 to 5500 m (-1640 to 18040 ft) above the sea."
)
_ODD_ATMOSPHERE = message(
    "The atmospheric pressure on site must lie from 50 to 110 kPa (7.3 to 16 psi), absolute."
)
_NOT_OF_THAT_PLACE = message(
    "The atmospheric pressure does not belong to this altitude. A weather report tells it as it"
    " would be at the sea; look at it, at its unit, and at the altitude in m or ft."
)
