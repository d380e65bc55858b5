"""Temperatures as they enter measurements, read with one thermometer."""

from __future__ import annotations

from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate
from desk.trade.measuring.measurement import Inputs, MeasurementEntry
from desk.trade.quantities.units import QuantityKind


def thermometer_entries(*temperatures: str) -> tuple[MeasurementEntry, MeasurementEntry]:
    """Return the entries of the accuracy and the resolution behind some entries of temperature."""
    return (
        MeasurementEntry(
            "thermometer_accuracy",
            message("Accuracy of the thermometer, either way"),
            QuantityKind.TEMPERATURE_DIFFERENCE,
            default="thermometer_accuracy",
            accuracy_of=temperatures,
            detail=True,
        ),
        MeasurementEntry(
            "thermometer_resolution",
            message("How close the thermometer can be read, either way"),
            QuantityKind.TEMPERATURE_DIFFERENCE,
            default="thermometer_resolution",
            accuracy_of=temperatures,
            detail=True,
        ),
    )


def temperature_of(inputs: Inputs, name: str, words: Message) -> Estimate:
    """Return an entered temperature, K: the thermometer's error is shared, the reading's its own.

    Args:
        inputs: what was entered.
        name: the entry.
        words: what was read, for the error of the reading.
    """
    shared = message("accuracy of the thermometer")
    return inputs.estimate(
        name,
        inputs.rectangular("thermometer_accuracy", "thermometer", shared, lasting=True),
        inputs.rectangular("thermometer_resolution", f"{name}_resolution", words),
    )
