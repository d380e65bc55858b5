"""Calls, customers, premises, appliances, people and parts as they are entered and mended."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar, Self

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions.counter import Slot
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.histories import record
from desk.records.histories.place import place_of
from desk.records.journal import drafts
from desk.records.journal.field_values import change
from desk.records.journal.row_access import row_of
from desk.records.office.protocol import CommandKind, QueryKind
from desk.records.parties import customers, places
from desk.records.planning import reported_danger
from desk.records.stock import parts
from desk.records.tables import Appliance, Changeable, Customer, Part, Person, Premises, Visit
from desk.records.views.call import NewCaller
from desk.records.views.customer_record import PremisesCard, RecordView
from desk.records.views.drafts import on_call
from desk.records.visits import lifecycle
from desk.records.visits.call_intake import enter_caller, is_tied

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


@dataclass(frozen=True, slots=True)
class CallTaken:
    """The keys that a call has after it was taken."""

    visit_id: uuid.UUID
    number: str
    customer_id: uuid.UUID | None


@dataclass(frozen=True, slots=True)
class CallSoFar:
    """A call as far as it was told: what is written down, and what stands typed beside it.

    ``record`` is the caller's, where the call is half told and they are in the records; ``place``
    are the premises called about where the caller is not tied to them. ``danger_open``: nobody has
    written what became of a danger that was reported.
    """

    call: CallDetails
    typed: Mapping[str, str]
    record: RecordView | None
    place: PremisesCard | None = None
    danger_open: bool = False


@dataclass(frozen=True, slots=True)
class TakeCall:
    """Write down a call; a caller who is new and the booking are entered in the same command.

    Attributes:
        call: what was told.
        new_caller: who has to be entered with it.
        slot: when we come.
        typed_at: the place where more stands typed; from now on it belongs to this call.
        is_all: nothing is left to be told.
    """

    call: CallDetails
    new_caller: NewCaller | None = None
    slot: Slot | None = None
    typed_at: str = ""
    is_all: bool = False
    what: ClassVar[Message] = message("Call taken")

    def run(self, session: Session) -> CallTaken:
        """Return the keys of the call."""
        call = enter_caller(session, self.call, self.new_caller)
        visit_id = lifecycle.take_call(session, call)
        session.flush()  # the number is read back
        if self.is_all:
            drafts.settle(session, self.typed_at)
        else:
            drafts.move(session, self.typed_at, on_call(visit_id))
        return _as_taken(session, visit_id, call, self.slot)


@dataclass(frozen=True, slots=True)
class MendCall:
    """Change a call that was written down; a new caller and the booking go with it."""

    visit_id: uuid.UUID
    call: CallDetails
    new_caller: NewCaller | None = None
    slot: Slot | None = None
    is_all: bool = False
    what: ClassVar[Message] = message("Call changed")

    def run(self, session: Session) -> CallTaken:
        """Return the keys of the call."""
        call = enter_caller(session, self.call, self.new_caller)
        lifecycle.change_call(session, self.visit_id, call)
        if self.is_all:
            drafts.settle(session, on_call(self.visit_id))
        return _as_taken(session, self.visit_id, call, self.slot)


def _as_taken(
    session: Session, visit_id: uuid.UUID, call: CallDetails, slot: Slot | None
) -> CallTaken:
    """Book a call where its time is known, and return its keys."""
    if slot is not None:
        lifecycle.book(
            session,
            visit_id,
            start=slot.start,
            technician_id=slot.technician_id,
            minutes=slot.minutes,
        )
    return CallTaken(visit_id, row_of(session, Visit, visit_id).number, call.customer_id)


@dataclass(frozen=True, slots=True)
class _Mend:
    """Change a row by everything on its form, or by some of its fields by their names.

    Attributes:
        key: of the row.
        details: what its form hands in.
        shown: the same command, made from what the form showed.
        table: of the row.
        kind: its table of fields.
    """

    key: uuid.UUID
    details: DataclassInstance | Mapping[str, object] = field(default_factory=dict)
    shown: Self | None = None
    table: ClassVar[type[Changeable]]
    kind: ClassVar[type[DataclassInstance]]

    def run(self, session: Session) -> object:
        """Change it."""
        shown = self.shown.details if self.shown else None
        change(session, self.kind, row_of(session, self.table, self.key), self.details, shown)
        return None


@dataclass(frozen=True, slots=True)
class MendCustomer(_Mend):
    """Change a customer; a phone or an e-mail is added."""

    add_phone: str = ""
    add_email: str = ""
    table, kind = Customer, CustomerDetails
    what: ClassVar[Message] = message("Customer changed")

    def run(self, session: Session) -> RecordView:
        """Return the record."""
        _Mend.run(self, session)
        customers.add_phone(session, self.key, self.add_phone)
        customers.add_email(session, self.key, self.add_email)
        session.flush()  # the record is read back
        return record.record_of(session, self.key)


class MendPremises(_Mend):
    """Change premises."""

    table, kind = Premises, PremisesDetails
    what = message("Premises changed")


class MendAppliance(_Mend):
    """Change an appliance."""

    table, kind = Appliance, ApplianceDetails
    what = message("Appliance changed")


class MendPerson(_Mend):
    """Change somebody of the shop."""

    table, kind = Person, PersonDetails
    what = message("Person changed")


class MendPart(_Mend):
    """Change a part of the catalogue; its number stays."""

    table, kind = Part, PartDetails
    what = message("Part changed")


def _call(session: Session, visit_id: uuid.UUID) -> CallSoFar:
    """Return what was written down of a call, to go on with it."""
    call = lifecycle.call_of(session, visit_id)
    typed = drafts.typed_at(session, on_call(visit_id))
    known = record.record_of(session, call.customer_id) if typed and call.customer_id else None
    place = None
    if call.premises_id and not is_tied(session, call.premises_id, call.customer_id):
        place = place_of(session, call.premises_id)
    is_open = reported_danger.is_open_on(session, visit_id)
    return CallSoFar(call, typed, known, place, danger_open=is_open)


def _add_premises(
    session: Session, customer_id: uuid.UUID, details: PremisesDetails, role: str = "owner"
) -> uuid.UUID:
    """Enter premises and tie the customer to them."""
    premises_id = places.add_premises(session, details)
    session.flush()  # the tie looks for them
    places.link_customer(session, premises_id, customer_id, role)
    return premises_id


def _add_part(session: Session, details: PartDetails, shelf: int = 0) -> uuid.UUID:
    """Enter a part of the catalogue, with what lies on the shelf."""
    part_id = parts.add_part(session, details)
    if shelf:
        parts.move_stock(session, part_id, shelf, "received")
    return part_id


def _move_stock(
    session: Session, part_id: uuid.UUID, pieces: int, to_van_of: uuid.UUID | None = None
) -> None:
    """Receive pieces, or move them from the shelf to a van (negative: back)."""
    if to_van_of is None:
        parts.move_stock(session, part_id, pieces, "received")
        return
    parts.move_stock(session, part_id, -pieces, "moved")
    parts.move_stock(session, part_id, pieces, "moved", van_of_id=to_van_of)


SeeCall = QueryKind(_call)
CallOff = CommandKind(message("Visit called off"), lifecycle.call_off)
WriteDangerOutcome = CommandKind(
    message("Outcome of the danger written"), reported_danger.write_outcome
)
AddCustomer = CommandKind(message("Customer entered"), customers.add_customer)
AddPremises = CommandKind(message("Premises entered"), _add_premises)
AddAppliance = CommandKind(message("Appliance entered"), places.add_appliance)
AddPerson = CommandKind(message("Person entered"), customers.add_person)
AddPart = CommandKind(message("Part entered"), _add_part)
MoveStock = CommandKind(message("Stock moved"), _move_stock)
