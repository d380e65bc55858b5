"""What the record of a customer, and of one place, shows: people, appliances and visits."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the counter needs none of these to stand
    from desk.records.fields.appliance_fields import ApplianceDetails
    from desk.records.fields.customer_fields import CustomerDetails
    from desk.records.fields.premises_fields import PremisesDetails
    from desk.records.views.parties import ApplianceLine, CustomerLine, Letterhead, PremisesLine

PAGE = 20
"""So many visits come at a time; more of them come when the list is scrolled to its end."""


@dataclass(frozen=True, slots=True)
class VisitPage:
    """Some visits, newest first; ``more`` tells whether older ones follow."""

    lines: tuple[HistoryLine, ...] = ()
    more: bool = False


@dataclass(frozen=True, slots=True)
class TieLine:
    """Who is or was owner, occupant or agent of premises; open where ``until`` is None."""

    tie_id: uuid.UUID
    customer_id: uuid.UUID
    name: str
    role: str
    since: date | None
    until: date | None


@dataclass(frozen=True, slots=True)
class GoneAppliance:
    """An appliance that stands there no longer, or that was entered twice.

    ``why`` is ``replaced``, ``joined`` or ``withdrawn``; ``by`` the number of what came in its
    place, or of the one that it is the same as.
    """

    appliance_id: uuid.UUID
    line: ApplianceLine
    why: str
    on: date | None
    by: str


@dataclass(frozen=True, slots=True)
class PlaceView:
    """Premises that are opened in a record.

    ``visits`` is None where the record's own visits are those of this place. ``joined`` says
    under which addresses it was entered besides.
    """

    card: PremisesCard
    ties: tuple[TieLine, ...]
    gone: tuple[GoneAppliance, ...]
    joined: tuple[str, ...] = ()
    visits: VisitPage | None = None

    @property
    def appliances(self) -> tuple[ApplianceCard, ...]:
        """The appliances that stand there now."""
        return self.card.appliances


@dataclass(frozen=True, slots=True)
class JoinView:
    """What comes over when a row is joined into another: how many of what."""

    phones: int = 0
    emails: int = 0
    premises: int = 0
    appliances: int = 0
    visits: int = 0


@dataclass(frozen=True, slots=True)
class WithdrawnLine:
    """Something that was withdrawn, or joined into what ``into`` names.

    ``kind`` is ``customer``, ``premises`` or ``appliance``; ``set_id`` the change set that did it.
    """

    set_id: uuid.UUID
    kind: str
    name: str
    into: str
    at: datetime


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One visit in a dated list, newest first; ``days_since`` is set where it repeats a job.

    ``flow_m3_per_s`` is the last measured flow, left before found; ``danger_open`` holds as long as
    nobody has written what became of a danger that was reported.
    """

    visit_id: uuid.UUID
    number: str
    day: date
    state: str
    ending: str
    appliance: str
    complaint: str
    complaint_text: str
    words: str
    cause: str
    parts: tuple[str, ...]
    flow_m3_per_s: float | None
    technician: str
    continues: str
    repeats: str
    days_since: int | None
    danger_open: bool = False


@dataclass(frozen=True, slots=True)
class ApplianceCard:
    """An appliance in a record, with its key, and its details as they were typed.

    ``replaces`` are the numbers of what stood in its place before.
    """

    appliance_id: uuid.UUID
    line: ApplianceLine
    details: ApplianceDetails
    replaces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PremisesCard:
    """Premises in a record, with the appliances that stand there now.

    ``until`` is the day on which the customer's tie to them ended.
    """

    premises_id: uuid.UUID
    line: PremisesLine
    details: PremisesDetails
    role: str
    appliances: tuple[ApplianceCard, ...]
    until: date | None = None


@dataclass(frozen=True, slots=True)
class RecordView:
    """The record that is open at the counter.

    ``history`` is the newest visits, ``more`` whether older ones follow. ``former`` are premises
    whose tie has ended, ``joined`` the names under which the customer was entered besides, and
    ``at`` the place that is opened.
    """

    customer_id: uuid.UUID
    customer: CustomerLine
    details: CustomerDetails
    premises: tuple[PremisesCard, ...]
    history: tuple[HistoryLine, ...]
    letterhead: Letterhead
    more: bool = False
    former: tuple[PremisesCard, ...] = ()
    joined: tuple[str, ...] = ()
    at: PlaceView | None = None


@dataclass(frozen=True, slots=True)
class SearchHit:
    """One hit of a search.

    ``kind`` is ``customer``, ``premises``, ``appliance`` or ``visit``; ``customer_id`` is the
    record that opens on it, None where it has none yet.
    ``near``: not what was typed, but so like it that it may have been meant.
    """

    kind: str
    key: uuid.UUID
    customer_id: uuid.UUID | None
    title: str
    detail: str
    near: bool = False
