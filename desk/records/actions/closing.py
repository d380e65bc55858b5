"""What the visit sheet hands in to close a visit: cause, work, charges, signing and sealing."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions.visit import OnVisit
from desk.records.documents import sealing
from desk.records.journal import drafts
from desk.records.journal.row_access import open_visit
from desk.records.measured import readings
from desk.records.shop import visit_charges
from desk.records.stock import orders, parts
from desk.records.views.drafts import SIGNATURE, SMALL_JOB, on_visit
from desk.records.views.measured import FlowSetup
from desk.records.visits import checks, lifecycle
from desk.records.visits.follow_up import ask_for_second_look


@dataclass(frozen=True, slots=True)
class SetCause(OnVisit):
    """Say what was wrong."""

    cause: str = ""
    words: str = ""
    second_cause: str = ""
    second_words: str = ""
    what: ClassVar[Message] = message("Cause written")

    def _do(self, session: Session) -> None:
        lifecycle.set_cause(
            session,
            self.visit_id,
            cause=self.cause,
            words=self.words,
            second_cause=self.second_cause,
            second_words=self.second_words,
        )


@dataclass(frozen=True, slots=True)
class WriteDown(OnVisit):
    """Write fields of the visit: any of `desk.records.views.visit_sheet.WRITTEN_DOWN`."""

    texts: Mapping[str, str] = field(default_factory=dict)
    what: ClassVar[Message] = message("Visit written")

    def _do(self, session: Session) -> None:
        lifecycle.write_down(session, self.visit_id, **self.texts)


@dataclass(frozen=True, slots=True)
class OrderForVisit(OnVisit):
    """Ask for a part that the visit has to wait for."""

    number: str = ""
    name: str = ""
    pieces: int = 1
    what: ClassVar[Message] = message("Part asked for by the visit")

    def _do(self, session: Session) -> None:
        orders.ask_for_part(
            session,
            number=self.number,
            name=self.name,
            pieces=self.pieces,
            visit_id=open_visit(session, self.visit_id).id,
        )


@dataclass(frozen=True, slots=True)
class UsePart(OnVisit):
    """Record a part fitted."""

    number: str = ""
    name: str = ""
    pieces: int = 1
    old_serial: str = ""
    new_serial: str = ""
    reason: str = ""
    kept_for_claim: bool = False
    price: str = ""
    what: ClassVar[Message] = message("Part fitted")

    def _do(self, session: Session) -> None:
        parts.use_part(
            session,
            self.visit_id,
            number=self.number,
            name=self.name,
            pieces=self.pieces,
            old_serial=self.old_serial,
            new_serial=self.new_serial,
            reason=self.reason,
            kept_for_claim=self.kept_for_claim,
            price=self.price,
        )


@dataclass(frozen=True, slots=True)
class TakePartOut(OnVisit):
    """Take a fitted part off the record; its pieces go back to the van."""

    part_used_id: uuid.UUID
    what: ClassVar[Message] = message("Part taken off the record")

    def _do(self, session: Session) -> None:
        parts.withdraw_used(session, self.visit_id, self.part_used_id)


@dataclass(frozen=True, slots=True)
class Finish(OnVisit):
    """End the work on site; from stop and leave another command leads."""

    ending: str
    what: ClassVar[Message] = message("Visit finished")

    def _do(self, session: Session) -> None:
        checks.refuse_while_stopped(session, open_visit(session, self.visit_id))
        lifecycle.finish(session, self.visit_id, self.ending)


@dataclass(frozen=True, slots=True)
class TakeUpAgain(OnVisit):
    """Go on with a visit that was finished too soon."""

    what: ClassVar[Message] = message("Visit taken up again")

    def _do(self, session: Session) -> None:
        lifecycle.take_up_again(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class AskForSecondLook(OnVisit):
    """Take the call that goes on with a visit that has found nothing, or not all."""

    what: ClassVar[Message] = message("Second look asked for")

    def _do(self, session: Session) -> None:
        ask_for_second_look(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class Sign(OnVisit):
    """Take the customer's signature, or why there is none."""

    name: str = ""
    picture: bytes = b""
    absent_reason: str = ""
    what: ClassVar[Message] = message("Signed")

    def _do(self, session: Session) -> None:
        sealing.sign(
            session,
            self.visit_id,
            name=self.name,
            picture=self.picture,
            absent_reason=self.absent_reason,
        )
        drafts.settle(session, on_visit(self.visit_id), SIGNATURE)


