"""Hands in what was done on a visit and gives what comes back to whoever shows it."""

from __future__ import annotations

import logging
import uuid
from dataclasses import dataclass, field
from typing import Protocol

from PySide6.QtCore import QObject, Signal

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.records.actions import Command
from desk.records.actions import visit as commands
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.kit.keys import KeysAt, answering, keys_at
from desk.windows.work.work_queue import WorkQueue

log = logging.getLogger(__name__)


class Origin(Protocol):
    """Where a command was entered, and where its refusal is said."""

    def show_error(self, error: DeskError) -> None:
        """Say what is wrong."""
        ...


@dataclass(frozen=True, slots=True)
class _Errand:
    """One command on its way: where it came from, and what is said when it is done."""

    presenter: VisitPresenter
    origin: Origin
    notice: str = ""
    asked_at: KeysAt = field(default_factory=keys_at)

    def done(self, sheet: VisitSheet) -> None:
        self.presenter.answered(self)
        self.presenter.take(sheet)
        if self.notice:
            self.presenter.noticed.emit(self.notice)

    def failed(self, error: DeskError) -> None:
        self.presenter.answered(self)
        log.info("refused: %s", error.facts)
        with answering(self.asked_at):
            self.origin.show_error(error)


class VisitPresenter(QObject):
    """Knows one visit: hands in its commands, keeps its latest sheet.

    Signals:
        shown: the sheet as it stands now.
        noticed: a sentence about what was taken back or done again.
        left_over: the window's own trouble, where no stage is to blame.
    """

    shown = Signal(object)
    noticed = Signal(str)
    left_over = Signal(object)

    def __init__(self, queue: WorkQueue, visit_id: uuid.UUID, parent: QObject) -> None:
        super().__init__(parent)
        self._queue = queue
        self._visit_id = visit_id
        self.sheet: VisitSheet | None = None
        self._newest: tuple[_Errand, Command[VisitSheet]] | None = None

    def refresh(self) -> None:
        """Ask for the visit as it stands."""
        errand = _Errand(self, self)
        self._queue.ask(
            self, commands.SeeVisit(self._visit_id), errand.done, errand.failed, key="visit"
        )

    def hand_in(self, command: Command[VisitSheet], origin: Origin) -> None:
        """Hand in a command; a refusal is said by where it came from.

        The one that was handed in last and is not answered yet is handed in once: Enter that was
        pressed twice means it once.
        """
        if self._newest is not None and self._newest[1] == command:
            return
        errand = _Errand(self, origin)
        self._newest = errand, command
        self._queue.act(self, command, errand.done, errand.failed)

    def answered(self, errand: _Errand) -> None:
        """Know that a command is not on its way any more."""
        if self._newest is not None and self._newest[0] is errand:
            self._newest = None

    def undo(self) -> None:
        """Take back the newest act, and say what it was."""
        if self.sheet is None or not self.sheet.can_undo:
            self.noticed.emit(_("Nothing to undo on this visit."))
            return
        notice = _("Undone: {what}", what=say(self.sheet.can_undo))
        errand = _Errand(self, self, notice)
        self._queue.act(self, commands.Undo(self._visit_id), errand.done, errand.failed)

    def redo(self) -> None:
        """Do again what was taken back last, and say what it was."""
        if self.sheet is None or not self.sheet.can_redo:
            self.noticed.emit(_("Nothing to redo on this visit."))
            return
        notice = _("Redone: {what}", what=say(self.sheet.can_redo))
        errand = _Errand(self, self, notice)
        self._queue.act(self, commands.Redo(self._visit_id), errand.done, errand.failed)

    def take(self, sheet: VisitSheet) -> None:
        """Keep a sheet and show it."""
        self.sheet = sheet
        self.shown.emit(sheet)

    def show_error(self, error: DeskError) -> None:
        """Say what is wrong where no field is to blame."""
        self.left_over.emit(error)
