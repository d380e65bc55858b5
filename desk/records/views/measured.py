"""What was measured on a visit, as sheet and report show it: as typed, and in SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from desk.base.texts import Message


@dataclass(frozen=True, slots=True)
class FillLine:
    """One timed fill; a struck fill is kept, shown struck out and not computed with."""

    number: int
    typed: str
    seconds: float
    mass_kg: float | None
    mass_typed: str
    struck: bool
    struck_reason: str


@dataclass(frozen=True, slots=True)
class FlowLine:
    """A measured flow with its uncertainty and what it says; flows in m3/s.

    ``verdict`` is ``enough``, ``too_little`` (either with ``_at_outlet`` behind it where it holds
    for the outlet and not for the appliance) or ``cannot_tell``; result
    fields are None while there is no fill to compute from.
    """

    when: Literal["found", "left"]
    outlet: str
    method: Literal["volume", "weight"]
    container_typed: str
    graduation_typed: str
    timing_typed: str
    fills: tuple[FillLine, ...]
    flow_m3_per_s: float | None
    standard_uncertainty_m3_per_s: float | None
    expanded_uncertainty_m3_per_s: float | None
    coverage_factor: float | None
    degrees_of_freedom: float | None
    activation_m3_per_s: float | None
    activation_typed: str
    probability_reached: float | None
    verdict: str
    verdict_text: Message | None
    settle: tuple[Message, ...]
    warnings: tuple[Message, ...]
    formula: str
    sources: tuple[str, ...]
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """Any other reading: what was typed, and its SI value where it has one.

    ``remarks`` say what it means where that has to be said; ``safe`` is ``yes``, ``no`` or
    ``cannot_tell`` of a temperature at a tap, "" of any other reading.
    """

    when: Literal["found", "left"]
    kind: str
    label: Message
    typed: str
    si_value: float | None
    quantity: str
    standard_uncertainty_si: float | None
    instrument: str
    calibrated_until: date | None
    note: str
    taken_at: datetime
    remarks: tuple[Message, ...] = ()
    safe: str = ""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One thing that went into a measurement: typed for it, or taken over from elsewhere.

    ``si_value`` is None for a choice, whose words stand in ``typed`` and whose id in ``chosen``.
    """

    name: str
    label: Message
    typed: str
    chosen: str
    taken_over: bool
    quantity: str
    si_value: float | None


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One number that a measurement comes to, in SI; ``quantity`` is "" for a plain number.

    ``degrees_of_freedom`` is None where nothing limited them; ``detail`` is for the appendix.
    """

    name: str
    label: Message
    quantity: str
    si_value: float
    standard_uncertainty_si: float
    expanded_uncertainty_si: float
    degrees_of_freedom: float | None
    decimals: int
    detail: bool


@dataclass(frozen=True, slots=True)
class MeasurementLine:
    """A computed measurement: what went in, what it comes to, and how.

    ``missing`` says what still has to be entered before there is a result; "" where there is one.
    """

    when: Literal["found", "left"]
    kind: str
    label: Message
    entries: tuple[EntryLine, ...]
    figures: tuple[FigureLine, ...]
    says: tuple[Message, ...]
    notes: tuple[Message, ...]
    warnings: tuple[Message, ...]
    missing: str
    formula: str
    sources: tuple[str, ...]
    instrument: str
    calibrated_until: date | None
    note: str
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """What came of the work for one quantity, by the uncertainty of the difference.

    ``trend`` is ``improved``, ``no_change`` or ``worse``; ``difference_si`` is after less before.
    """

    kind: str
    figure: str
    outlet: str
    label: Message
    quantity: str
    trend: str
    sentence: Message
    difference_si: float
    expanded_uncertainty_si: float


CIRCUMSTANCES = ("full_hot", "no_mixing_valve", "crossing_passed", "others_shut", "vouched")


@dataclass(frozen=True, slots=True)
class FlowSetup:
    """How a flow is measured, as typed; None of a circumstance means that nobody said.

    Attributes:
        container: volume at the mark; "" where each fill is weighed.
        graduation: distance between marks, half of which is the half-width.
        timing: half-width of start plus stop; what the shop goes by unless given.
        scale: half-width of the scale, where fills are weighed.
        water_temperature: of the weighed water.
        activation: the appliance's activation flow; its own record's, or the usual one, unless
            given.
    """

    container: str = ""
    graduation: str = ""
    timing: str = ""
    scale: str = ""
    water_temperature: str = ""
    activation: str = ""
    activation_accuracy: str = ""
    outlet: str = ""
    full_hot: bool | None = None
    no_mixing_valve: bool | None = None
    crossing_passed: bool | None = None
    others_shut: bool | None = None
    vouched: bool | None = None


@dataclass(frozen=True, slots=True)
class TakenWith:
    """What a reading was taken with, and what is to be said about it."""

    instrument: str = ""
    calibrated_until: date | None = None
    note: str = ""
