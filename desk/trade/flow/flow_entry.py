"""The flow as it enters other measurements: measured on this visit, or typed with its accuracy."""

from __future__ import annotations

import math

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.fills import MOST_FROM_A_TAP_M3_PER_S
from desk.trade.measuring.estimate import Estimate
from desk.trade.measuring.measurement import Inputs, MeasurementEntry
from desk.trade.quantities.units import QuantityKind

FLOW = MeasurementEntry(
    "flow", message("Flow"), QuantityKind.VOLUME_RATE, required=True, taken_from="flow"
)
FLOW_ACCURACY = MeasurementEntry(
    "flow_accuracy",
    message("Accuracy of the flow, either way, as a share of it"),
    QuantityKind.FRACTION,
    default="flow_accuracy",
    accuracy_of=("flow",),
    detail=True,
)


def flow_of(inputs: Inputs) -> Estimate:
    """Return the entered flow, m3/s, with its errors: its own, else those of ``flow_accuracy``."""
    words = message("accuracy of the flow")
    return inputs.estimate("flow", inputs.relative("flow_accuracy", "flow", "flow_accuracy", words))


def check_flow(flow: Estimate) -> None:
    """Refuse a flow of nothing.

    Raises:
        InputError: the flow is zero, negative or no finite number.
    """
    if not 0 < flow.value < math.inf:
        raise InputError(
            message("The flow must be more than nothing, for example 1.5 gpm or 5.7 L/min."),
            field="flow",
        )


def flow_doubts(flow: Estimate) -> tuple[Message, ...]:
    """Return what is odd about a flow; empty where nothing is."""
    if flow.value <= MOST_FROM_A_TAP_M3_PER_S:
        return ()
    return (
        message(
            "The flow is more than a tap gives; look at its unit, minutes or seconds, L or gal."
        ),
    )
