"""What the visit sheet hands in. Every command returns the sheet as it stands afterwards."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.documents.visit_sheet import sheet_of
from desk.records.undo import undo
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits import begun_before, checks, lifecycle, stop_and_leave
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
