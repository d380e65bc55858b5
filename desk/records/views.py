"""What the windows show: frozen values beside those that paper prints (`records.snapshots`)."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the counter needs none of these to stand
    from desk.records.charges import ChargingView
    from desk.records.orders import OrderLine
    from desk.records.place_views import PlaceView
    from desk.records.places import ApplianceDetails
    from desk.records.shop import ContainerCard
    from desk.records.snapshots import (
        ApplianceLine,
        CustomerLine,
        Letterhead,
        PremisesLine,
        VisitReport,
    )
    from desk.records.stopping import Stop
    from desk.trade.checklist import Walk
    from desk.trade.content import Checklist
    from desk.trade.contradictions import Contradiction
    from desk.trade.mending import MendNow
    from desk.trade.priors import Learnt
    from desk.trade.suspects import Suggestion, Suspect
    from desk.trade.visit_length import UsualLength


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

    ``address`` is street, town, region, post code. ``until`` is the day on which the customer's
    tie to them ended.
    """

    premises_id: uuid.UUID
    line: PremisesLine
    address: tuple[str, str, str, str]
    role: str
    appliances: tuple[ApplianceCard, ...]
    until: date | None = None


@dataclass(frozen=True, slots=True)
class RecordView:
    """The record that is open at the counter; ``address`` is street, town, region, post code.

    ``history`` is the newest visits, ``more`` whether older ones follow. ``former`` are premises
    whose tie has ended, ``joined`` the names under which the customer was entered besides, and
    ``at`` the place that is opened.
    """

    customer_id: uuid.UUID
    customer: CustomerLine
    address: tuple[str, str, str, str]
    note: str
    premises: tuple[PremisesCard, ...]
    history: tuple[HistoryLine, ...]
    letterhead: Letterhead
    more: bool = False
    former: tuple[PremisesCard, ...] = ()
    joined: tuple[str, ...] = ()
    at: PlaceView | None = None


@dataclass(frozen=True, slots=True)
class Found:
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


@dataclass(frozen=True, slots=True)
class Overlap:
    """A visit for which the same technician is wanted at the same time.

    ``who`` is the customer, where the list does not show that visit anyway.
    """

    number: str
    start: datetime
    end: datetime
    who: str = ""


@dataclass(frozen=True, slots=True)
class BookingReadBack:
    """What a booking would come to: how long it is for, and what it overlaps.

    ``usual`` tells what the length rests on; None where it was typed, or the visit had it before.
    """

    minutes: int
    usual: UsualLength | None
    overlaps: tuple[Overlap, ...]


@dataclass(frozen=True, slots=True)
class DayVisit:
    """A visit in a day list.

    ``continues`` is the number of the earlier visit that this one goes on with; ``days_since``
    is set where it repeats a finished one instead. ``danger_open``: as of a `HistoryLine`.
    """

    visit_id: uuid.UUID
    number: str
    state: str
    ending: str
    booked_for: datetime | None
    minutes: int | None
    technician_id: uuid.UUID | None
    customer_id: uuid.UUID | None
    who: str
    where: str
    complaint_text: str
    words: str
    days_since: int | None
    continues: str = ""
    overlaps: tuple[Overlap, ...] = ()
    danger_open: bool = False


@dataclass(frozen=True, slots=True)
class TechnicianDay:
    """One technician's visits of a day, or of a week, in order of time."""

    technician_id: uuid.UUID
    name: str
    visits: tuple[DayVisit, ...]


@dataclass(frozen=True, slots=True)
class DayList:
    """A day, or the week around it: visits by technician, and the calls that have no time yet.

    ``first`` and ``last`` are the days that are listed; ``counts`` gives how many visits are
    booked on each day of the strip around them.
    """

    day: date
    first: date
    last: date
    today: date
    zone: str
    technicians: tuple[TechnicianDay, ...]
    without_time: tuple[DayVisit, ...]
    counts: tuple[tuple[date, int], ...]


@dataclass(frozen=True, slots=True)
class PersonCard:
    """Somebody of the shop, with the licensed work that person may do."""

    person_id: uuid.UUID
    name: str
    phone: str
    is_technician: bool
    licence_class: str
    licence_number: str
    may_plumbing: bool
    may_electrical: bool
    may_gas: bool


@dataclass(frozen=True, slots=True)
class PartCard:
    """A part of the catalogue with its stock: on the shelf and in each technician's van."""

    part_id: uuid.UUID
    number: str
    name: str
    price_cents: int | None
    keep_at_least: int
    shelf: int
    vans: tuple[tuple[str, int], ...]


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
