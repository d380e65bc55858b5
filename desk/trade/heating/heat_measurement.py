"""The measurement of heat and temperature rise: what is entered for it, and what it means."""

from __future__ import annotations

from dataclasses import replace

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.flow_entry import FLOW, FLOW_ACCURACY, flow_of
from desk.trade.heating.heat_model import HeatToWater, heat_to_water
from desk.trade.measuring.estimate import (
    Estimate,
    Telling,
    probability_over,
    propagate,
    rectangular_error,
    telling,
)
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.measuring.temperature_entry import temperature_of, thermometer_entries
from desk.trade.quantities.units import QuantityKind

_LEAST_SHARE = 0.1  # less is no output and no efficiency
_POOREST_THERMOMETER_K = 20.0  # beyond, its readings say nothing at all


def _compute(inputs: Inputs) -> MeasurementOutcome:
    _check_thermometer(inputs)
    flow_temperature = None
    if "flow_temperature" in inputs:
        flow_temperature = temperature_of(
            inputs, "flow_temperature", message("reading at the flow")
        )
    rated_w = inputs.maybe("rated_output")
    found = heat_to_water(
        flow_of(inputs),
        temperature_of(inputs, "inlet", message("reading of the inlet temperature")),
        temperature_of(inputs, "outlet", message("reading of the outlet temperature")),
        flow_temperature,
        rated_output_w=rated_w,
        rated_accuracy=inputs.maybe("rated_output_accuracy") or 0.0,
        wanted_rise_k=inputs.si("wanted_rise"),
    )
    smallest = _smallest_output(inputs)
    odd_ratings = _rating_doubts(smallest, rated_w)
    doubtful = found.warnings or odd_ratings
    return MeasurementOutcome(
        figures=_figures(found, smallest, rated=rated_w is not None),
        says=(_DOUBTFUL,) if doubtful else _says(inputs, found, smallest),
        formula=found.formula if smallest is None else f"{found.formula}; {_FORMULA_SMALLEST}",
        sources=found.sources if rated_w is None else (*found.sources, _RATED_EXACT),
        warnings=(*found.warnings, *odd_ratings, *_boiling_doubts(found)),
        notes=(_STEADY,),
    )


def _check_thermometer(inputs: Inputs) -> None:
    if (inputs.maybe("thermometer_accuracy") or 0.0) > _POOREST_THERMOMETER_K:
        raise InputError(
            message("The accuracy of the thermometer must be within 20 °C (36 °F)."),
            field="thermometer_accuracy",
        )


def _smallest_output(inputs: Inputs) -> Estimate | None:
    """Return the smallest output, W: smallest input times efficiency; None where not entered."""
    smallest_w = inputs.maybe("smallest_input")
    if smallest_w is None:
        return None
    efficiency = inputs.estimate(
        "rated_efficiency",
        rectangular_error(
            "efficiency_accuracy",
            message("efficiency at the smallest input"),
            inputs.si("efficiency_accuracy"),
        ),
    )
    return propagate(lambda share: share * smallest_w, efficiency)


def _rating_doubts(smallest: Estimate | None, rated_w: float | None) -> tuple[Message, ...]:
    if smallest is None or rated_w is None or smallest.value < rated_w:
        return ()
    return (
        message(
            "The smallest output is not below the rated one; look at their units, and whether the"
            " two were swapped."
        ),
    )


def _boiling_doubts(found: HeatToWater) -> tuple[Message, ...]:
    if found.flow_at_rise_m3_per_s is not None or found.heat_w.value <= 0:
        return ()
    return (message("Warmed by the wanted rise this water would boil; no flow is told for it."),)


def _figures(found: HeatToWater, smallest: Estimate | None, *, rated: bool) -> tuple[Figure, ...]:
    # More heat is not better as such: a safer, lower setting gives less of it.
    at_rise = (
        message("Flow that the rated output warms by the wanted rise")
        if rated
        else message("Flow that this heat warms by the wanted rise")
    )
    figures = (
        ("heat", message("Heat to the water"), QuantityKind.POWER, found.heat_w),
        ("rise", message("Temperature rise"), QuantityKind.TEMPERATURE_DIFFERENCE, found.rise_k),
        (
            "share_of_rated",
            message("Share of the rated output"),
            QuantityKind.FRACTION,
            found.share_of_rated,
        ),
        ("flow_at_rise", at_rise, QuantityKind.VOLUME_RATE, found.flow_at_rise_m3_per_s),
        ("smallest_output", message("Smallest output"), QuantityKind.POWER, smallest),
    )
    return tuple(
        Figure(name, label, kind, estimate, detail=name in {"flow_at_rise", "smallest_output"})
        for name, label, kind, estimate in figures
        if estimate is not None
    )


