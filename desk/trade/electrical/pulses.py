"""Pulses of a flow sensor: how many it gives a litre, against the maker's figure."""

from __future__ import annotations

import math
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.flow_entry import FLOW, FLOW_ACCURACY, check_flow, flow_doubts, flow_of
from desk.trade.measuring.estimate import Estimate, Telling, probability_within, propagate, telling
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
    probability_figure,
)
from desk.trade.quantities.exact_factors import GALLON_M3
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import told_source

LITRE_M3 = 1e-3

_ANOTHER_UNIT = {
    GALLON_M3 / LITRE_M3: message("a litre or a US gallon"),
    60.0: message("pulses a second (Hz) or a minute"),
}
_ABOUT = 1.15  # a ratio within this of another unit's looks like that unit
_FASTEST_HZ = 5000.0  # common practice, no source


@dataclass(frozen=True, slots=True)
class MakerFigure:
    """What the maker says of the sensor.

    Attributes:
        per_m3: pulses a cubic metre.
        tolerance: half-width within which a sensor agrees, as a share of that.
    """

    per_m3: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class FlowPulses:
    """What pulses at a known flow tell.

    Attributes:
        per_m3: pulses a cubic metre.
        deviation: against the maker's figure, as a share of it; None without one.
        probability_agrees: probability that the deviation lies within the tolerance, likewise.
        formula: how these came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    per_m3: Estimate
    deviation: Estimate | None
    probability_agrees: float | None
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def flow_pulses(
    frequency_hz: Estimate, flow_m3_per_s: Estimate, maker: MakerFigure | None = None
) -> FlowPulses:
    """Compute pulses a volume from the frequency at a measured flow.

    Args:
        frequency_hz: pulses a second, Hz.
        flow_m3_per_s: the flow through the sensor at that moment, m3/s.
        maker: the maker's figure, if known.

    Raises:
        InputError: a frequency, flow, figure or tolerance that cannot be.

    Source:
        ``K = f / Q``, in proportion through zero: the definition of a meter's K factor (ISO
        11631, from memory).
    """
    check_flow(flow_m3_per_s)
    if not 0 <= frequency_hz.value < math.inf:
        raise InputError(message("The frequency must not be negative."), field="frequency")
    per_m3 = propagate(lambda pulses, flow: pulses / flow, frequency_hz, flow_m3_per_s)
    deviation, within = (None, None) if maker is None else _against(maker, per_m3)
    return FlowPulses(
        per_m3=per_m3,
        deviation=deviation,
        probability_agrees=within,
        formula=_FORMULA,
        sources=_SOURCES if deviation is None else (*_SOURCES, _SOURCE_AGREES),
        warnings=(
            *flow_doubts(flow_m3_per_s),
            *_frequency_doubts(frequency_hz.value),
            *_unit_doubts(deviation),
        ),
    )


def _against(maker: MakerFigure, per_m3: Estimate) -> tuple[Estimate, float]:
    """Return the deviation from the maker's figure, and the probability that it is tolerated."""
    if not 0 < maker.per_m3 < math.inf:
        raise InputError(message("The maker's figure must be more than nothing."), field="maker")
    if not 0 < maker.tolerance < 1:
        raise InputError(
            message("The tolerance must be more than nothing and less than 100 %."),
            field="tolerance",
        )
    off = propagate(lambda found: found / maker.per_m3 - 1, per_m3)
    return off, probability_within(maker.tolerance, off)


def _frequency_doubts(frequency_hz: float) -> tuple[Message, ...]:
    if frequency_hz <= _FASTEST_HZ:
        return ()
    return (message("No flow sensor pulses that fast; look at the unit, Hz or kHz."),)


def _unit_doubts(deviation: Estimate | None) -> tuple[Message, ...]:
    if deviation is None or deviation.value <= -1:
        return ()
    ratio = deviation.value + 1
    return tuple(
        message(
            "The two figures are {times:.3g} times apart; look at the units, {units}.",
            times=max(ratio, 1 / ratio),
            units=units,
        )
        for factor, units in _ANOTHER_UNIT.items()
        if factor / _ABOUT <= max(ratio, 1 / ratio) <= factor * _ABOUT
    )


def _compute(inputs: Inputs) -> MeasurementOutcome:
    frequency = inputs.estimate(
        "frequency",
        inputs.relative(
            "frequency_accuracy", "frequency", "frequency_meter", message("accuracy of the count")
        ),
    )
    found = flow_pulses(frequency, flow_of(inputs), _maker(inputs))
    agrees = _agrees(found)
    return MeasurementOutcome(
        figures=_figures(found),
        says=(_DOUBTFUL,) if found.warnings else _says(frequency.value, agrees),
        formula=found.formula,
        sources=found.sources,
        warnings=found.warnings,
        words={} if agrees is None else {"agrees": agrees.value},
    )