@dataclass(frozen=True, slots=True)
class Seal(OnVisit):
    """Seal the report."""

    what: ClassVar[Message] = message("Report sealed")

    def _do(self, session: Session) -> None:
        sealing.seal(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class Amend(OnVisit):
    """Open a sealed visit for an amendment."""

    reason: str
    what: ClassVar[Message] = message("Amendment begun")

    def _do(self, session: Session) -> None:
        sealing.amend(session, self.visit_id, self.reason)


@dataclass(frozen=True, slots=True)
class SmallJob(OnVisit):
    """The one-minute way: cause, work, the flow after, what proves it, and the ending at once.

    ``setup`` and ``fills`` are empty where no flow was measured. ``proof`` holds readings by kind,
    ``reasons`` why something is not proven, by the visit's column; empty ones are left out.
    """

    cause: str
    words: str
    work_done: str
    left_state: str
    ending: str
    setup: FlowSetup | None = None
    fills: tuple[str, ...] = ()
    technician_id: uuid.UUID | None = None
    proof: Mapping[str, str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    what: ClassVar[Message] = message("Small job written")

    def _do(self, session: Session) -> None:
        if lifecycle.is_waiting(session, self.visit_id):
            lifecycle.arrive(session, self.visit_id, technician_id=self.technician_id)
        checks.refuse_while_stopped(session, open_visit(session, self.visit_id))
        lifecycle.set_cause(session, self.visit_id, cause=self.cause, words=self.words)
        lifecycle.write_down(
            session,
            self.visit_id,
            work_done=self.work_done,
            left_state=self.left_state,
            **self.reasons,
        )
        for kind, typed in self.proof.items():
            if typed.strip():
                readings.take_reading(session, self.visit_id, kind, typed, moment="left")
        if self.setup is not None and self.fills:
            reading = readings.start_flow(session, self.visit_id, "left", self.setup)
            for typed in self.fills:
                readings.add_fill(session, reading, typed)
        session.flush()  # what was read just now proves it
        lifecycle.finish(session, self.visit_id, self.ending)
        drafts.settle(session, on_visit(self.visit_id), SMALL_JOB)


@dataclass(frozen=True, slots=True)
class ChargeVisit(OnVisit):
    """Charge the visit by the shop's rule of today, or charge it no more."""

    is_charged: bool
    what: ClassVar[Message] = message("Charging changed")

    def _do(self, session: Session) -> None:
        visit_charges.charge(session, self.visit_id, is_charged=self.is_charged)


@dataclass(frozen=True, slots=True)
class ChangeCharging(OnVisit):
    """Change the minutes of labour, or whether the call-out is charged, as typed."""

    typed: Mapping[str, str]
    what: ClassVar[Message] = message("Charging changed")

    def _do(self, session: Session) -> None:
        visit_charges.change_charging(session, self.visit_id, self.typed)


@dataclass(frozen=True, slots=True)
class PricePart(OnVisit):
    """Change the price of one of a fitted part, on this visit alone."""

    part_used_id: uuid.UUID
    price: str
    what: ClassVar[Message] = message("Part priced")

    def _do(self, session: Session) -> None:
        visit_charges.price_part(session, self.visit_id, self.part_used_id, self.price)


@dataclass(frozen=True, slots=True)
class AddCharge(OnVisit):
    """Charge something in words; an amount below nothing is a discount."""

    words: str
    amount: str
    is_taxed: bool = True
    what: ClassVar[Message] = message("Charge added")

    def _do(self, session: Session) -> None:
        visit_charges.add_further(
            session, self.visit_id, self.words, self.amount, is_taxed=self.is_taxed
        )


@dataclass(frozen=True, slots=True)
class TakeChargeOff(OnVisit):
    """Take a further line off the charges."""

    charge_id: uuid.UUID
    what: ClassVar[Message] = message("Charge taken off")

    def _do(self, session: Session) -> None:
        visit_charges.withdraw_further(session, self.visit_id, self.charge_id)
