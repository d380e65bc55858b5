"""A dry contact: open at rest, closed when it is actuated, by its resistance.

A Hall sensor or any other electronic element is never tested by resistance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.electrical.ohmmeter import (
    METER_ACCURACY,
    OPEN,
    OPEN_CIRCUIT,
    VALUE,
    resistance_read,
)
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, propagate, telling
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
    probability_figure,
    read_as,
)
from desk.trade.quantities.units import QuantityKind


class ContactState(StrEnum):
    """What a contact does."""

    WORKS = "works"
    NEVER_CLOSES = "never_closes"
    CLOSES_BADLY = "closes_badly"
    STUCK_CLOSED = "stuck_closed"
    OPENS_BADLY = "opens_badly"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class ContactLimits:
    """From which resistance a contact counts as open, and to which as closed, ohm."""

    closed_to_ohm: float
    open_from_ohm: float


@dataclass(frozen=True, slots=True)
class Contact:
    """What a contact's two resistances tell.

    Attributes:
        at_rest_ohm: at rest, the leads taken off; infinite for an open circuit.
        actuated_ohm: actuated, likewise.
        probability_opens: probability that it is open at rest.
        probability_closes: probability that it is closed when actuated.
        state: what it does, as far as can be told.
        formula: how this came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    at_rest_ohm: Estimate
    actuated_ohm: Estimate
    probability_opens: float
    probability_closes: float
    state: ContactState
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def contact(
    at_rest_ohm: Estimate, actuated_ohm: Estimate, leads_ohm: Estimate, limits: ContactLimits
) -> Contact:
    """Tell whether a contact does what it should.

    Args:
        at_rest_ohm: what the meter showed at rest, ohm; `OPEN_CIRCUIT` where it showed none.
        actuated_ohm: what it showed with the contact actuated, ohm, likewise.
        leads_ohm: what it showed with its probes held together, ohm.
        limits: from where it counts as open or closed.

    Raises:
        InputError: a resistance is negative or no number, or the limits are crossed.

    Source:
        Limits: common practice, no source. Probability against them: JCGM 106:2012, 7.2 and 7.3.
    """
    for field, read in (("open_resistance", at_rest_ohm), ("actuated_resistance", actuated_ohm)):
        if not read.value >= 0:
            raise InputError(message("A resistance must not be negative."), field=field)
    if not 0 < limits.closed_to_ohm < limits.open_from_ohm:
        raise InputError(
            message("A contact must count as open from more resistance than as closed."),
            field="closed_to",
        )
    at_rest, actuated = _net(at_rest_ohm, leads_ohm), _net(actuated_ohm, leads_ohm)
    return Contact(
        at_rest_ohm=at_rest,
        actuated_ohm=actuated,
        probability_opens=probability_over(limits.open_from_ohm, at_rest),
        probability_closes=1 - probability_over(limits.closed_to_ohm, actuated),
        state=_state(at_rest, actuated, limits),
        formula=_FORMULA,
        sources=_SOURCES,
        warnings=_doubts(at_rest, actuated, limits),
    )


def _net(read_ohm: Estimate, leads_ohm: Estimate) -> Estimate:
    if math.isinf(read_ohm.value):
        return OPEN_CIRCUIT
    return propagate(lambda read, leads: read - leads, read_ohm, leads_ohm)


def _state(at_rest: Estimate, actuated: Estimate, limits: ContactLimits) -> ContactState:
    opens = telling(probability_over(limits.open_from_ohm, at_rest))
    closes = telling(1 - probability_over(limits.closed_to_ohm, actuated))
    if opens is Telling.NO:
        conducts = telling(probability_over(limits.closed_to_ohm, at_rest)) is Telling.NO
        return ContactState.STUCK_CLOSED if conducts else ContactState.OPENS_BADLY
    if closes is Telling.NO:
        apart = telling(probability_over(limits.open_from_ohm, actuated)) is Telling.YES
        return ContactState.NEVER_CLOSES if apart else ContactState.CLOSES_BADLY
    both = opens is Telling.YES and closes is Telling.YES
    return ContactState.WORKS if both else ContactState.CANNOT_TELL


def _doubts(at_rest: Estimate, actuated: Estimate, limits: ContactLimits) -> tuple[Message, ...]:
    doubts = []
    if min(each.value + each.expanded_uncertainty for each in (at_rest, actuated)) < 0:
        doubts.append(_BELOW_LEADS)
    conducts_at_rest = probability_over(limits.closed_to_ohm, at_rest)
    conducts_actuated = probability_over(limits.closed_to_ohm, actuated)
    if telling(conducts_at_rest) is Telling.NO and telling(conducts_actuated) is Telling.YES:
        doubts.append(_SWAPPED)
    return tuple(doubts)


def _compute(inputs: Inputs) -> MeasurementOutcome:
    found = contact(
        _read(inputs, "open_reads", "open_resistance"),
        _read(inputs, "actuated_reads", "actuated_resistance"),
        inputs.estimate(
            "lead_resistance",
            inputs.rectangular("lead_accuracy", "leads", message("leads and touch of the probes")),
        ),
        ContactLimits(inputs.si("closed_to"), inputs.si("open_from")),
    )
    return MeasurementOutcome(
        figures=_figures(found),
        says=(_DOUBTFUL,) if found.warnings else _SAYS[found.state],
        formula=found.formula,
        sources=found.sources,
        warnings=found.warnings,
        words={"contact": (ContactState.CANNOT_TELL if found.warnings else found.state).value},
    )