def _says(inputs: Inputs, found: HeatToWater, smallest: Estimate | None) -> tuple[Message, ...]:
    said = []
    if found.share_of_rated is None:
        said.append(_UNRATED)
    else:
        full = inputs.si("full_output")
        reached = telling(probability_over(full, found.share_of_rated))
        said.append(replace(_RATED[reached], values={"percent": 100 * full}))
    if smallest is not None:
        above = propagate(lambda heat, least: heat - least, found.heat_w, smallest)
        said.append(_ABOVE_SMALLEST[telling(probability_over(0.0, above))])
    return tuple(said)


_FORMULA_SMALLEST = "P_smallest = smallest input x rated efficiency"
_RATED_EXACT = message("as a limit to hold the heat against, the rated output was taken as exact")
_DOUBTFUL = message("The heat is doubtful; see the warning before anything rests on it.")
_STEADY = message(
    "This holds for a draw that had run steadily for a minute, all three read in the same minutes."
)
_UNRATED = message(
    "Whether the appliance gives all that it should cannot be told without its rated output."
)
_RATED = {
    Telling.YES: message(
        "The appliance is at its rated output: at least {percent:.0f} % of it gets into the water."
    ),
    Telling.NO: message(
        "The appliance is not at its rated output: less than {percent:.0f} % of it gets into the"
        " water. That is a fault only where it was held at full fire; at a small draw it turns"
        " itself down."
    ),
    Telling.CANNOT_TELL: message(
        "Whether the appliance is at its rated output, {percent:.0f} % of it or more, cannot be"
        " told with these instruments."
    ),
}
_ABOVE_SMALLEST = {
    Telling.YES: message(
        "This draw takes more heat than the smallest output: it is not too small for a burner that"
        " stays on."
    ),
    Telling.NO: message(
        "This draw takes less heat than the smallest output: the burner has to go on and off, and"
        " the water at the tap turns warm and cool with it."
    ),
    Telling.CANNOT_TELL: message(
        "This draw takes about as much heat as the smallest output; whether the burner has to go"
        " on and off cannot be told."
    ),
}

HEAT = Measurement(
    kind="heat",
    label=message("Heat and temperature rise"),
    help=message(
        "The heat that the water takes up. Let a hot tap run steadily for a minute, then read flow,"
        " cold inlet and hot outlet in the same minutes with one thermometer. Hot water burns: keep"
        " hands out of the stream. The maker's instructions and local codes come first."
    ),
    entries=(
        FLOW,
        MeasurementEntry(
            "inlet",
            message("Cold inlet temperature"),
            QuantityKind.TEMPERATURE,
            required=True,
            taken_from="inlet_temperature",
        ),
        MeasurementEntry(
            "outlet",
            message("Hot outlet temperature"),
            QuantityKind.TEMPERATURE,
            required=True,
            taken_from="outlet_temperature",
        ),
        MeasurementEntry("rated_output", message("Rated output"), QuantityKind.POWER),
        MeasurementEntry(
            "smallest_input",
            message("Smallest input"),
            QuantityKind.POWER,
            taken_from="appliance_smallest_input",
        ),
        MeasurementEntry(
            "flow_temperature",
            message("Temperature of the water where its volume was measured"),
            QuantityKind.TEMPERATURE,
            taken_from="flow_temperature",
            detail=True,
        ),
        MeasurementEntry(
            "wanted_rise",
            message("Rise to tell the flow for"),
            QuantityKind.TEMPERATURE_DIFFERENCE,
            default="nominal_rise",
            detail=True,
        ),
        MeasurementEntry(
            "rated_efficiency",
            message("Rated efficiency"),
            QuantityKind.FRACTION,
            default="rated_efficiency",
            lowest=_LEAST_SHARE,
            belongs_to="smallest_input",
            detail=True,
        ),
        MeasurementEntry(
            "efficiency_accuracy",
            message("How far the efficiency at the smallest input may be from it, either way"),
            QuantityKind.FRACTION,
            default="efficiency_accuracy",
            belongs_to="smallest_input",
            detail=True,
        ),
        MeasurementEntry(
            "full_output",
            message("Share of the rated output that counts as all of it"),
            QuantityKind.FRACTION,
            default="full_output",
            lowest=_LEAST_SHARE,
            belongs_to="rated_output",
            detail=True,
        ),
        MeasurementEntry(
            "rated_output_accuracy",
            message("How far the appliance's most may be from its rated output, either way"),
            QuantityKind.FRACTION,
            default="rated_output_accuracy",
            belongs_to="rated_output",
            detail=True,
        ),
        FLOW_ACCURACY,
        *thermometer_entries("inlet", "outlet", "flow_temperature"),
    ),
    compute=_compute,
    cautions=("scald", "deferral"),
)
