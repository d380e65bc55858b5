"""Static and running pressure: how easily water gets through what lies between.

The flow coefficient Kv tells it in one number that depends neither on the supply's pressure nor on
how far the tap was opened. A strainer that fills up lowers it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.fills import FIRST_ORDER_LIMIT
from desk.trade.flow.flow_entry import FLOW, FLOW_ACCURACY, check_flow, flow_doubts, flow_of
from desk.trade.measuring.estimate import (
    Estimate,
    EstimateChange,
    Telling,
    Trend,
    compare,
    probability_over,
    propagate,
    telling,
)
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.quantities.units import QuantityKind

BAR_PA = 1e5
SUPPLY_EXPONENT = 0.54
"""Flow against drop of pressure of a supply, after NFPA 291; the definition of Kv has 0.5."""
MOST_STATIC_PA = 551_580.6
"""80 psi: Uniform Plumbing Code 2015, 608.2; International Residential Code 2021, P2903.3.1."""

_PLAUSIBLE_STATIC_PA = (30e3, 1.5e6)  # 4 to 220 psi: common practice, no source
_FAR_BEYOND = 2.0  # times the measured flow
_ANOTHER_SCALE = 10.0  # times the earlier Kv, or a tenth of it: hardly the same pipework


@dataclass(frozen=True, slots=True)
class SupplyPressure:
    """What static and running pressure at one point tell.

    Attributes:
        drop_pa: static less running pressure; an offset of the gauge is gone.
        kv_m3_per_s: flow coefficient, m3/s at a drop of 1 bar (the usual Kv, in m3/h, is this
            converted).
        flow_at_residual_m3_per_s: flow expected at the residual pressure asked for, if one was.
        formula: how they came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    drop_pa: Estimate
    kv_m3_per_s: Estimate
    flow_at_residual_m3_per_s: Estimate | None
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def supply_pressure(
    static_pa: Estimate,
    running_pa: Estimate,
    flow_m3_per_s: Estimate,
    residual_pa: float | None = None,
) -> SupplyPressure:
    """Compute the flow coefficient and, if asked, the flow at another residual pressure.

    Both pressures are read on one gauge at one point, nothing else drawing; estimates that carry
    the gauge's offset as the same source lose it in the drop.

    Args:
        static_pa: pressure with nothing running, gauge, Pa.
        running_pa: pressure while the flow runs, gauge, Pa.
        flow_m3_per_s: the flow, m3/s.
        residual_pa: pressure at which the flow is asked for, gauge, Pa.

    Raises:
        InputError: a value is no finite number, the running pressure is not below the static one,
            the residual is not, or there is no flow.

    Source:
        IEC 60534-1: ``Kv = Q / sqrt(dp / 1 bar)`` for cold water. NFPA 291: ``Q_R = Q_F
        (h_R / h_F)^0.54``, h the drops from the static pressure.
    """
    check_flow(flow_m3_per_s)
    _check_pressures(static_pa.value, running_pa.value, residual_pa)
    drop = propagate(lambda static, running: static - running, static_pa, running_pa)
    asked = (
        None if residual_pa is None else _flow_at(residual_pa, flow_m3_per_s, static_pa, running_pa)
    )
    return SupplyPressure(
        drop_pa=drop,
        kv_m3_per_s=propagate(
            lambda flow, static, running: flow / math.sqrt(max(static - running, 1e-9) / BAR_PA),
            flow_m3_per_s,
            static_pa,
            running_pa,
        ),
        flow_at_residual_m3_per_s=asked,
        formula=_FORMULA if asked is None else f"{_FORMULA}; {_FORMULA_AT_RESIDUAL}",
        sources=_SOURCES if asked is None else (*_SOURCES, _SOURCE_AT_RESIDUAL),
        warnings=(
            *_static_doubts(static_pa.value),
            *_running_doubts(running_pa.value),
            *flow_doubts(flow_m3_per_s),
            *_drop_doubts(drop),
            *_reach_doubts(asked, flow_m3_per_s.value),
        ),
    )


