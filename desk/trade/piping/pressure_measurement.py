"""Static and running pressure: how easily water gets through what lies between.

The flow coefficient Kv tells it in one number that depends neither on the supply's pressure nor on
how far the tap was opened. A strainer that fills up lowers it.
"""

from __future__ import annotations

from desk.base.texts import Message, message
from desk.trade.flow.flow_entry import FLOW, FLOW_ACCURACY, flow_doubts, flow_of
from desk.trade.measuring.estimate import (
    Estimate,
    EstimateChange,
    Telling,
    probability_over,
    telling,
)
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.piping.pressure_model import (
    SupplyPressure,
    drop_doubts,
    loss_coefficient_change,
    running_doubts,
    static_doubts,
    supply_pressure,
)
from desk.trade.quantities.units import QuantityKind

MOST_STATIC_PA = 551_580.6
"""80 psi: Uniform Plumbing Code 2015, 608.2; International Residential Code 2021, P2903.3.1."""

_ANOTHER_SCALE = 10.0  # times the earlier Kv, or a tenth of it: hardly the same pipework


def _earlier_doubts(earlier: Estimate | None, kv: float) -> tuple[Message, ...]:
    if earlier is None or earlier.value / _ANOTHER_SCALE <= kv <= earlier.value * _ANOTHER_SCALE:
        return ()
    return (
        message(
            "The earlier figure is of another size altogether; look at its unit, and whether it is"
            " a Kv (m3/h) or a Cv."
        ),
    )


def _compute(inputs: Inputs) -> MeasurementOutcome:
    static = _reading(inputs, "static", message("reading of the static pressure"))
    running = _reading(inputs, "running", message("reading of the running pressure"))
    flow = flow_of(inputs)
    found = supply_pressure(static, running, flow, inputs.maybe("residual"))
    earlier = inputs.estimate("earlier_kv") if "earlier_kv" in inputs else None
    change = loss_coefficient_change(earlier, found.kv_m3_per_s) if earlier else None
    odd_earlier = _earlier_doubts(earlier, found.kv_m3_per_s.value)
    exact = (_EARLIER_EXACT,) if earlier and not earlier.errors else ()
    return MeasurementOutcome(
        figures=_figures(found, change),
        says=_says(found, (static, running), flow, None if odd_earlier else change),
        formula=found.formula,
        sources=(*found.sources, _SOURCE_STATIC, *exact),
        warnings=(*found.warnings, *odd_earlier),
        notes=(_SAME_POINT,),
    )


def _reading(inputs: Inputs, name: str, words: Message) -> Estimate:
    """Return a pressure with the gauge's offset, shared, and its reading, its own."""
    own = inputs.rectangular("gauge_resolution", f"{name}_resolution", words)
    words = message("accuracy of the gauge")
    gauge = inputs.rectangular("gauge_accuracy", "gauge", words, lasting=True)
    return inputs.estimate(name, gauge, own)


def _figures(found: SupplyPressure, change: EstimateChange | None) -> tuple[Figure, ...]:
    kv = Figure(
        "kv",
        message("Flow coefficient Kv"),
        QuantityKind.FLOW_COEFFICIENT,
        found.kv_m3_per_s,
        higher_is_better=True,
    )
    drop = Figure(
        "drop", message("Pressure drop"), QuantityKind.PRESSURE, found.drop_pa, detail=True
    )
    figures = [kv, drop]
    if found.flow_at_residual_m3_per_s is not None:
        figures.insert(
            1,
            Figure(
                "flow_at_residual",
                message("Flow at the residual pressure"),
                QuantityKind.VOLUME_RATE,
                found.flow_at_residual_m3_per_s,
                higher_is_better=True,
            ),
        )
    if change is not None:
        figures.append(
            Figure(
                "kv_change",
                message("Change of Kv since the earlier visit"),
                QuantityKind.FLOW_COEFFICIENT,
                change.difference,
            )
        )
    return tuple(figures)


def _says(
    found: SupplyPressure,
    pressures: tuple[Estimate, Estimate],
    flow: Estimate,
    change: EstimateChange | None,
) -> tuple[Message, ...]:
    """Say what can be said; nothing rests on a value that is doubted."""
    static, running = pressures
    odd_static = static_doubts(static.value)
    odd_drop = running_doubts(running.value) or drop_doubts(found.drop_pa)
    if odd_static or odd_drop or flow_doubts(flow):
        of_kv: tuple[Message, ...] = (_DOUBTFUL,)
    else:
        of_kv = (
            message(
                "With the water running the pressure here falls by {percent:.0f} % of the static"
                " one.",
                percent=100 * found.drop_pa.value / static.value,
            ),
            *((change.sentence,) if change else ()),
        )
    over = telling(probability_over(MOST_STATIC_PA, static))
    return of_kv if odd_static else (*of_kv, _STATIC[over])


_SOURCE_STATIC = message(
    "static pressure in a building, at most 80 psi (552 kPa): Uniform Plumbing Code 2015, 608.2;"
    " International Residential Code 2021, P2903.3.1"
)
_EARLIER_EXACT = message("the earlier Kv was taken as exact; no uncertainty was given")
_DOUBTFUL = message(
    "The flow coefficient is doubtful; see the warning before anything rests on it."
)
_SAME_POINT = message(
    "Kv can be compared with another visit's if it was read at the same gauge point, at the same"
    " outlet, with nothing else drawing water."
)
_STATIC = {
    Telling.YES: message(
        "The static pressure is above 80 psi (552 kPa), the most that plumbing codes allow without"
        " a pressure reducing valve. Local code comes first."
    ),
    Telling.NO: message(
        "The static pressure is within the 80 psi (552 kPa) that plumbing codes allow."
    ),
    Telling.CANNOT_TELL: message(
        "Whether the static pressure is above the 80 psi (552 kPa) of the plumbing codes cannot be"
        " told with this gauge."
    ),
}
PRESSURE = Measurement(
    kind="pressure",
    label=message("Static and running pressure"),
    help=message(
        "How easily water gets through what lies before the gauge. Read one gauge at one point"
        " twice: nothing running, then with the measured flow running and nothing else drawing."
        " The gauge point is under pressure and may be hot: shut the valves and let the pressure"
        " off before anything is undone. The maker's instructions and local codes come first."
    ),
    entries=(
        MeasurementEntry(
            "static",
            message("Static pressure"),
            QuantityKind.PRESSURE,
            required=True,
            taken_from="static_pressure",
        ),
        MeasurementEntry(
            "running",
            message("Running pressure"),
            QuantityKind.PRESSURE,
            required=True,
            taken_from="running_pressure",
        ),
        FLOW,
        MeasurementEntry(
            "residual", message("Residual pressure to tell the flow for"), QuantityKind.PRESSURE
        ),
        MeasurementEntry(
            "earlier_kv",
            message("Kv of an earlier visit"),
            QuantityKind.FLOW_COEFFICIENT,
            taken_from="earlier_kv",
        ),
        FLOW_ACCURACY,
        MeasurementEntry(
            "gauge_accuracy",
            message("Accuracy of the gauge, either way"),
            QuantityKind.PRESSURE,
            default="gauge_accuracy",
            detail=True,
            accuracy_of=("static", "running"),
        ),
        MeasurementEntry(
            "gauge_resolution",
            message("How close the gauge can be read, either way"),
            QuantityKind.PRESSURE,
            default="gauge_resolution",
            detail=True,
            accuracy_of=("static", "running"),
        ),
    ),
    compute=_compute,
    cautions=("stored_pressure", "deferral"),
)
