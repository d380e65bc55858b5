"""Keeps a call while it is told: the first words write it down, the later ones mend it."""

from __future__ import annotations

import uuid

from PySide6.QtCore import QObject, Signal

from desk.base.errors import DeskError
from desk.records.actions.counter import Slot
from desk.records.actions.entering import CallTaken, MendCall, TakeCall
from desk.records.fields.call_fields import CallDetails
from desk.records.views.call import NewCaller
from desk.records.views.drafts import on_call
from desk.windows.kit.draft_keeper import DraftKeeper
from desk.windows.work.work_queue import WorkQueue


class CallKeeper(QObject):
    """Hands in one call after the other; what is told meanwhile waits and goes next.

    Signals:
        kept: what is kept of the call now (`CallDetails`).
        finished: the keys of the call (`CallTaken`), when the last of it is kept.
        refused: why something was not kept (`DeskError`).
    """

    kept = Signal(object)
    finished = Signal(object)
    refused = Signal(object)

    def __init__(
        self,
        queue: WorkQueue,
        parent: QObject,
        half_typed: DraftKeeper,
        visit_id: uuid.UUID | None = None,
        holds: CallDetails | None = None,
    ) -> None:
        super().__init__(parent)
        self._queue, self._half_typed = queue, half_typed
        self.visit_id = visit_id
        self._holds = holds
        self._waiting: CallDetails | None = None
        self._end: tuple[NewCaller | None, Slot | None] | None = None
        self._place = half_typed.place
        self._is_under_way = self._is_retired = False

    def retire(self) -> None:
        """End what is under way, and go: another call is kept from now on."""
        self._is_retired = True
        self._go_on()

    def keep(self, call: CallDetails) -> None:
        """Keep what was told so far."""
        if call != self._holds and self._end is None:
            self._waiting = call
            self._go_on()

    def finish(self, call: CallDetails, caller: NewCaller | None, slot: Slot | None) -> None:
        """Keep all of it, enter a new caller and book, in one command.

        Args:
            call: all that was told.
            caller: who calls, where the office does not know them yet; else None.
            slot: when and to whom it is booked; None for no booking.
        """
        if self._end is None:
            self._waiting, self._end = call, (caller, slot)
            self._go_on()

    def _go_on(self) -> None:
        if self._is_under_way:
            return
        if self._waiting is None:
            if self._is_retired:
                self.deleteLater()
            return
        call, self._waiting = self._waiting, None
        caller, slot = self._end or (None, None)
        self._is_under_way, self._holds = True, call
        is_all = self._end is not None
        if self.visit_id is None:
            command: TakeCall | MendCall = TakeCall(call, caller, slot, self._place, is_all=is_all)
        else:
            command = MendCall(self.visit_id, call, caller, slot, is_all=is_all)
        if not self._is_retired:
            self._half_typed.keep()
            self._half_typed.go_to("")  # what is typed now waits for where it belongs
        self._queue.act(self, command, self._kept, self._not_kept)

    def _kept(self, taken: CallTaken) -> None:
        self._is_under_way = False
        self.visit_id = taken.visit_id
        self._place = on_call(taken.visit_id)
        if not self._is_retired:
            self._half_typed.go_to(self._place)
            if self._holds is not None:
                self.kept.emit(self._holds)
        if self._waiting is None and self._end is not None:
            self.finished.emit(taken)
        self._go_on()

    def _not_kept(self, error: DeskError) -> None:
        self._is_under_way = False
        self._holds = self._end = self._waiting = None
        if not self._is_retired:
            self._half_typed.go_to(self._place)
        self.refused.emit(error)
        self._go_on()
