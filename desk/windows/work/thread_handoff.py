"""Work away from the window's thread: calls go out, answers come back where windows live.

No window crosses a thread. What a call is for waits here under a number; the other thread knows
the number only, so it can never be the one that lets go of a window last.
"""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal
from shiboken6 import isValid

from desk.base.errors import DeskError, MistakeError
from desk.base.texts import message
from desk.windows.work.gc_on_gui_thread import GcOnGuiThread

type Then = Callable[[Any], None]
type Way = Callable[[Callable[[], None]], None]
"""How a job is run: on a thread of a pool, or at once."""
type Progress = Callable[[int, int], None]
"""Told by long work: how many are done, and of how many (0 when it is not known)."""
type Cancelled = Callable[[], bool]
"""Asked by long work, at least every tenth of a second: whether to stop."""

TOLD_EVERY_S = 0.05
AGAIN = "do_again"
"""What ended in a bug is done again by calling what its error has under this name."""


class Stopped(Exception):
    """Raised within long work that was cancelled, to leave it; nobody hears of it."""


def watching(tell: Progress, cancelled: Cancelled) -> Progress:
    """Return what to call after every step of long work: it tells, or leaves where cancelled.

    Args:
        tell: told after every step how far it is.
        cancelled: asked after every step whether to stop.

    Raises:
        Stopped: from what is returned, where the work was cancelled.
    """

    def step(count: int, total: int) -> None:
        if cancelled():
            raise Stopped
        tell(count, total)

    return step


def at_once(job: Callable[[], None]) -> None:
    """Run a job where it is handed in."""
    job()


@dataclass(frozen=True, slots=True)
class PendingCall:
    """What becomes of an answer.

    Attributes:
        owner: who asks; when it has gone the answer is dropped.
        done: given the answer.
        failed: given the error instead.
        afterwards: called after a good answer, whether or not the owner is still there.
        key: an answer is late when the owner has asked again under the same key; "" is never late.
        progressed: told how far long work is.
    """

    owner: QObject
    done: Then
    failed: Callable[[DeskError], None]
    afterwards: Callable[[], None] | None = None
    key: str = ""
    progressed: Progress | None = None


@dataclass(frozen=True, slots=True)
class _Sent:
    """An errand on its way, and how to send it again."""

    errand: PendingCall
    again: Callable[[], None] | None


class ThreadBridge(QObject):
    """Sends calls to other threads and delivers their answers on its own."""

    _answered = Signal(int, object)
    _progressed = Signal(int, int, int)

    def __init__(self, parent: QObject | None = None, *, inline: bool = False) -> None:
        super().__init__(parent)
        self._sent = 0
        self._waiting: dict[int, _Sent] = {}
        self._newest: dict[tuple[int, str], int] = {}
        self._collection = None if inline else GcOnGuiThread(self)
        connection = Qt.ConnectionType
        kind = connection.DirectConnection if inline else connection.QueuedConnection
        self._answered.connect(self._deliver, kind)
        self._progressed.connect(self._report, kind)

    def send(
        self, way: Way, call: Callable[[], object], errand: PendingCall, *, is_long: bool = False
    ) -> int:
        """Run a call another way; return the number under which its answer is awaited.

        Long work is not done again by itself: it may have been cancelled by its number.

        Args:
            way: how it is run.
            call: the work; it touches no window.
            errand: what becomes of the answer.
            is_long: it may have been cancelled by its number.
        """
        self._sent += 1
        number = self._sent
        place = (id(errand.owner), errand.key) if errand.key else None

        def again() -> None:
            if place is None or self._newest[place] == number:
                self.send(way, call, errand)

        self._waiting[number] = _Sent(errand, None if is_long else again)
        if place is not None:
            self._newest[place] = number

        def job() -> None:
            late = place is not None and self._newest[place] > number
            self._answered.emit(number, None if late else _outcome(call))

        if self._collection is not None:
            self._collection.rest()
        way(job)
        return number

    def send_long(
        self, way: Way, call: Callable[[Progress, Cancelled], object], errand: PendingCall
    ) -> LongWork:
        """Run long work another way; it tells how far it is and can be cancelled.

        Args:
            way: how it is run.
            call: the work; given what it tells and what it asks whether to stop.
            errand: what becomes of the answer, and who is told how far it is.
        """
        stop = threading.Event()
        number = self._sent + 1
        told = 0.0

        def tell(count: int, total: int) -> None:
            nonlocal told
            now = time.monotonic()
            if now - told >= TOLD_EVERY_S or count == total:
                told = now
                self._progressed.emit(number, count, total)

        def job() -> object:
            return None if stop.is_set() else call(tell, stop.is_set)

        self.send(way, job, errand, is_long=True)
        return LongWork(self, number, stop)

    def awaits(self, number: int) -> bool:
        """Return whether an answer is still to come."""
        return number in self._waiting

    def drop(self, number: int) -> None:
        """Let go of an answer that is not wanted any more."""
        self._waiting.pop(number, None)

    def finish(self) -> None:
        """Note that no call is out any more: the threads have ended."""
        if self._collection is not None:
            self._collection.finish()

    def _report(self, number: int, count: int, total: int) -> None:
        sent = self._waiting.get(number)
        errand = sent.errand if sent is not None else None
        if errand is not None and errand.progressed is not None and isValid(errand.owner):
            errand.progressed(count, total)

    def _deliver(self, number: int, outcome: object) -> None:
        """Hand an answer to its owner, if it is still there and has not asked again."""
        if self._collection is not None:
            self._collection.go_on()
        sent = self._waiting.pop(number, None)
        if sent is None:
            return
        errand = sent.errand
        if errand.key and self._newest[id(errand.owner), errand.key] > number:
            return
        if isinstance(outcome, DeskError):
            if isValid(errand.owner):
                errand.failed(outcome)
        elif isinstance(outcome, Exception):
            _tell_mistake(outcome, sent)
        else:
            try:
                if isValid(errand.owner):
                    errand.done(outcome)
            finally:  # what was kept is said to be kept, even when a window fails over it
                if errand.afterwards is not None:
                    errand.afterwards()


@dataclass(frozen=True, slots=True)
class LongWork:
    """Long work under way."""

    away: ThreadBridge
    number: int
    stop: threading.Event

    def is_awaited(self) -> bool:
        """Return whether its answer is still to come."""
        return self.away.awaits(self.number)

    def ask_to_stop(self) -> None:
        """Ask it to end where it next asks; what became of it is heard as ever."""
        self.stop.set()

    def cancel(self) -> None:
        """Stop it: nothing is heard of it any more, and it ends where it next asks."""
        self.stop.set()
        self.away.drop(self.number)


def _tell_mistake(mistake: Exception, sent: _Sent) -> None:
    """Tell a bug to the program, and to the owner as it is told a refusal, so that it goes on."""
    setattr(mistake, AGAIN, sent.again)
    sys.excepthook(type(mistake), mistake, mistake.__traceback__)
    if isValid(sent.errand.owner):
        sent.errand.failed(
            MistakeError(message("This was not done: something went wrong in Drawoff."))
        )


def _outcome(call: Callable[[], object]) -> object:
    """Return what a call returns, or what it raises."""
    try:
        return call()
    except Exception as error:  # noqa: BLE001 - carried to the window's thread
        return error
