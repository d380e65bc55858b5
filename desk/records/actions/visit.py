"""What the visit sheet hands in. Every command returns the sheet as it stands afterwards."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Concatenate, cast

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.documents.visit_sheet import sheet_of
from desk.records.office.protocol import CommandKind, MadeCommand, QueryKind
from desk.records.undo import undo
from desk.records.views.visit_sheet import VisitSheet
from desk.records.visits import begun_before, checks, lifecycle, stop_and_leave
from desk.trade.diagnosis.walk import Given


@dataclass(frozen=True, slots=True)
class OnVisit(MadeCommand[VisitSheet]):
    """A command on one visit, of which its sheet is the answer."""

    @property
    def visit_id(self) -> uuid.UUID:
        """Return the visit."""
        return cast("uuid.UUID", self.args[0])


@dataclass(frozen=True, slots=True)
class OnVisitKind[**P](CommandKind[Concatenate[uuid.UUID, P], VisitSheet]):
    """A kind of command on one visit, which is named first."""

    def __call__(self, visit_id: uuid.UUID, /, *args: P.args, **kwargs: P.kwargs) -> OnVisit:
        """Return a command."""
        return OnVisit(self.function, (visit_id, *args), kwargs, self.what)


def visit_command[**P](
    what: Message, do: Callable[Concatenate[Session, uuid.UUID, P], object]
) -> OnVisitKind[P]:
    """Return the kind of command that does something on a visit and returns its sheet.

    Args:
        what: is done, as history says it.
        do: takes a session and the visit first.
    """

    def run(
        session: Session, visit_id: uuid.UUID, /, *args: P.args, **kwargs: P.kwargs
    ) -> VisitSheet:
        do(session, visit_id, *args, **kwargs)
        session.flush()  # the sheet is read from what was just written
        return sheet_of(session, visit_id)

    return OnVisitKind(what, run)


def row_command[**P](
    what: Message, do: Callable[Concatenate[Session, P], object]
) -> OnVisitKind[P]:
    """Return the kind of command that does something with a row of a visit, which knows its visit.

    Args:
        what: is done, as history says it.
        do: takes a session and then what names the row.
    """

    def run(session: Session, _visit: uuid.UUID, /, *args: P.args, **kwargs: P.kwargs) -> None:
        do(session, *args, **kwargs)

    return visit_command(what, run)


def _acknowledge(session: Session, visit_id: uuid.UUID, cautions: Sequence[str]) -> None:
    for caution in cautions:
        lifecycle.acknowledge(session, visit_id, caution)


def _answer(
    session: Session,
    visit_id: uuid.UUID,
    check: str,
    given: Given,
    *,
    note: str = "",
    cautions: Sequence[str] = (),
) -> None:
    """Answer a check; the cautions that were acknowledged with it go along."""
    _acknowledge(session, visit_id, cautions)
    session.flush()  # the answer looks for them
    checks.record_answer(session, visit_id, check, given, note=note)


SeeVisit = QueryKind(sheet_of)
Arrive = visit_command(message("Arrived"), lifecycle.arrive)
Acknowledge = visit_command(message("Caution acknowledged"), _acknowledge)
ReadOfRules = visit_command(begun_before.TOLD, begun_before.told_of_rules)
AnswerCheck = visit_command(message("Check answered"), _answer)
NoteCheck = visit_command(message("Note written"), checks.add_note)
WeAreOut = visit_command(message("Everybody is out"), stop_and_leave.we_are_out)
PressedByMistake = visit_command(
    message("Stop and leave pressed by mistake"), stop_and_leave.pressed_by_mistake
)
SayDangerFound = visit_command(message("Found danger said"), stop_and_leave.say_found)
Undo = visit_command(message("Taken back"), undo.undo_on_visit)
Redo = visit_command(message("Done again"), undo.redo_on_visit)
