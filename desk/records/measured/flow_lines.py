"""A measured flow as a snapshot: its fills, its result, its verdict and what would settle it."""

from __future__ import annotations

import math
from typing import Any

from desk.base.texts import Message, fixed, say
from desk.records.measured.taken import Taken, activation_of, outlet_of
from desk.records.views.measured import FillLine, FlowLine
from desk.records.views.parties import UnitSystem
from desk.trade.flow.settle_options import settle
from desk.trade.flow.timed_flow import Activation, FlowAnswer, TimedFlow, Verdict, verdict
from desk.trade.quantities.units import System


def flow_line(taken: Taken, system: UnitSystem) -> FlowLine:
    """Return a measured flow; advice is said in the units of the shop's system."""
    reading, computed = taken.reading, taken.flow
    activation = activation_of(taken.inputs)
    typed = {name: row.typed for name, row in taken.inputs.items()}
    return FlowLine(
        when="found" if reading.moment == "found" else "left",
        outlet=reading.outlet,
        method="weight" if reading.method == "weight" else "volume",
        container_typed=typed.get("container", typed.get("scale", "")),
        graduation_typed=typed.get("graduation", ""),
        timing_typed=typed.get("timing", ""),
        fills=_fill_lines(taken),
        activation_m3_per_s=activation.flow_m3_per_s,
        activation_typed=typed.get("activation", ""),
        taken_at=reading.taken_at,
        **(
            _NOTHING_YET
            if computed is None
            else _result(
                computed,
                activation,
                verdict(computed, activation, outlet_of(reading)),
                System(system),
            )
        ),
    )


def _fill_lines(taken: Taken) -> tuple[FillLine, ...]:
    return tuple(
        FillLine(
            number=fill.number,
            typed=fill.typed,
            seconds=fill.seconds,
            mass_kg=fill.mass_kg,
            mass_typed=fill.mass_typed,
            struck=fill.struck,
            struck_reason=fill.struck_reason,
        )
        for fill in taken.fills
    )


_NOTHING_YET: dict[str, Any] = {
    "flow_m3_per_s": None,
    "standard_uncertainty_m3_per_s": None,
    "expanded_uncertainty_m3_per_s": None,
    "coverage_factor": None,
    "degrees_of_freedom": None,
    "probability_reached": None,
    "verdict": "",
    "verdict_text": None,
    "settle": (),
    "warnings": (),
    "formula": "",
    "sources": (),
}


def _result(
    computed: TimedFlow, activation: Activation, judged: Verdict, system: System
) -> dict[str, Any]:
    """Return the result fields of a flow line."""
    degrees = computed.degrees_of_freedom
    sources = (say(text) for text in (*computed.sources, *judged.sources))
    return {
        "flow_m3_per_s": computed.flow_m3_per_s,
        "standard_uncertainty_m3_per_s": computed.standard_uncertainty_m3_per_s,
        "expanded_uncertainty_m3_per_s": computed.expanded_uncertainty_m3_per_s,
        "coverage_factor": computed.coverage_factor,
        # JSON has no infinity: None says that no scatter limited what is known.
        "degrees_of_freedom": None if math.isinf(degrees) else degrees,
        "probability_reached": judged.probability_reached,
        "verdict": _verdict_id(judged),
        "verdict_text": fixed(judged.sentence),
        "settle": _advice(computed, activation, judged, system),
        "warnings": tuple(fixed(text) for text in computed.warnings),
        "formula": computed.formula,
        "sources": tuple(dict.fromkeys(sources)),
    }


def _verdict_id(judged: Verdict) -> str:
    if judged.for_appliance or judged.answer is FlowAnswer.CANNOT_TELL:
        return judged.answer.value
    return f"{judged.answer.value}_at_outlet"


def _advice(
    computed: TimedFlow, activation: Activation, judged: Verdict, system: System
) -> tuple[Message, ...]:
    """Return what would settle an open verdict, the quickest first, or that nothing would.

    Of a doubtful flow the verdict's own sentence says it.
    """
    if judged.answer is not FlowAnswer.CANNOT_TELL or computed.doubts:
        return ()
    advice = settle(computed, activation)
    if not advice.options:
        return (fixed(advice.advice),)
    return tuple(fixed(option.sentence(system)) for option in advice.options)
