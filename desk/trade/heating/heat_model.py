"""Heat given to the water: what the appliance really delivers, and how much flow that is good for.

Mass flow times the rise of the enthalpy, steady for a minute. The trade's ``500 x gpm x rise in
degF`` BTU/h comes within 3 % of it and serves the tests as a check.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.fills import FIRST_ORDER_LIMIT
from desk.trade.flow.flow_entry import check_flow, flow_doubts
from desk.trade.measuring.estimate import Estimate, propagate, rectangular_error
from desk.trade.reference.water_properties import (
    BOILING_POINT_K,
    ICE_POINT_K,
    density_kg_per_m3,
    enthalpy_j_per_kg,
)

# Past these a slip is likelier than the reading: common practice, no source.
_WARMEST_SUPPLY_K = ICE_POINT_K + 40
_HOTTEST_OUTLET_K = ICE_POINT_K + 90
_MOST_OF_RATED = 1.3


@dataclass(frozen=True, slots=True)
class HeatToWater:
    """What flow and temperatures tell about the heat that the water takes up.

    Attributes:
        heat_w: heat given to the water, W.
        rise_k: outlet less inlet, K; an offset of the thermometer is gone.
        share_of_rated: heat as a share of the rated output, if that is known.
        flow_at_rise_m3_per_s: hot water that the rated output, or else the measured heat, warms
            by the rise asked for, m3/s; its volume counted hot.
        formula: how they came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    heat_w: Estimate
    rise_k: Estimate
    share_of_rated: Estimate | None
    flow_at_rise_m3_per_s: Estimate | None
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def heat_to_water(
    flow_m3_per_s: Estimate,
    inlet_k: Estimate,
    outlet_k: Estimate,
    flow_temperature_k: Estimate | None = None,
    *,
    rated_output_w: float | None = None,
    rated_accuracy: float = 0.0,
    wanted_rise_k: float | None = None,
) -> HeatToWater:
    """Compute the heat that the water takes up, and what follows from it.

    Estimates that carry the thermometer's offset as the same source lose it in the rise.

    Args:
        flow_m3_per_s: the flow, m3/s, as a volume at the temperature it was measured at.
        inlet_k: temperature of the cold water going in, K.
        outlet_k: temperature of the hot water coming out, K.
        flow_temperature_k: temperature of the water where its volume was measured, K; that of
            the outlet unless given.
        rated_output_w: rated output of the appliance, W; as a limit it is exact.
        rated_accuracy: half-width of what the appliance gives at most about that, as a share.
        wanted_rise_k: rise for which the most flow is asked for, K.

    Raises:
        InputError: a temperature lies outside freezing to boiling, or a flow, rated output or
            wanted rise is not more than nothing; it names the field.

    Source:
        First law for a steady flow, ``P = rho(T) Q (h_out - h_in)``, with the density of Kell 1975
        and the enthalpy of IAPWS R6-95.
    """
    measured_at = outlet_k if flow_temperature_k is None else flow_temperature_k
    check_flow(flow_m3_per_s)
    _check_temperature(inlet_k.value, "inlet")
    _check_temperature(outlet_k.value, "outlet")
    _check_temperature(measured_at.value, "flow_temperature")
    _check_positive(rated_output_w, "rated_output", _NO_RATED_OUTPUT)
    _check_positive(wanted_rise_k, "wanted_rise", _NO_RISE)
    heat = propagate(_heat_w, flow_m3_per_s, inlet_k, outlet_k, measured_at)
    rise = propagate(lambda outlet, inlet: outlet - inlet, outlet_k, inlet_k)
    share, at_rise = None, None
    if rated_output_w is not None:
        share = propagate(lambda watts: watts / rated_output_w, heat)
    if wanted_rise_k is not None:
        drawn = (flow_m3_per_s, inlet_k, outlet_k, measured_at)
        at_rise = _flow_at_rise(wanted_rise_k, _most(rated_output_w, rated_accuracy), drawn)
    return HeatToWater(
        heat_w=heat,
        rise_k=rise,
        share_of_rated=share,
        flow_at_rise_m3_per_s=at_rise,
        formula=_FORMULA if at_rise is None else f"{_FORMULA}; {_FORMULA_AT_RISE}",
        sources=_SOURCES if flow_temperature_k is not None else (*_SOURCES, _AT_THE_OUTLET),
        warnings=(
            *flow_doubts(flow_m3_per_s),
            *_temperature_doubts(inlet_k.value, outlet_k.value),
            *_rise_doubts(rise),
            *_share_doubts(share),
        ),
    )


