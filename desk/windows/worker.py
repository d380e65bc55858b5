"""The desk that windows hand their work to: one writer thread, answers on the window's thread.

Windows hold no session. A deed waits its turn behind the deeds before it; a look is answered
beside them, so that reading never waits for writing.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, QThreadPool, Signal
from shiboken6 import isValid

from desk.errors import DeskError

if TYPE_CHECKING:  # the database is imported after the first window is painted
    from desk.records.deeds.base import Deed, Look
    from desk.records.office import Office

type Then = Callable[[Any], None]
type Way = Callable[[Callable[[], None]], None]
"""How a job is run: on a thread of a pool, or at once."""


class Desk(QObject):
    """Takes deeds and looks for an open office.

    Signals:
        saved: the time at which a deed's commit was back, aware.
        changed: the deed that changed something; windows that show it look again.
    """

    saved = Signal(object)
    changed = Signal(object)
    _answered = Signal(object, object, object, object)

    def __init__(
        self,
        office: Office,
        parent: QObject | None = None,
        *,
        write: Way | None = None,
        read: Way | None = None,
    ) -> None:
        super().__init__(parent)
        self._office = office
        self._writer, self._readers = QThreadPool(self), QThreadPool(self)
        self._writer.setMaxThreadCount(1)  # SQLite has one writer; order is kept
        self._readers.setMaxThreadCount(1)
        self._write: Way = write or self._writer.start
        self._read: Way = read or self._readers.start
        self._newest: dict[tuple[int, str], int] = {}
        self._asked = 0
        self._answered.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    @property
    def zone(self) -> str:
        """The office's time zone."""
        return self._office.zone

    def now(self) -> datetime:
        """Return the time by the office's clock."""
        return self._office.now()

    def act[T](
        self,
        owner: QObject,
        deed: Deed[T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        key: str = "",  # noqa: ARG002 - one form for deeds and looks
    ) -> None:
        """Carry out a deed when its turn has come.

        Args:
            owner: the window or widget that asks; when it has gone the answer is dropped.
            deed: what to do.
            done: given the snapshot, on the owner's thread, when the commit is back.
            failed: given the error instead; nothing of the deed was kept.
            key: unused by deeds, which are all carried out; looks drop late answers by it.
        """

        def job() -> None:
            answer = self._run(lambda: self._office.carry_out(deed))
            self._answered.emit(owner, (done, failed), answer, deed)

        self._write(job)

    def ask[T](
        self,
        owner: QObject,
        look: Look[T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        key: str = "",
    ) -> None:
        """Answer a look.

        Args:
            owner: the window or widget that asks.
            look: the question.
            done: given the snapshot.
            failed: given the error instead.
            key: an answer is dropped when the same owner has asked again under the same key.
        """
        self._asked += 1
        turn, place = self._asked, (id(owner), key)
        if key:
            self._newest[place] = turn

        def job() -> None:
            if key and self._newest.get(place, turn) > turn:
                return
            answer = self._run(lambda: self._office.answer(look))
            self._answered.emit(owner, (done, failed), answer, (place, turn) if key else None)

        self._read(job)

    def work[T](
        self,
        owner: QObject,
        call: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
    ) -> None:
        """Do something that takes its time and touches no office, such as building pages."""

        def job() -> None:
            answer = self._run(call)
            self._answered.emit(owner, (done, failed), answer, None)

        self._read(job)

    @staticmethod
    def _run(call: Callable[[], object]) -> object:
        try:
            return call()
        except Exception as error:  # noqa: BLE001 - carried to the window's thread
            return error

    def _deliver(
        self, owner: QObject, then: tuple[Then, Then], answer: object, about: object
    ) -> None:
        """Hand an answer to its owner, if it is still there and has not asked again."""
        done, failed = then
        if isinstance(about, tuple) and self._newest.get(about[0], 0) > about[1]:
            return
        if isinstance(answer, DeskError):
            if isValid(owner):
                failed(answer)
            return
        if isinstance(answer, Exception):
            sys.excepthook(type(answer), answer, answer.__traceback__)
            return
        if isValid(owner):
            done(answer)
        if about is not None and not isinstance(about, tuple):
            self.saved.emit(self._office.now())
            self.changed.emit(about)

    def close(self) -> None:
        """Wait until everything handed in is done, and let go of the office."""
        self._writer.waitForDone()
        self._readers.waitForDone()
        self._office.close()


def at_once(job: Callable[[], None]) -> None:
    """Run a job where it is handed in."""
    job()


class InlineDesk(Desk):
    """A desk without threads, for tests: everything is done and delivered where it is asked."""

    def __init__(self, office: Office, parent: QObject | None = None) -> None:
        super().__init__(office, parent, write=at_once, read=at_once)
        self._answered.disconnect()
        self._answered.connect(self._deliver, Qt.ConnectionType.DirectConnection)