def loss_coefficient_change(before: Estimate, after: Estimate) -> EstimateChange:
    """Hold a flow coefficient against that of an earlier visit to the same appliance.

    Sources that both carry under one name are one error and go away; what was read anew (the two
    gauge readings, a typed flow) is not the same error on another day, though it has one name.

    Args:
        before: Kv of the earlier visit, m3/s at 1 bar.
        after: Kv of this visit, likewise.

    Returns:
        Improved, no change that can be seen, or worse; a higher Kv is better.

    Source:
        JCGM 100:2008, 5.2 and 6.2.
    """
    change = compare(before, after, higher_is_better=True)
    return replace(change, sentence=_CHANGES[change.trend])


def _flow_at(
    residual_pa: float, flow: Estimate, static_pa: Estimate, running_pa: Estimate
) -> Estimate:
    """Return the flow at a residual pressure after NFPA 291."""

    def model(flow_m3_per_s: float, static: float, running: float) -> float:
        drops = max(static - residual_pa, 0.0) / max(static - running, 1e-9)
        return float(flow_m3_per_s * drops**SUPPLY_EXPONENT)

    return propagate(model, flow, static_pa, running_pa)


def _check_pressures(static: float, running: float, residual: float | None) -> None:
    for name, value in (("static", static), ("running", running), ("residual", residual or 0.0)):
        if not math.isfinite(value):
            raise InputError(message("The pressure must be a number."), field=name)
    if running >= static:
        raise InputError(
            message(
                "The running pressure must be below the static one."
                " Look whether the two were swapped, and whether water was running."
            ),
            field="running",
        )
    if residual is not None and not 0 <= residual < static:
        raise InputError(
            message("The residual pressure must lie from 0 to below the static pressure."),
            field="residual",
        )


def _static_doubts(static_pa: float) -> tuple[Message, ...]:
    low, high = _PLAUSIBLE_STATIC_PA
    if low <= static_pa <= high:
        return ()
    return (
        message(
            "No supply of a house has such a static pressure; look at its unit, psi, kPa or bar."
        ),
    )


def _running_doubts(running_pa: float) -> tuple[Message, ...]:
    """Return what is odd about a running pressure; at nothing the drop is all of the static one."""
    if running_pa > 0:
        return ()
    return (
        message(
            "No water runs on at a pressure of nothing or less. Look whether the gauge stands at"
            " nothing with its point shut off, at the unit, and whether the valve before the gauge"
            " was open."
        ),
    )


def _drop_doubts(drop: Estimate) -> tuple[Message, ...]:
    if drop.standard_uncertainty <= FIRST_ORDER_LIMIT * drop.value:
        return ()
    return (
        message("The pressure fell by hardly more than the gauge can show; let more water run."),
    )


def _reach_doubts(asked: Estimate | None, measured: float) -> tuple[Message, ...]:
    if asked is None or asked.value <= _FAR_BEYOND * measured:
        return ()
    return (message("The flow asked for lies far beyond the one measured; let more water run."),)


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
    odd_static = _static_doubts(static.value)
    odd_drop = _running_doubts(running.value) or _drop_doubts(found.drop_pa)
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


_FORMULA = "Kv = Q / ((p_static - p_running) / 1 bar)^0.5, Q and Kv in m3/h"
_FORMULA_AT_RESIDUAL = (
    "Q(residual) = Q ((p_static - p_residual) / (p_static - p_running))^0.54 (NFPA 291)"
)
_SOURCES = (
    message("IEC 60534-1: flow coefficient Kv, exponent 0.5, cold water"),
    message("JCGM 100:2008 (GUM), 5.2: the gauge's offset is in both readings and goes away"),
)
_SOURCE_AT_RESIDUAL = message("NFPA 291: flow at another residual pressure, exponent 0.54")
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
_CHANGES = {
    Trend.IMPROVED: message("Improved: more water gets through than on the earlier visit."),
    Trend.NO_CHANGE: message("Against the earlier visit no change can be seen."),
    Trend.WORSE: message(
        "Worse: less water gets through than on the earlier visit. A strainer that fills up does"
        " that; so does scale, or a valve that is not fully open."
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
