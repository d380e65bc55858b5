"""What the sheet of a visit shows."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from desk.base.texts import Message, message

if TYPE_CHECKING:
    from desk.records.views.customer_record import HistoryLine
    from desk.records.views.report import VisitReport
    from desk.records.views.shop import ContainerCard, OrderLine
    from desk.trade.content.checklist import Checklist
    from desk.trade.diagnosis.contradictions import Contradiction
    from desk.trade.diagnosis.posterior import Suggestion, Suspect
    from desk.trade.diagnosis.priors import Learnt
    from desk.trade.diagnosis.stop_and_leave import StopKind
    from desk.trade.diagnosis.stop_rule import MendNow
    from desk.trade.diagnosis.walk import Walk


@dataclass(frozen=True, slots=True)
class KnownCover:
    """What is known of an appliance's cover before the check is answered on a visit.

    ``cover`` is the answer that it comes to, ``visit`` the number of the visit that found it, ""
    where the record alone says it. ``other`` is the number of another appliance of the same maker
    and model of which it is known, "" where it is this one's own.
    """

    cover: str
    visit: str
    other: str = ""


@dataclass(frozen=True, slots=True)
class VisitSheet:
    """Everything that the visit sheet shows.

    ``report`` is what the report would print now; ``flow_ids``, ``reading_ids`` and ``part_ids``
    are the keys of its flows, readings and parts in the same order, ``card_ids`` those of its
    measurements, ``flow_circumstances`` what is said to hold for each flow. ``walk``,
    ``checklist`` and ``learnt`` are None before the visit has begun. ``half_typed`` is what stood
    typed on the sheet and was not handed in, by the field's name. ``minutes_to_end`` is what the
    list is expected to take still, ``continued_by`` the number of the visit that goes on with it,
    ``containers`` those of the shop, ``orders`` the parts that it has asked for,
    ``photograph_ids`` the keys of the report's photographs, ``charging`` how the visit is charged,
    None where the shop charges nothing on reports; ``danger_open`` as of a `HistoryLine`, ``stop``
    what makes everybody leave, ``known_cover`` what is known of the cover, where that is asked;
    ``begun_before``: whoever works on it was not told yet that the safety rules are younger,
    ``ended_at_arrival``: the clock was set back meanwhile, and how long the work took is not known.
    """

    visit_id: uuid.UUID
    technician_id: uuid.UUID | None
    report: VisitReport
    checklist: Checklist | None
    walk: Walk | None
    suspects: tuple[Suspect, ...]
    suggestion: Suggestion | None
    acknowledged: frozenset[str]
    flow_ids: tuple[uuid.UUID, ...]
    flow_circumstances: tuple[frozenset[str], ...]
    reading_ids: tuple[uuid.UUID, ...]
    card_ids: tuple[uuid.UUID, ...]
    part_ids: tuple[uuid.UUID, ...]
    van: tuple[tuple[str, str, int], ...]
    history: tuple[HistoryLine, ...]
    can_undo: str
    can_redo: str
    sealed_fingerprint: str
    sealed_at: datetime | None
    half_typed: Mapping[str, str] = field(default_factory=dict)
    learnt: Learnt | None = None
    mend_now: MendNow | None = None
    contradiction: Contradiction | None = None
    minutes_to_end: float = 0.0
    continued_by: str = ""
    containers: tuple[ContainerCard, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    photograph_ids: tuple[uuid.UUID, ...] = ()
    charging: ChargingView | None = None
    danger_open: bool = False
    stop: Stop | None = None
    known_cover: KnownCover | None = None
    begun_before: bool = False
    ended_at_arrival: bool = False


@dataclass(frozen=True, slots=True)
class ChargingView:
    """How a visit is charged, as its sheet shows it.

    Attributes:
        is_charged: it is; nothing else can be changed where it is not.
        has_labour: labour is charged by time.
        has_call_out: there is a call-out charge.
        has_tax: there is a tax, of which a line can be free.
        minutes: of labour as typed, "" where the visit's own times hold.
        own_minutes: from arriving to finishing; None while the work is not finished.
        call_out: the call-out charge is asked for.
        further_ids: the keys of the further lines in their order.
    """

    is_charged: bool
    has_labour: bool
    has_call_out: bool
    has_tax: bool
    minutes: str
    own_minutes: int | None
    call_out: bool
    further_ids: tuple[uuid.UUID, ...]


@dataclass(frozen=True, slots=True)
class Stop:
    """What the page says that takes the whole sheet; a number that nobody gave is "".

    ``holds``: nobody has said yet that they are out. ``found`` is a key of
    `desk.trade.diagnosis.stop_and_leave.FINDINGS`.
    """

    holds: bool
    kind: StopKind
    found: str
    emergency: str
    gas_supplier: str
    shop: str


WRITTEN_DOWN = frozenset(
    {
        "allowed_by",
        "advice",
        "advice_refused",
        "internal_note",
        "left_state",
        "next_step",
        "permit",
        "referred_to",
        "warranty_claim",
        "unproven_co_in_room",
        "unproven_outlet_temperature",
        "unproven_relief_valve",
        "unproven_tightness",
        "work_done",
    }
)
"""Fields of a visit that a technician writes freely until it is sealed."""


OPEN_ENDINGS = frozenset({"no_fault_found", "to_continue"})
"""Endings after which somebody has to come again."""


PHOTOGRAPH = "photograph"


KINDS: dict[str, Message] = {
    PHOTOGRAPH: message("Photograph"),
    "found": message("Before the work"),
    "left": message("After the work"),
    "nameplate": message("Nameplate"),
    "fault_code": message("Fault code"),
}


MOST_OF_A_VISIT = 100


@dataclass(frozen=True, slots=True)
class Shows:
    """What a photograph shows: one of :data:`KINDS`, and the check that it belongs to, if any."""

    kind: str = PHOTOGRAPH
    check: str = ""
