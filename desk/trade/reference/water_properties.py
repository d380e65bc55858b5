"""Density, enthalpy and viscosity of liquid water at atmospheric pressure.

The pressure of a house, a few bar, changes a difference of enthalpy by less than 0.05 % and the
viscosity by less than 0.06 %; neither is corrected for. Where the formulations of IAPWS disagree
(IF97's heat capacity is up to 0.05 % lower) IAPWS-95 is followed.
"""

from __future__ import annotations

import math
from functools import cache

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.reference.reference_values import table

ICE_POINT_K = 273.15
BOILING_POINT_K = 373.15
_BEYOND_K = 0.5  # the equations hold a little beyond: slopes are taken at either end, too
_KELL_OVER = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_KELL_UNDER = (1.0, 16.879850e-3)
_VISCOSITY_AT_K = 300.0
_VISCOSITY = ((-1.9, 280.68e-6), (-7.7, 511.45e-6), (-19.6, 61.131e-6), (-40.0, 0.45903e-6))


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
    _check_liquid(temperature_k)
    t = temperature_k - ICE_POINT_K
    return _polynomial(_KELL_OVER, t) / _polynomial(_KELL_UNDER, t)


def enthalpy_j_per_kg(temperature_k: float) -> float:
    """Return the specific enthalpy of liquid water; only differences of it mean anything.

    Args:
        temperature_k: temperature of the water, kelvin; from freezing to boiling.

    Returns:
        Specific enthalpy at 101.325 kPa, J/kg; within 1 J/kg of IAPWS R6-95.

    Raises:
        InputError: the water would be ice or steam.

    Source:
        IAPWS R6-95(2018), each whole degree from ``shared/reference/water.toml``, between them on
        a straight line.
    """
    _check_liquid(temperature_k)
    values = _enthalpies_j_per_kg()
    t = temperature_k - ICE_POINT_K
    degree = min(max(math.floor(t), 0), len(values) - 2)
    below, above = values[degree], values[degree + 1]
    return below + (t - degree) * (above - below)


def viscosity_pa_s(temperature_k: float) -> float:
    """Return the dynamic viscosity of liquid water.

    Args:
        temperature_k: temperature of the water, kelvin; from freezing to boiling.

    Returns:
        Dynamic viscosity, Pa s; within 0.01 % of IAPWS R12-08, which itself is good to 1 %.

    Raises:
        InputError: the water would be ice or steam.

    Source:
        IAPWS SR7-09, properties of liquid water at 0.1 MPa, equation for the viscosity
        (coefficients read from the library iapws 1.5.5, held to CoolProp in tests/outside).
    """
    _check_liquid(temperature_k)
    reduced = temperature_k / _VISCOSITY_AT_K
    return math.fsum(a * reduced**b for b, a in _VISCOSITY)


@cache
def _enthalpies_j_per_kg() -> tuple[float, ...]:
    """Return the enthalpy at 0, 1, 2 ... 100 degC."""
    return tuple(table("water")["enthalpy"]["values"])


def _check_liquid(temperature_k: float) -> None:
    """Refuse a temperature at which tap water is no water.

    Raises:
        InputError: the water would be ice or steam, or the temperature is no number.
    """
    if not ICE_POINT_K - _BEYOND_K <= temperature_k <= BOILING_POINT_K + _BEYOND_K:
        raise InputError(
            message("The water's temperature must lie between freezing and boiling."),
            field="water_temperature",
        )


def _polynomial(coefficients: tuple[float, ...], t: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * t + coefficient
    return total