def _agrees(found: FlowPulses) -> Telling | None:
    if found.probability_agrees is None:
        return None
    return Telling.CANNOT_TELL if found.warnings else telling(found.probability_agrees)


def _maker(inputs: Inputs) -> MakerFigure | None:
    """Return the maker's figure; None where it was not entered."""
    figure = inputs.maybe("maker")
    if figure is None:
        return None
    per = {"litre": LITRE_M3, "gallon": GALLON_M3}.get(inputs.typed("maker_per"))
    if per is None:
        raise InputError(
            message("Say whether the maker's figure is a litre's or a US gallon's."),
            field="maker_per",
        )
    return MakerFigure(figure / per, inputs.si("tolerance"))


def _figures(found: FlowPulses) -> tuple[Figure, ...]:
    figures = [
        Figure(
            f"pulses_per_{unit}",
            label,
            None,
            propagate(lambda per_m3, volume=volume: per_m3 * volume, found.per_m3),
            decimals=1,
        )
        for unit, label, volume in (
            ("litre", message("Pulses a litre"), LITRE_M3),
            ("gallon", message("Pulses a US gallon"), GALLON_M3),
        )
    ]
    if found.deviation is not None and found.probability_agrees is not None:
        figures += [
            Figure(
                "deviation",
                message("Off the maker's figure by"),
                QuantityKind.FRACTION,
                found.deviation,
            ),
            probability_figure(
                "probability_agrees",
                message("Probability that it agrees"),
                found.probability_agrees,
            ),
        ]
    return tuple(figures)


def _says(frequency_hz: float, agrees: Telling | None) -> tuple[Message, ...]:
    if frequency_hz == 0:
        return (_NO_PULSES,)
    return (_GIVES_PULSES if agrees is None else _AGREES[agrees],)


_FORMULA = "K = f / Q, in proportion through zero"
_SOURCES = (told_source("K factor, pulses a volume: ISO 11631", from_memory=True),)
_SOURCE_AGREES = message("JCGM 106:2012, 7.4: probability between two limits")
_DOUBTFUL = message("The figures are doubtful; see the warnings before anything rests on them.")
_NO_PULSES = message(
    "No pulses while water runs: the element stands still, the sensor has no supply, or it is dead."
    " Measure its supply first."
)
_GIVES_PULSES = message("The sensor gives pulses while water runs.")
_AGREES = {
    Telling.YES: message("The pulses agree with the maker's figure, within the tolerance."),
    Telling.NO: message(
        "The pulses do not agree with the maker's figure: look whether the element drags, whether"
        " all of the measured water went through it, and whether the figure is that of this model."
    ),
    Telling.CANNOT_TELL: message(
        "Whether the pulses agree with the maker's figure cannot be told; measure the flow better."
    ),
}

PULSES = Measurement(
    kind="pulses",
    label=message("Pulses of the flow sensor"),
    help=message(
        "How many pulses the flow sensor gives a litre, at the measured flow. It is read live, at"
        " the connector, with a meter that counts: mains voltage is near, so it is for a person"
        " qualified to meter live parts. A Hall sensor or any other electronic element is never"
        " tested by resistance. The maker's instructions, local codes and the licensed person come"
        " first."
    ),
    entries=(
        MeasurementEntry(
            "frequency",
            message("Frequency of the pulses"),
            QuantityKind.FREQUENCY,
            required=True,
            taken_from="pulse_rate",
        ),
        FLOW,
        MeasurementEntry("maker", message("The maker's figure, pulses")),
        MeasurementEntry(
            "maker_per",
            message("That is for each"),
            choices=(("litre", message("litre")), ("gallon", message("US gallon"))),
        ),
        MeasurementEntry(
            "tolerance",
            message("Agrees within, either way, as a share"),
            QuantityKind.FRACTION,
            default="pulse_tolerance",
            belongs_to="maker",
            detail=True,
        ),
        FLOW_ACCURACY,
        MeasurementEntry(
            "frequency_accuracy",
            message("Accuracy of the frequency, either way, as a share"),
            QuantityKind.FRACTION,
            default="frequency_accuracy",
            accuracy_of=("frequency",),
            detail=True,
        ),
    ),
    compute=_compute,
    cautions=("live_parts", "no_ohms_on_electronics", "deferral"),
)
