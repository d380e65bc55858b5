"""What the record shows of one place: its people and appliances, now and before, and its visits."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the counter needs none of these to stand
    from desk.records.snapshots import ApplianceLine
    from desk.records.views import ApplianceCard, HistoryLine, PremisesCard

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

    ``kind`` is ``customer``, ``premises`` or ``appliance``; ``set_id`` the deed that did it.
    """

    set_id: uuid.UUID
    kind: str
    name: str
    into: str
    at: datetime
