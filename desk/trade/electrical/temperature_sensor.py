"""A temperature sensor's resistance against the table entered for its model."""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.electrical.ohmmeter import (
    METER_ACCURACY,
    OPEN,
    OPEN_CIRCUIT,
    VALUE,
    resistance_read,
)
from desk.trade.electrical.resistance_table import ResistanceTable, range_of, read_table
from desk.trade.measuring.estimate import Estimate, Telling, probability_within, propagate, telling
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
    probability_figure,
    read_as,
)
from desk.trade.measuring.temperature_entry import temperature_of, thermometer_entries
from desk.trade.quantities.typed_quantity import show
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default, standing_in

_SHORT_SHARE = 0.01  # of the expected resistance: as good as a short circuit
_WIDEST_TOLERANCE = 0.5
_THOUSANDFOLD = (500.0, 2000.0)  # about where ohm and kohm were mixed up


@dataclass(frozen=True, slots=True)
class SensorReading:
    """What a sensor's resistance tells beside its table.

    Attributes:
        expected_ohm: resistance by the table at the measured temperature.
        deviation: measured over expected less one; infinite for an open circuit.
        temperature_meant_k: temperature that the resistance stands for; None beyond the table.
        probability_agrees: probability that the deviation lies within the tolerance.
        agrees: what that allows to be said.
        formula: how these came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    expected_ohm: Estimate
    deviation: Estimate
    temperature_meant_k: Estimate | None
    probability_agrees: float
    agrees: Telling
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def sensor_reading(
    resistance_ohm: Estimate, temperature_k: Estimate, table: ResistanceTable, tolerance: float
) -> SensorReading:
    """Hold a sensor's resistance against its table at a measured temperature.

    Args:
        resistance_ohm: measured, ohm; `OPEN_CIRCUIT` where the meter showed none.
        temperature_k: where the sensor sits, K; it must lie within the table.
        table: of the sensor's model.
        tolerance: half-width within which it agrees, as a share of the expected resistance.

    Raises:
        InputError: the resistance is negative, the temperature lies beyond the table, or the
            tolerance is none.

    Source:
        Thermistors: ``ln R`` linear in ``1/T`` between two points, the law of constant B (IEC
        60539-1, from memory). Rising tables: straight lines. Agreement: JCGM 106:2012, 7.4.
    """
    if not resistance_ohm.value >= 0:
        raise InputError(message("A resistance must not be negative."), field="resistance")
    if not 0 < tolerance < 1:
        raise InputError(
            message("The tolerance must be more than nothing and less than 100 %."),
            field="tolerance",
        )
    if not table.holds_temperature(temperature_k.value):
        low, high = range_of(table)
        raise InputError(
            message(
                "The table runs from {low} to {high}; nothing is told beyond it.",
                low=low,
                high=high,
            ),
            field="temperature",
        )
    expected = propagate(table.resistance_ohm, temperature_k)
    deviation = _deviation(resistance_ohm, temperature_k, table)
    within = probability_within(tolerance, deviation)
    meant = (
        propagate(table.temperature_k, resistance_ohm)
        if table.holds_resistance(resistance_ohm.value)
        else None
    )
    return SensorReading(
        expected_ohm=expected,
        deviation=deviation,
        temperature_meant_k=meant,
        probability_agrees=within,
        agrees=telling(within),
        formula=_FORMULA_FALLING if table.falls else _FORMULA_RISING,
        sources=(_between(table, temperature_k.value), *_SOURCES),
        warnings=_doubts(deviation),
    )


def _deviation(
    resistance_ohm: Estimate, temperature_k: Estimate, table: ResistanceTable
) -> Estimate:
    if math.isinf(resistance_ohm.value):
        return OPEN_CIRCUIT
    return propagate(
        lambda measured, at_k: measured / table.resistance_ohm(at_k) - 1,
        resistance_ohm,
        temperature_k,
    )


def _between(table: ResistanceTable, temperature_k: float) -> Message:
    low, high = table.around(temperature_k)
    return message(
        "interpolated between the table's points at {low} and {high}",
        low=show(low, QuantityKind.TEMPERATURE),
        high=show(high, QuantityKind.TEMPERATURE),
    )


def _doubts(deviation: Estimate) -> tuple[Message, ...]:
    low, high = _THOUSANDFOLD
    ratio = deviation.value + 1
    if low <= ratio <= high or (ratio > 0 and low <= 1 / ratio <= high):
        return (
            message(
                "The resistance and the table are about a thousandfold apart; look at the units,"
                " ohm or kohm."
            ),
        )
    return ()


def _compute(inputs: Inputs) -> MeasurementOutcome:
    table = read_table(inputs.typed("table"))
    tolerance, assumed = _tolerance(inputs, table)
    temperature = temperature_of(inputs, "temperature", message("reading of the temperature"))
    found = sensor_reading(_resistance(inputs), temperature, table, tolerance)
    return MeasurementOutcome(
        figures=_figures(found),
        says=(_DOUBTFUL,) if found.warnings else _says(found),
        formula=found.formula,
        sources=(*found.sources, *assumed),
        warnings=found.warnings,
        words={"agrees": (Telling.CANNOT_TELL if found.warnings else found.agrees).value},
    )


def _tolerance(inputs: Inputs, table: ResistanceTable) -> tuple[float, tuple[Message, ...]]:
    """Return within which share of its resistance a sensor agrees, and what was assumed.

    A kelvin is some 4 % of a thermistor's resistance and 0.4 % of platinum's, so what stands in
    is so many kelvin, by the direction of the table.
    """
    if "tolerance" in inputs:
        return inputs.si("tolerance"), ()
    name = "sensor_tolerance_falling" if table.falls else "sensor_tolerance_rising"
    standing = default(name)
    kelvin = standing_in(name, QuantityKind.TEMPERATURE_DIFFERENCE)
    share = min(table.share_over(inputs.si("temperature"), kelvin), _WIDEST_TOLERANCE)
    told = message(
        "assumed, since it was not entered: {what}: {percent:.2g} %, which is {value} here"
        " ({basis})",
        what=SENSOR.entry("tolerance").label,
        percent=100 * share,
        value=standing.typed,
        basis=standing.basis,
    )
    return share, (told,)


def _resistance(inputs: Inputs) -> Estimate:
    missing = InputError(message("Enter the resistance, for example 10 kohm."), field="resistance")
    return resistance_read(inputs, "reads", "resistance", missing=missing)


def _figures(found: SensorReading) -> tuple[Figure, ...]:
    figures = [
        Figure(
            "expected_resistance",
            message("Resistance by the table"),
            QuantityKind.RESISTANCE,
            found.expected_ohm,
        )
    ]
    if math.isfinite(found.deviation.value):
        figures.insert(
            0,
            Figure(
                "deviation",
                message("Measured resistance, off the table by"),
                QuantityKind.FRACTION,
                found.deviation,
            ),
        )
    if found.temperature_meant_k is not None:
        figures.append(
            Figure(
                "temperature_meant",
                message("Temperature that the resistance stands for"),
                QuantityKind.TEMPERATURE,
                found.temperature_meant_k,
            )
        )
    figures.append(
        probability_figure(
            "probability_agrees", message("Probability that it agrees"), found.probability_agrees
        )
    )
    return tuple(figures)


def _says(found: SensorReading) -> tuple[Message, ...]:
    if math.isinf(found.deviation.value):
        return (_OPEN,)
    if found.deviation.value + 1 < _SHORT_SHARE:
        return (_SHORT,)
    beyond = (_BEYOND,) if found.temperature_meant_k is None else ()
    return (_AGREES[found.agrees], *beyond)


_LAW_FALLING = "ln R linear in 1/T between the table's points"
_LAW_RISING = "R linear in T between the table's points"
_DEVIATION = "deviation = R(measured) / R(table, T) - 1"
_FORMULA_FALLING = f"{_DEVIATION}; {_LAW_FALLING}"
_FORMULA_RISING = f"{_DEVIATION}; {_LAW_RISING}"
_SOURCES = (
    message("table: as entered, from the maker's papers"),
    message("JCGM 106:2012, 7.4: probability between two limits"),
)
_DOUBTFUL = message("The reading is doubtful; see the warning before anything rests on it.")
_OPEN = message(
    "Open circuit: the sensor, its plug or its wire is broken. Look at plug and wire first."
)
_SHORT = message(
    "As good as a short circuit: the sensor or its wire is shorted. Unplug it and read again."
)
_BEYOND = message("The resistance lies beyond the table, so no temperature is told for it.")
_AGREES = {
    Telling.YES: message("The sensor agrees with its table, within the tolerance."),
    Telling.NO: message(
        "The sensor does not agree with its table. Look that the table is that of this model, that"
        " the sensor was unplugged and as warm as the thermometer, before it is replaced."
    ),
    Telling.CANNOT_TELL: message(
        "Whether the sensor agrees with its table cannot be told: the temperature or the meter is"
        " not known well enough. Hold sensor and thermometer together in ice water and read there;"
        " where the resistance rises with the temperature, use a meter good to 0.3 % or better, and"
        " enter the maker's tolerance."
    ),
}

SENSOR = Measurement(
    kind="sensor",
    label=message("Temperature sensor by its resistance"),
    help=message(
        "Whether a temperature sensor agrees with the maker's table. Mains voltage is near and the"
        " water may be hot: switch off, lock out, prove dead, unplug the sensor, and read"
        " resistance and temperature where it sits, after both have settled. The table is typed in"
        " pairs, such as 25 C 10 kohm; 50 C 3.6 kohm. A Hall sensor or any"
        " other electronic element is never tested by resistance. The maker's instructions, local"
        " codes and the licensed person come first."
    ),
    entries=(
        MeasurementEntry(
            "resistance",
            message("Resistance of the sensor"),
            QuantityKind.RESISTANCE,
            taken_from="sensor_resistance",
            may_be_open=True,
        ),
        MeasurementEntry(
            "reads",
            message("The meter shows"),
            choices=(VALUE, OPEN),
            spelt=read_as,
        ),
        MeasurementEntry(
            "temperature",
            message("Temperature where the sensor sits"),
            QuantityKind.TEMPERATURE,
            required=True,
        ),
        MeasurementEntry(
            "table",
            message("Table of its model"),
            required=True,
            free=True,
        ),
        MeasurementEntry(
            "tolerance",
            message("Agrees within, either way, as a share of its resistance"),
            QuantityKind.FRACTION,
        ),
        METER_ACCURACY,
        *thermometer_entries("temperature"),
    ),
    compute=_compute,
    cautions=("live_parts", "scald", "no_ohms_on_electronics", "deferral"),
)