def _heat_w(flow: float, inlet_k: float, outlet_k: float, measured_at_k: float) -> float:
    rise_j_per_kg = enthalpy_j_per_kg(outlet_k) - enthalpy_j_per_kg(inlet_k)
    return flow * density_kg_per_m3(measured_at_k) * rise_j_per_kg


def _most(rated_output_w: float | None, accuracy: float) -> Estimate | None:
    """Return the most heat that the appliance gives, W, about its rated output."""
    if rated_output_w is None:
        return None
    words = message("how far the appliance's most is from its rated output")
    half_width = accuracy * rated_output_w
    return Estimate(
        rated_output_w, rectangular_error("rated_output_accuracy", words, half_width, lasting=True)
    )


def _flow_at_rise(
    rise_k: float,
    most_w: Estimate | None,
    drawn: tuple[Estimate, Estimate, Estimate, Estimate],
) -> Estimate | None:
    """Return the flow that the rated, else the measured heat warms; None where there is none."""
    inlet = drawn[1]
    measured_w = _heat_w(*(estimate.value for estimate in drawn))
    if inlet.value + rise_k > BOILING_POINT_K or (most_w is None and measured_w <= 0):
        return None

    def heat_of_a_volume(inlet_k: float) -> float:
        return _heat_w(1.0, inlet_k, inlet_k + rise_k, inlet_k + rise_k)

    if most_w is not None:
        return propagate(lambda watts, cold: watts / heat_of_a_volume(cold), most_w, inlet)
    return propagate(
        lambda volume, cold, hot, at: _heat_w(volume, cold, hot, at) / heat_of_a_volume(cold),
        *drawn,
    )


def _check_temperature(temperature_k: float, field: str) -> None:
    if not ICE_POINT_K <= temperature_k <= BOILING_POINT_K:
        raise InputError(
            message(
                "The water's temperature must lie from 0 to 100 °C (32 to 212 °F);"
                " look at its unit, °F or °C."
            ),
            field=field,
        )


def _check_positive(value: float | None, field: str, sentence: Message) -> None:
    if value is not None and not 0 < value < math.inf:
        raise InputError(sentence, field=field)


def _temperature_doubts(inlet_k: float, outlet_k: float) -> tuple[Message, ...]:
    if outlet_k <= inlet_k:
        return (message("The outlet is no warmer than the inlet; look whether they were swapped."),)
    said = []
    if inlet_k > _WARMEST_SUPPLY_K:
        said.append(
            message(
                "The inlet is warmer than a cold supply; look at its unit, °F or °C, and whether"
                " hot water gets into it."
            )
        )
    if outlet_k > _HOTTEST_OUTLET_K:
        said.append(
            message("The outlet is hotter than water heaters go; look at its unit, °F or °C.")
        )
    return tuple(said)


def _rise_doubts(rise: Estimate) -> tuple[Message, ...]:
    if rise.value <= 0 or rise.standard_uncertainty <= FIRST_ORDER_LIMIT * rise.value:
        return ()
    return (message("The water warms by hardly more than the thermometer can show."),)


def _share_doubts(share: Estimate | None) -> tuple[Message, ...]:
    if share is None or share.value <= _MOST_OF_RATED:
        return ()
    return (
        message(
            "More heat than the appliance is rated for; look at the units of flow and rated output,"
            " gpm or L/min, BTU/h or kW, and whether the inlet and the outlet are those of this"
            " appliance."
        ),
    )


_NO_RATED_OUTPUT = message(
    "The rated output must be more than nothing, for example 150000 BTU/h or 44 kW."
)
_NO_RISE = message("The wanted rise must be more than nothing, for example 67 °F or 37 °C.")
_FORMULA = "P = rho(T) Q (h(T_out) - h(T_in)), T where the volume was measured"
_FORMULA_AT_RISE = (
    "Q(rise) = P / (rho(T_in + rise) (h(T_in + rise) - h(T_in))), P rated, else measured"
)
_SOURCES = (
    message("IAPWS R6-95: enthalpy of liquid water; Kell 1975: its density"),
    message("JCGM 100:2008 (GUM), 5.2: the thermometer's offset is in both readings and goes away"),
)
_AT_THE_OUTLET = message("the flow's volume was taken as measured at the outlet's temperature")
