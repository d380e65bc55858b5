"""Gas input by clocking the meter, and how much of it gets into the water.

The meter counts volume as it passes; what burns is told by the volume at standard conditions times
the heating value. Gross and net efficiencies of one fire differ by a tenth: the basis is always
named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.fills import FIRST_ORDER_LIMIT
from desk.trade.heating.gas_rating import check_rated_input
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, propagate, telling

LEAST_EFFICIENCY = 0.5
"""Below it a fire that heats water in passing is hardly lit: common practice, no source."""
# Past these a slip is likelier than the reading: common practice, no source.
_MOST_OF_RATED = 1.5
_LEAST_OF_RATED = 0.05
_PLAUSIBLE_INPUT_W = (1e3, 150e3)  # from a pilot flame to more than one house's appliance
_PLAUSIBLE_HEATING_VALUE = (15e6, 135e6)  # J/m3, from town gas to butane
_PLAUSIBLE_GAS_K = (233.15, 333.15)
_MOST_GAUGE_PA = 35e3  # 5 psi: more does not come into a house


class Basis(StrEnum):
    """Whether a heating value counts the heat in the flue gas's vapour."""

    GROSS = "gross"
    NET = "net"


MOST_EFFICIENCY = {Basis.GROSS: 1.0, Basis.NET: 1.11}
"""All of the gas's heat; in net terms more, gross over net being 1.11 for methane (ISO 6976)."""


@dataclass(frozen=True, slots=True)
class AtMeter:
    """The gas as the meter counts it, and the standard conditions of its heating value.

    What the meter compensates for is at base conditions; what is not known is, too, give or take.

    Attributes:
        pressure_pa: absolute pressure of the gas as it is counted, Pa.
        temperature_k: its temperature, K.
        base_pressure_pa: standard pressure that the heating value is told at, Pa.
        base_temperature_k: standard temperature, K.
    """

    pressure_pa: Estimate
    temperature_k: Estimate
    base_pressure_pa: float
    base_temperature_k: float


