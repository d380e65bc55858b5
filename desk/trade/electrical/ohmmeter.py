"""A resistance as a meter shows it: a value with the meter's errors, or an open circuit."""

from __future__ import annotations

import math

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.measuring.estimate import Error, Estimate
from desk.trade.measuring.measurement import Inputs, MeasurementEntry
from desk.trade.quantities.units import QuantityKind

OPEN_CIRCUIT = Estimate(math.inf)
"""What a meter shows as no reading, OL or 1."""

OPEN = ("open_circuit", message("open circuit, no reading"))
VALUE = ("value", message("a value"))

METER_ACCURACY = MeasurementEntry(
    "meter_accuracy",
    message("Accuracy of the meter, either way, as a share"),
    QuantityKind.FRACTION,
    default="ohmmeter_accuracy",
    detail=True,
)


def resistance_read(
    inputs: Inputs, reads: str, resistance: str, *errors: tuple[Error, ...], missing: InputError
) -> Estimate:
    """Return what the meter showed, ohm, with its accuracy; `OPEN_CIRCUIT` where it showed none.

    Args:
        inputs: what was entered.
        reads: the entry that says whether it showed a value or an open circuit.
        resistance: the entry of the value.
        errors: what the reading adds to the meter's own accuracy.
        missing: what to refuse with where nothing was entered.

    Raises:
        InputError: both an open circuit and a value were entered, or neither.
    """
    if inputs.is_open(resistance):
        return OPEN_CIRCUIT
    is_open = inputs.typed(reads) == OPEN[0]
    if is_open and resistance in inputs and inputs.given[resistance].estimate is None:
        raise InputError(
            message("The meter showed either an open circuit or a value, not both."), field=reads
        )
    if is_open:
        return OPEN_CIRCUIT
    if resistance not in inputs:
        raise missing
    words = message("accuracy of the meter")
    accuracy = inputs.relative(METER_ACCURACY.name, resistance, "ohmmeter", words, lasting=True)
    return inputs.estimate(resistance, accuracy, *errors)
