"""Density of tap water, to turn weighed water into volume."""

from __future__ import annotations

from desk.errors import InputError
from desk.wording import message

ICE_POINT_K = 273.15
_ABOVE = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_BELOW = (1.0, 16.879850e-3)


def density_kg_per_m3(temperature_k: float) -> float:
    """Return the density of water at atmospheric pressure.

    Args:
        temperature_k: temperature of the water, kelvin; from freezing to boiling.

    Returns:
        Density, kg/m3; within 0.02 kg/m3 of IAPWS R6-95. Salts in hard tap water add about as
        much as 0.05 %, which is not corrected for.

    Raises:
        InputError: the water would be ice or steam.

    Source:
        G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, equation for 0 to 150 degC (coefficients
        from memory, held to IAPWS-95 in tests/outside).
    """
    t = temperature_k - ICE_POINT_K
    if not 0 <= t <= 100:  # noqa: PLR2004 - freezing and boiling
        raise InputError(
            message("The water's temperature must lie between freezing and boiling."),
            field="water_temperature",
        )
    return _polynomial(_ABOVE, t) / _polynomial(_BELOW, t)


def _polynomial(coefficients: tuple[float, ...], t: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * t + coefficient
    return total
