"""The atmosphere's pressure by the altitude."""

from __future__ import annotations

LOWEST_M, HIGHEST_M = -500.0, 5500.0
"""Where people live: from the shores of the lowest lake to the highest town, with some to spare."""

_SEA_PA, _SEA_K = 101_325.0, 288.15
_LAPSE_K_PER_M = 0.0065
_EXPONENT = 9.80665 / (_LAPSE_K_PER_M * 287.05287)  # of the weight of the air, g / (lapse R)


def standard_pressure_pa(altitude_m: float) -> float:
    """Return the pressure of the standard atmosphere, Pa, at an altitude in m; no weather in it.

    Source:
        ISO 2533 (the same below 11 km: ICAO Doc 7488, U.S. Standard Atmosphere 1976). The altitude
        is taken as its geopotential one: at 5000 m they are 4 m apart.
    """
    return _SEA_PA * float((1 - _LAPSE_K_PER_M * altitude_m / _SEA_K) ** _EXPONENT)


def standard_altitude_m(pressure_pa: float) -> float:
    """Return the altitude, m, at which the standard atmosphere has a pressure, Pa."""
    return _SEA_K / _LAPSE_K_PER_M * (1 - float((pressure_pa / _SEA_PA) ** (1 / _EXPONENT)))