def _read(inputs: Inputs, reads: str, resistance: str) -> Estimate:
    own = message("last digit of the meter")
    return resistance_read(
        inputs,
        reads,
        resistance,
        inputs.rectangular("meter_resolution", f"{resistance}_resolution", own),
        missing=InputError(
            message("Enter this: {what}.", what=CONTACT.entry(resistance).label),
            field=resistance if inputs.typed(reads) else reads,
        ),
    )


def _figures(found: Contact) -> tuple[Figure, ...]:
    resistances = (
        Figure(
            "actuated_resistance",
            message("Resistance of the contact, actuated"),
            QuantityKind.RESISTANCE,
            found.actuated_ohm,
        ),
        Figure(
            "open_resistance",
            message("Resistance of the contact, at rest"),
            QuantityKind.RESISTANCE,
            found.at_rest_ohm,
        ),
    )
    return (
        *(figure for figure in resistances if math.isfinite(figure.estimate.value)),
        probability_figure(
            "probability_closes", message("Probability that it closes"), found.probability_closes
        ),
        probability_figure(
            "probability_opens", message("Probability that it opens"), found.probability_opens
        ),
    )


_FORMULA = "R = R(read) - R(leads); open at rest: R above its limit; closed: R up to its limit"
_SOURCES = (
    message("open at rest, under about 2 ohm when actuated: common practice, no source"),
    message("JCGM 106:2012, 7.3: probability against a limit"),
)
_BELOW_LEADS = message(
    "The meter showed less than its leads alone; hold the probes together and read that again."
)
_SWAPPED = message(
    "It conducts at rest and not when actuated; look whether the two readings were swapped, or"
    " whether the contact is one that opens when actuated."
)
_DOUBTFUL = message("The readings are doubtful; see the warning before anything rests on them.")
_SAYS = {
    ContactState.WORKS: (message("The contact works: open at rest, closed when actuated."),),
    ContactState.NEVER_CLOSES: (
        message("The contact never closes: the appliance is not told that water runs."),
        message("Before it is replaced, look whether it was really actuated, and at its wires."),
    ),
    ContactState.CLOSES_BADLY: (
        message("The contact closes badly: too much resistance is left when it is actuated."),
        message("Clean its connector and read again before it is replaced."),
    ),
    ContactState.STUCK_CLOSED: (
        message("The contact is stuck closed: a draw is seen with every tap shut."),
        message("Look first whether something holds the float or the magnet."),
    ),
    ContactState.OPENS_BADLY: (
        message("The contact does not open fully: it conducts a little at rest."),
        message("Look for moisture, and read it unplugged, with nothing else on its wires."),
    ),
    ContactState.CANNOT_TELL: (
        message("Whether the contact works cannot be told with this meter; read again."),
    ),
}


_READS = (OPEN, VALUE)

CONTACT = Measurement(
    kind="contact",
    label=message("Contact of the flow switch"),
    help=message(
        "Whether a dry contact, such as a reed switch, opens and closes. Mains voltage is near:"
        " switch off, lock out, prove dead, unplug the contact, then read it at rest and actuated"
        " by its own means. A Hall sensor or any other electronic element is never tested by"
        " resistance: measure its supply and its signal. The maker's instructions, local codes and"
        " the licensed person come first."
    ),
    entries=(
        MeasurementEntry(
            "open_reads", message("At rest the meter shows"), choices=_READS, spelt=read_as
        ),
        MeasurementEntry(
            "open_resistance",
            message("Resistance at rest"),
            QuantityKind.RESISTANCE,
            may_be_open=True,
        ),
        MeasurementEntry(
            "actuated_reads", message("Actuated the meter shows"), choices=_READS, spelt=read_as
        ),
        MeasurementEntry(
            "actuated_resistance",
            message("Resistance when actuated"),
            QuantityKind.RESISTANCE,
            taken_from="contact_resistance",
            may_be_open=True,
        ),
        MeasurementEntry(
            "lead_resistance",
            message("Resistance with the probes held together"),
            QuantityKind.RESISTANCE,
            default="lead_resistance",
            detail=True,
        ),
        MeasurementEntry(
            "closed_to",
            message("Counts as closed up to"),
            QuantityKind.RESISTANCE,
            default="contact_closed_to",
            detail=True,
        ),
        MeasurementEntry(
            "open_from",
            message("Counts as open from"),
            QuantityKind.RESISTANCE,
            default="contact_open_from",
            detail=True,
        ),
        MeasurementEntry(
            "lead_accuracy",
            message("How well the leads are known, either way"),
            QuantityKind.RESISTANCE,
            default="lead_resistance_accuracy",
            detail=True,
        ),
        METER_ACCURACY,
        MeasurementEntry(
            "meter_resolution",
            message("How close the meter can be read, either way"),
            QuantityKind.RESISTANCE,
            default="ohmmeter_resolution",
            detail=True,
        ),
    ),
    compute=_compute,
    cautions=("live_parts", "no_ohms_on_electronics", "by_hand", "never_bridge", "deferral"),
)