@dataclass(frozen=True, slots=True)
class GasInput:
    """What the meter's dial and a watch tell.

    Attributes:
        volume_rate_m3_per_s: gas as the meter counts it, m3/s.
        standard_rate_m3_per_s: the same at standard conditions, m3/s.
        input_w: heat in the gas, W, on the basis of its heating value; None without one.
        share_of_full: input as a share of the rated one as on the plate, if both are known.
        share_of_rated: the same of the rated input that is derated for the altitude, where that
            is; else as of the plate.
        efficiency: heat to the water over input, on the same basis, if both are known.
        formula: how they came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    volume_rate_m3_per_s: Estimate
    standard_rate_m3_per_s: Estimate
    input_w: Estimate | None
    share_of_full: Estimate | None
    share_of_rated: Estimate | None
    efficiency: Estimate | None
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def gas_input(
    volume_m3: Estimate,
    time_s: Estimate,
    at_meter: AtMeter,
    heating_value_j_per_m3: Estimate | None = None,
    *,
    basis: Basis = Basis.GROSS,
    rated_input_w: float | None = None,
    derated_w: float | None = None,
    heat_w: Estimate | None = None,
) -> GasInput:
    """Compute the gas input from the meter's turns, and the efficiency from the heat as well.

    Every other gas appliance is off and this one held at full fire; for the efficiency, gas and
    heat are read in the same minutes.

    Args:
        volume_m3: volume of the turns together, m3 as the meter counts.
        time_s: time of the turns together, s.
        at_meter: pressure and temperature there, and the standard ones.
        heating_value_j_per_m3: heat in a cubic metre at standard conditions, J/m3.
        basis: of the heating value, and so of input and efficiency.
        rated_input_w: rated input of the appliance, W, on the same basis, taken as exact.
        derated_w: the same derated for the altitude, W; None where it is not.
        heat_w: heat given to the water, W.

    Raises:
        InputError: a value is not more than nothing, or the gas is nowhere near a house's; it
            names the field.

    Source:
        NFPA 54 / ANSI Z223.1, gas input to a burner by its meter; ideal gas, ``V_std = V p/p_base
        T_base/T``; efficiency after the first law, heat to the water over heat in the gas.
    """
    _check(volume_m3, time_s, at_meter, heating_value_j_per_m3)
    check_rated_input(rated_input_w)
    rate = propagate(lambda volume, seconds: volume / seconds, volume_m3, time_s)
    standard = _at_standard(rate, at_meter)
    burnt, efficiency = None, None
    if heating_value_j_per_m3 is not None:
        burnt = propagate(lambda flow, value: flow * value, standard, heating_value_j_per_m3)
    if burnt is not None and heat_w is not None and heat_w.value > 0:
        efficiency = propagate(lambda heat, watts: heat / watts, heat_w, burnt)
    full = _share(burnt, rated_input_w)
    return GasInput(
        volume_rate_m3_per_s=rate,
        standard_rate_m3_per_s=standard,
        input_w=burnt,
        share_of_full=full,
        share_of_rated=full if derated_w is None else _share(burnt, derated_w),
        efficiency=efficiency,
        formula=_FORMULA if efficiency is None else f"{_FORMULA}; {_FORMULA_EFFICIENCY}",
        sources=_SOURCES,
        warnings=(
            *_timing_doubts(time_s),
            *_meter_doubts(at_meter, heating_value_j_per_m3),
            *_input_doubts(burnt, full),
            *_heat_doubts(heat_w),
            *_efficiency_doubts(efficiency, basis),
        ),
    )


def plausible(efficiency: Estimate, basis: Basis) -> Telling:
    """Say whether an efficiency can be that of a fire that heats water in passing.

    It can from half of the gas's heat, below which the fire would be hardly lit (common practice,
    no source), to all of it, which nothing can pass.
    """
    inside = probability_over(LEAST_EFFICIENCY, efficiency) - probability_over(
        MOST_EFFICIENCY[basis], efficiency
    )
    return telling(inside)


def _at_standard(rate: Estimate, at_meter: AtMeter) -> Estimate:
    base_pa, base_k = at_meter.base_pressure_pa, at_meter.base_temperature_k
    return propagate(
        lambda flow, pressure, temperature: flow * pressure / base_pa * base_k / temperature,
        rate,
        at_meter.pressure_pa,
        at_meter.temperature_k,
    )


def _share(burnt: Estimate | None, of_w: float | None) -> Estimate | None:
    """Return the input as a share of another, exact one; None where either is not known."""
    if burnt is None or of_w is None:
        return None
    return propagate(lambda watts: watts / of_w, burnt)


def _check(
    volume: Estimate, time: Estimate, at_meter: AtMeter, heating_value: Estimate | None
) -> None:
    positive = (
        ("dial", volume.value, _NO_VOLUME),
        ("seconds", time.value, _NO_TIME),
        ("heating_value", heating_value.value if heating_value else None, _NO_HEATING_VALUE),
    )
    for field, value, sentence in positive:
        if value is not None and not 0 < value < math.inf:
            raise InputError(sentence, field=field)
    for field, value, (low, high), sentence in (
        ("gas_pressure_at_meter", at_meter.pressure_pa.value, (40e3, 1e6), _ODD_PRESSURE),
        ("gas_temperature", at_meter.temperature_k.value, (200.0, 400.0), _ODD_TEMPERATURE),
        ("base_pressure", at_meter.base_pressure_pa, (80e3, 120e3), _ODD_BASE_PRESSURE),
        ("base_temperature", at_meter.base_temperature_k, (250.0, 320.0), _ODD_BASE_TEMPERATURE),
    ):
        if not low <= value <= high:
            raise InputError(sentence, field=field)


def _timing_doubts(time: Estimate) -> tuple[Message, ...]:
    if time.standard_uncertainty <= FIRST_ORDER_LIMIT * time.value:
        return ()
    return (message("The dial was timed too briefly for this watch; time more turns."),)


def _meter_doubts(at_meter: AtMeter, heating_value: Estimate | None) -> tuple[Message, ...]:
    said = []
    coldest, warmest = _PLAUSIBLE_GAS_K
    if not coldest <= at_meter.temperature_k.value <= warmest:
        said.append(message("Gas is not that hot or cold at a meter; look at its unit, °F or °C."))
    if at_meter.pressure_pa.value - at_meter.base_pressure_pa > _MOST_GAUGE_PA:
        said.append(
            message(
                "The gas pressure at the meter is more than comes into a house; look at its unit,"
                " inH2O, mbar or psi."
            )
        )
    low, high = _PLAUSIBLE_HEATING_VALUE
    if heating_value is not None and not low <= heating_value.value <= high:
        said.append(message("No gas has such a heating value; look at its unit, BTU/ft3 or MJ/m3."))
    return tuple(said)


def _input_doubts(burnt: Estimate | None, share: Estimate | None) -> tuple[Message, ...]:
    if share is not None:
        low, high, value = _LEAST_OF_RATED, _MOST_OF_RATED, share.value
        too_much = FAR_OVER_RATED
    elif burnt is not None:
        low, high, value = *_PLAUSIBLE_INPUT_W, burnt.value
        too_much = MORE_THAN_A_HOUSE
    else:
        return ()
    if value > high:
        return (too_much,)
    return (_TOO_LITTLE,) if value < low else ()


def _heat_doubts(heat: Estimate | None) -> tuple[Message, ...]:
    if heat is None or heat.value > 0:
        return ()
    return (message("The water takes up no heat; look at its inlet and outlet temperature."),)


def _efficiency_doubts(efficiency: Estimate | None, basis: Basis) -> tuple[Message, ...]:
    if efficiency is None or plausible(efficiency, basis) is not Telling.NO:
        return ()
    return (_TOO_EFFICIENT if efficiency.value > LEAST_EFFICIENCY else _TOO_WASTEFUL,)


_NO_VOLUME = message("The dial's volume must be more than nothing, for example 2 ft3 or 0.01 m3.")
_NO_TIME = message("The time of the turns must be more than nothing, for example 41.5 s.")
_NO_HEATING_VALUE = message(
    "The heating value must be more than nothing, for example 1030 BTU/ft3 or 38.4 MJ/m3."
)
_ODD_PRESSURE = message(
    "The gas's absolute pressure at the meter must lie from 40 to 1000 kPa (6 to 145 psi)."
)
_ODD_TEMPERATURE = message("The gas's temperature must lie from -73 to 127 °C (-99 to 260 °F).")
_ODD_BASE_PRESSURE = message(
    "The standard pressure must lie from 80 to 120 kPa (11.6 to 17.4 psi), absolute."
)
_ODD_BASE_TEMPERATURE = message(
    "The standard temperature must lie from -23 to 47 °C (-9 to 116 °F)."
)
FAR_OVER_RATED = message(
    "Far more gas than the appliance is rated for. Look at the size of the dial and the number of"
    " turns, at minutes typed as seconds, at the rated input and its unit, and whether another gas"
    " appliance was on."
)
MORE_THAN_A_HOUSE = message(
    "More gas than the appliances of a house burn. Look at the size of the dial and the number of"
    " turns, at minutes typed as seconds, and whether another gas appliance was on."
)
_TOO_LITTLE = message(
    "Hardly more gas than a pilot flame burns. Look at the size of the dial and the number of"
    " turns, at seconds typed as minutes, and whether the burner was at full fire."
)
_TOO_EFFICIENT = message(
    "More heat in the water than in the gas cannot be. Look at the size of the dial, at minutes"
    " typed as seconds, at the basis of the heating value, at flow and temperatures, and whether"
    " all were read in the same minutes."
)
_TOO_WASTEFUL = message(
    "Less than half of the gas's heat in the water is no steady fire. Look at the size of the dial,"
    " at flow and temperatures, whether all were read in the same minutes, and whether another gas"
    " appliance was on."
)
_FORMULA = "input = V/t p/p_base T_base/T H"
_FORMULA_EFFICIENCY = "efficiency = heat to the water / input"
_SOURCES = (
    message("NFPA 54 / ANSI Z223.1: gas input by the meter; ideal gas to standard conditions"),
    message("JCGM 100:2008 (GUM), 5.1.2 and 5.2: uncertainty of input and efficiency"),
)
