"""The pipe run to the outlet, as it is entered and as it is told.

What pipes there are is in `pipe_table`, what is computed in `run_model`.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace

from desk.base.texts import Message, message
from desk.trade.flow.flow_entry import FLOW, FLOW_ACCURACY, flow_doubts, flow_of
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, telling
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.piping.pipe_table import MATERIALS, SIZES, Pipe, pipe_of, size_named
from desk.trade.piping.run_model import PipeRun, pipe_run, run_doubts
from desk.trade.quantities.exact_factors import GALLON_M3
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import source_of, table
from desk.trade.reference.water_properties import BOILING_POINT_K, ICE_POINT_K

REAL_WAIT = 1.2
"""Real wait over plug flow, at least: EPA WaterSense New Home Specification 1.2 (2014), 3.3, lets
0.6 gal run where 0.5 gal stand in the pipe."""
MOST_STANDING_M3 = 0.5 * GALLON_M3
"""Of the same specification."""
PUBLIC_LAVATORY_M3_PER_S = 0.5 * GALLON_M3 / 60
"""0.5 gpm at 60 psi: International Plumbing Code; ASME A112.18.1."""

_HOT_FROM_K = 303.15  # 30 degC: common practice, no source
_HOTTER_FROM_K = 333.16  # past 60 degC; 140 degF is that but for a rounding
_SAME_VOLUME = 0.01


def _compute(inputs: Inputs) -> MeasurementOutcome:
    pipe = pipe_of(
        inputs.typed("material"), inputs.typed("size"), inputs.maybe("bore_accuracy") or 0.0
    )
    words = message("length of the run")
    length = inputs.estimate(
        "length", inputs.relative("length_accuracy", "length", "length_accuracy", words)
    )
    flow = flow_of(inputs)
    temperature_k = inputs.si("water_temperature")
    run = pipe_run(pipe, length, flow, temperature_k)
    odd = flow_doubts(flow) + run_doubts(
        length.value, run.velocity_m_per_s.value, run.pressure_loss_pa.value
    )
    return MeasurementOutcome(
        figures=_figures(run),
        says=(_DOUBTFUL,) if odd else _says(pipe, run, flow, temperature_k),
        formula=run.formula,
        sources=(*run.sources, *_velocity_source(pipe, temperature_k), _SOURCE_SMALL_FLOW),
        warnings=run.warnings,
        notes=(_STRAIGHT,),
    )


def _figures(run: PipeRun) -> tuple[Figure, ...]:
    by_table = run.volume_by_code_table_m3
    return (
        Figure("volume", message("Water standing in the pipe"), QuantityKind.VOLUME, run.volume_m3),
        Figure("wait", message("Wait, if nothing mixes"), QuantityKind.TIME, run.wait_s),
        Figure(
            "pressure_loss",
            message("Pressure lost in the straight pipe"),
            QuantityKind.PRESSURE,
            run.pressure_loss_pa,
        ),
        Figure("velocity", message("Velocity"), QuantityKind.VELOCITY, run.velocity_m_per_s),
        *(
            ()
            if by_table is None
            else (
                Figure(
                    "volume_by_code_table",
                    message("Water standing in the pipe, by the plumbing code's table"),
                    QuantityKind.VOLUME,
                    by_table,
                    detail=True,
                ),
            )
        ),
    )


def _says(pipe: Pipe, run: PipeRun, flow: Estimate, temperature_k: float) -> tuple[Message, ...]:
    wait = message(
        "If nothing mixed, hot water would take about {seconds:.0f} s to reach this outlet. In fact"
        " it is rather {longer:.0f} s or more: it mixes on its way and warms the pipe.",
        seconds=run.wait_s.value,
        longer=REAL_WAIT * run.wait_s.value,
    )
    return (
        wait,
        *_on_volume(run),
        *_on_small_flow(flow),
        *_on_velocity(pipe, run, temperature_k),
    )


def _on_volume(run: PipeRun) -> tuple[Message, ...]:
    said = []
    if telling(probability_over(MOST_STANDING_M3, run.volume_m3)) is Telling.YES:
        said.append(_LONG_WAIT)
    by_table = run.volume_by_code_table_m3
    if by_table and abs(run.volume_m3.value / by_table.value - 1) > _SAME_VOLUME:
        said.append(
            message(
                "The volume by geometry differs by {percent:+.0f} % from the plumbing code's table:"
                " the wait uses geometry, a check against the code uses the table.",
                percent=100 * (run.volume_m3.value / by_table.value - 1),
            )
        )
    return tuple(said)


def _on_small_flow(flow: Estimate) -> tuple[Message, ...]:
    if telling(probability_over(PUBLIC_LAVATORY_M3_PER_S, flow)) is Telling.YES:
        return ()
    return (_SMALL_FLOW,)


def _on_velocity(pipe: Pipe, run: PipeRun, temperature_k: float) -> tuple[Message, ...]:
    if not pipe.material.startswith("copper"):
        return ()
    limit = _limit(temperature_k)
    row = table("pipes")["most_velocity"][limit]
    told = _VELOCITY[telling(probability_over(row["value"], run.velocity_m_per_s))]
    return (replace(told, values={"limit": row["shown"], "water": _WATER[limit]}),)


def _velocity_source(pipe: Pipe, temperature_k: float) -> tuple[Message, ...]:
    if not pipe.material.startswith("copper"):
        return ()
    return (source_of(table("pipes")["most_velocity"][_limit(temperature_k)]),)


def _limit(temperature_k: float) -> str:
    """Return which limit of velocity holds; 60 degC still counts as hot."""
    return _LIMITS[bisect_left((_HOT_FROM_K, _HOTTER_FROM_K), temperature_k)]


_LIMITS = ("cold", "hot", "hotter")
_DOUBTFUL = message("These figures are doubtful; see the warnings before anything rests on them.")
_STRAIGHT = message(
    "The pressure loss is that of straight new pipe; fittings and valves add to it."
)
_LONG_WAIT = message(
    "More water stands in this pipe than the 0.5 gal (1.9 L) that EPA WaterSense allows between"
    " heater and outlet: a long wait can come from the pipe alone."
)
_SMALL_FLOW = message(
    "A flow this small, such as the 0.5 gpm (1.9 L/min) to which codes limit a public lavatory, may"
    " not start a heater that waits for its activation flow."
)
_SOURCE_SMALL_FLOW = message(
    "0.5 gpm (1.9 L/min) at 60 psi, the most for a public lavatory: International Plumbing Code;"
    " ASME A112.18.1"
)
_WATER = {
    "cold": message("cold water"),
    "hot": message("hot water"),
    "hotter": message("water above 60 °C (140 °F)"),
}
_VELOCITY = {
    Telling.YES: message(
        "The water runs faster than the {limit} recommended for {water} in copper; that wears the"
        " tube and is heard."
    ),
    Telling.NO: message("The velocity is within the {limit} recommended for {water} in copper."),
    Telling.CANNOT_TELL: message(
        "Whether the velocity is above the {limit} recommended for {water} in copper cannot be"
        " told."
    ),
}

PIPE = Measurement(
    kind="pipe",
    label=message("Pipe run to the outlet"),
    help=message(
        "How much water stands between the heater and the outlet, how long it takes to come, and"
        " what pressure the pipe costs. Measure or pace off the whole run, bends included. Pipes"
        " may be hot; pipe where water stands can let bacteria grow. The maker's instructions and"
        " local codes come first."
    ),
    entries=(
        MeasurementEntry("material", message("Material"), required=True, choices=MATERIALS),
        MeasurementEntry("size", message("Size"), required=True, choices=SIZES, spelt=size_named),
        MeasurementEntry("length", message("Length"), QuantityKind.LENGTH, required=True),
        FLOW,
        MeasurementEntry(
            "water_temperature",
            message("Temperature of the water"),
            QuantityKind.TEMPERATURE,
            default="pipe_water_temperature",
            lowest=ICE_POINT_K,
            highest=BOILING_POINT_K,
        ),
        FLOW_ACCURACY,
        MeasurementEntry(
            "length_accuracy",
            message("Accuracy of the length, either way, as a share of it"),
            QuantityKind.FRACTION,
            default="length_accuracy",
            detail=True,
            accuracy_of=("length",),
        ),
        MeasurementEntry(
            "bore_accuracy",
            message("Tolerance of the bore, either way, as a share of it"),
            QuantityKind.FRACTION,
            default="bore_accuracy",
            detail=True,
        ),
    ),
    compute=_compute,
    cautions=("scald", "bacteria", "deferral"),
)
