"""An appliance over its life, as its history is printed: frozen, newest visit first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from desk.base.texts import Message
from desk.records.views.parties import ApplianceLine, Letterhead, PremisesLine
from desk.records.views.report import PartLine


@dataclass(frozen=True, slots=True)
class LifeFlow:
    """A flow that was measured, in m3/s; half of its 95 % interval is None where nobody can say."""

    when: Literal["found", "left"]
    outlet: str
    flow_m3_per_s: float
    expanded_uncertainty_m3_per_s: float | None
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class LifeTemperature:
    """A temperature that was read, in K, with its standard uncertainty."""

    when: Literal["found", "left"]
    label: Message
    kelvin: float
    standard_uncertainty_k: float


@dataclass(frozen=True, slots=True)
class LifeVisit:
    """A visit to the appliance; ``repeats`` and ``days_since`` tell which finished one it repeats.

    ``day`` is when it began, was booked for or was called in; ``complaint`` is "" for planned
    service; ``causes`` are in words.
    """

    number: str
    state: str
    ending: str
    day: date
    complaint: str
    complaint_text: str
    words: str
    who: str
    technician: str
    continues: str
    repeats: str
    days_since: int | None
    under_warranty: bool
    causes: tuple[str, ...]
    work_done: str
    left_state: str
    warranty_claim: str
    called_off_reason: str
    parts: tuple[PartLine, ...] = ()
    flows: tuple[LifeFlow, ...] = ()
    temperatures: tuple[LifeTemperature, ...] = ()


@dataclass(frozen=True, slots=True)
class LifeTie:
    """Who owned, lived in or managed the premises; open where ``until`` is None."""

    name: str
    role: str
    since: date | None
    until: date | None


@dataclass(frozen=True, slots=True)
class ChainLink:
    """One of the appliances that stood in the same place one after the other.

    ``until`` is the day on which it was replaced, None where that is not known or has not come.
    """

    number: str
    name: str
    installed: date | None
    until: date | None
    is_this: bool


@dataclass(frozen=True, slots=True)
class LifeTotals:
    """How many visits were made, of which came back; how many are to come or were called off."""

    visits: int
    planned: int
    repeats: int
    open: int
    called_off: int
    pieces: int
    flows: int


@dataclass(frozen=True, slots=True)
class ApplianceHistory:
    """Everything that an appliance's history prints.

    ``joined`` are the numbers under which it was entered besides, ``ties`` who owned or lived in
    its premises, those of now first. ``chain`` is empty where it replaced nothing and was not
    replaced. ``activation_m3_per_s`` is what its flows are held against; ``withdrawn_on`` is set
    where it was taken out of use.
    """

    letterhead: Letterhead
    appliance: ApplianceLine
    note: str
    premises: PremisesLine
    joined: tuple[str, ...]
    ties: tuple[LifeTie, ...]
    chain: tuple[ChainLink, ...]
    withdrawn_on: date | None
    activation_m3_per_s: float | None
    visits: tuple[LifeVisit, ...]
    totals: LifeTotals
