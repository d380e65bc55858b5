"""What the visit sheet hands in. Every command returns the sheet as it stands afterwards."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.documents import sealing
from desk.records.documents.visit_sheet import sheet_of
from desk.records.journal import drafts
from desk.records.journal.row_access import open_visit
from desk.records.measured import computed, readings
from desk.records.stock import orders, parts
from desk.records.undo import undo
from desk.records.views import drafts as drafts_
from desk.records.views.measured import FlowSetup, TakenWith
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits import begun_before, checks, lifecycle, stop_and_leave
from desk.records.visits.follow_up import ask_for_second_look
from desk.trade.diagnosis.walk import Given


@dataclass(frozen=True, slots=True)
class SeeVisit:
    """Look at a visit."""

    visit_id: uuid.UUID

    def run(self, session: Session) -> VisitSheet:
        """Return the sheet."""
        return sheet_of(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class OnVisit:
    """A command on one visit: do it, then return the sheet."""

    visit_id: uuid.UUID
    what: ClassVar[Message]

    def run(self, session: Session) -> VisitSheet:
        """Do it and return the sheet."""
        self._do(session)
        session.flush()  # the sheet is read from what was just written
        return sheet_of(session, self.visit_id)

    def _do(self, session: Session) -> None:
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Arrive(OnVisit):
    """Begin the work on site."""

    technician_id: uuid.UUID | None = None
    what: ClassVar[Message] = message("Arrived")

    def _do(self, session: Session) -> None:
        lifecycle.arrive(session, self.visit_id, technician_id=self.technician_id)


@dataclass(frozen=True, slots=True)
class Acknowledge(OnVisit):
    """Acknowledge cautions."""

    cautions: tuple[str, ...]
    what: ClassVar[Message] = message("Caution acknowledged")

    def _do(self, session: Session) -> None:
        for caution in self.cautions:
            lifecycle.acknowledge(session, self.visit_id, caution)


@dataclass(frozen=True, slots=True)
class ReadOfRules(OnVisit):
    """Read that the visit was begun before the safety rules, and how it goes on."""

    what: ClassVar[Message] = begun_before.TOLD

    def _do(self, session: Session) -> None:
        begun_before.told_of_rules(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class AnswerCheck(OnVisit):
    """Answer a check; the cautions that were acknowledged with it go along."""

    check: str
    given: Given
    note: str = ""
    cautions: tuple[str, ...] = ()
    what: ClassVar[Message] = message("Check answered")

    def _do(self, session: Session) -> None:
        for caution in self.cautions:
            lifecycle.acknowledge(session, self.visit_id, caution)
        session.flush()  # the answer looks for them
        checks.record_answer(session, self.visit_id, self.check, self.given, note=self.note)


@dataclass(frozen=True, slots=True)
class NoteCheck(OnVisit):
    """Write a remark to an answer."""

    check: str
    note: str
    what: ClassVar[Message] = message("Note written")

    def _do(self, session: Session) -> None:
        checks.add_note(session, self.visit_id, self.check, self.note)


@dataclass(frozen=True, slots=True)
class SayCircumstances(OnVisit):
    """Say under what circumstances a flow was measured."""

    reading_id: uuid.UUID
    holds: frozenset[str]
    what: ClassVar[Message] = message("Circumstances said")

    def _do(self, session: Session) -> None:
        readings.say_circumstances(session, self.reading_id, self.holds)


@dataclass(frozen=True, slots=True)
class KeepFill(OnVisit):
    """Keep a timed fill."""

    reading_id: uuid.UUID
    typed: str
    mass: str = ""
    what: ClassVar[Message] = message("Fill kept")

    def _do(self, session: Session) -> None:
        readings.add_fill(session, self.reading_id, self.typed, mass=self.mass)


@dataclass(frozen=True, slots=True)
class FirstFill(OnVisit):
    """Begin a measured flow with its first fill, so that a refused fill leaves no empty flow."""

    moment: str
    setup: FlowSetup
    typed: str
    mass: str = ""
    check: str = ""
    what: ClassVar[Message] = message("Fill kept")

    def _do(self, session: Session) -> None:
        reading = readings.start_flow(
            session, self.visit_id, self.moment, self.setup, check_id=self.check
        )
        readings.add_fill(session, reading, self.typed, mass=self.mass)


@dataclass(frozen=True, slots=True)
class StrikeFill(OnVisit):
    """Strike out a fill that slipped."""

    reading_id: uuid.UUID
    number: int
    reason: str = ""
    what: ClassVar[Message] = message("Fill struck out")

    def _do(self, session: Session) -> None:
        readings.strike_fill(session, self.reading_id, self.number, self.reason)


@dataclass(frozen=True, slots=True)
class TakeReading(OnVisit):
    """Keep a reading that is typed in one go."""

    kind: str
    typed: str
    moment: str = "found"
    check: str = ""
    instrument: str = ""
    calibrated_until: date | None = None
    note: str = ""
    what: ClassVar[Message] = message("Reading kept")

    def _do(self, session: Session) -> None:
        drafts.settle(
            session,
            drafts_.on_visit(self.visit_id),
            drafts_.reading_field(self.kind, self.moment),
        )
        readings.take_reading(
            session,
            self.visit_id,
            self.kind,
            self.typed,
            moment=self.moment,
            check_id=self.check,
            instrument=self.instrument,
            calibrated_until=self.calibrated_until,
            note=self.note,
        )


@dataclass(frozen=True, slots=True)
class EnterOnCard(OnVisit):
    """Keep what was entered on the card of a computed measurement; empty takes an entry back."""

    kind: str
    moment: str
    typed: Mapping[str, str]
    what: ClassVar[Message] = message("Measurement entered")

    def _do(self, session: Session) -> None:
        computed.enter(session, self.visit_id, self.kind, self.moment, self.typed)


@dataclass(frozen=True, slots=True)
class DescribeReading(OnVisit):
    """Say what a reading, or a computed measurement, was taken with."""

    reading_id: uuid.UUID
    taken_with: TakenWith
    what: ClassVar[Message] = message("Instrument noted")

    def _do(self, session: Session) -> None:
        readings.describe(session, self.reading_id, self.taken_with)


@dataclass(frozen=True, slots=True)
class WithdrawReading(OnVisit):
    """Take a reading, a flow among them, out of use."""

    reading_id: uuid.UUID
    what: ClassVar[Message] = message("Reading taken out")

    def _do(self, session: Session) -> None:
        readings.withdraw_reading(session, self.reading_id)


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
class WeAreOut(OnVisit):
    """End the visit as stop and leave: everybody is outside."""

    what: ClassVar[Message] = message("Everybody is out")

    def _do(self, session: Session) -> None:
        stop_and_leave.we_are_out(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class PressedByMistake(OnVisit):
    """Go back from stop and leave, with the reason."""

    reason: str
    what: ClassVar[Message] = message("Stop and leave pressed by mistake")

    def _do(self, session: Session) -> None:
        stop_and_leave.pressed_by_mistake(session, self.visit_id, self.reason)


@dataclass(frozen=True, slots=True)
class SayDangerFound(OnVisit):
    """Say what made everybody leave."""

    found: str
    what: ClassVar[Message] = message("Found danger said")

    def _do(self, session: Session) -> None:
        stop_and_leave.say_found(session, self.visit_id, self.found)


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
        drafts.settle(session, drafts_.on_visit(self.visit_id), drafts_.SIGNATURE)


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
class Undo(OnVisit):
    """Take back the newest act on the visit."""

    what: ClassVar[Message] = message("Taken back")

    def _do(self, session: Session) -> None:
        undo.undo_on_visit(session, self.visit_id)


@dataclass(frozen=True, slots=True)
class Redo(OnVisit):
    """Do again what was taken back last."""

    what: ClassVar[Message] = message("Done again")

    def _do(self, session: Session) -> None:
        undo.redo_on_visit(session, self.visit_id)


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
        drafts.settle(session, drafts_.on_visit(self.visit_id), drafts_.SMALL_JOB)
