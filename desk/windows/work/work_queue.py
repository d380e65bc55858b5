"""The queue that windows hand their work to: one writer thread, answers on the window's thread.

Windows hold no session. A command waits its turn behind the commands before it; a query is answered
beside them, so that reading never waits for writing; neither waits for pages being built.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThreadPool, Signal

from desk.base.errors import DeskError, OfficeGone
from desk.base.texts import Message
from desk.trade.scheduling.booking_text import Calendar
from desk.windows.work.thread_handoff import (
    Cancelled,
    LongWork,
    PendingCall,
    Progress,
    Stopped,
    ThreadBridge,
    Way,
    at_once,
    watching,
)

if TYPE_CHECKING:  # the database is imported after the first window is painted
    from desk.records.actions import Command, Query
    from desk.records.office.office import Office
    from desk.windows.work.change_listener import ChangeListener


class WorkQueue(QObject):
    """Takes commands and queries for an open office.

    Signals:
        saved: the time at which a command's commit was back, aware.
        changed: the command that changed something, here or at another desk (`RemoteChange`);
            windows that show it look again.
        content_changed: the checks that visits begin with may be others now.
        gone: that the office's file was replaced or taken away (`OfficeGone`).
    """

    saved = Signal(object)
    changed = Signal(object)
    content_changed = Signal()
    gone = Signal(object)

    def __init__(
        self, office: Office, parent: QObject | None = None, *, inline: bool = False
    ) -> None:
        super().__init__(parent)
        if not inline:
            from desk.records.office.office import map_for_threads  # only here: start-up counts

            map_for_threads()
        self._office = office
        self._away = ThreadBridge(self, inline=inline)
        self._pools = tuple(self._pool() for _name in ("write", "read", "build"))
        ways: tuple[Way, ...] = tuple(at_once if inline else pool.start for pool in self._pools)
        self._write, self._read, self._build = ways
        self._long: list[LongWork] = []
        self._others: ChangeListener | None = None
        self._inline = inline

    def _pool(self) -> QThreadPool:
        pool = QThreadPool(self)
        pool.setMaxThreadCount(1)  # SQLite has one writer; order is kept
        return pool

    def listen(self) -> None:
        """Hear other desks from now on, on a thread and a connection of its own."""
        from desk.windows.work.change_listener import ChangeListener  # only here: start-up counts

        pool = self._pool()
        self._pools = (*self._pools, pool)
        way: Way = at_once if self._inline else pool.start
        self._others = ChangeListener(self._office.ear(), self._away, way, self)
        self._others.told.connect(self.changed)
        self._others.gone.connect(self.gone)
        self._others.open()

    def _or_gone(self, failed: Callable[[DeskError], None]) -> Callable[[DeskError], None]:
        """Hear a refusal, and tell every window where the office is no longer there."""

        def fail(error: DeskError) -> None:
            if isinstance(error, OfficeGone):
                self.gone.emit(error)
            failed(error)

        return fail

    @property
    def zone(self) -> str:
        """The office's time zone."""
        return self._office.zone

    def calendar(self) -> Calendar:
        """Return what a typed day is read against in this office."""
        return self._office.calendar()

    @property
    def clock_warning(self) -> Message | None:
        """What to say once of this computer's clock."""
        return self._office.clock_warning

    def now(self) -> datetime:
        """Return the time by the office's clock."""
        return self._office.now()

    def act[T](
        self,
        owner: QObject,
        command: Command[T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        key: str = "",  # noqa: ARG002 - one form for commands and queries
    ) -> None:
        """Carry out a command when its turn has come.

        Args:
            owner: the window or widget that asks; when it has gone the answer is dropped.
            command: what to do.
            done: given the snapshot, on the owner's thread, when the commit is back.
            failed: given the error instead; nothing of the command was kept.
            key: unused by commands, which are all carried out; queries drop late answers by it.
        """
        office = self._office

        def call() -> T:
            return office.carry_out(command)

        def say_so() -> None:
            self.saved.emit(office.now())
            self.changed.emit(command)

        self._away.send(self._write, call, PendingCall(owner, done, self._or_gone(failed), say_so))

    def set_aside(
        self,
        owner: QObject,
        place: str,
        typed: Mapping[str, str],
        failed: Callable[[DeskError], None],
    ) -> None:
        """Keep what stands typed in some fields of a place and is not handed in yet.

        Args:
            owner: the window or widget that asks.
            place: where the fields are, such as a stage of a visit.
            typed: what stands in each, by its name; "" forgets what was kept of it.
            failed: given the error where it could not be kept.
        """
        office = self._office

        def call() -> None:
            office.set_aside(place, typed)

        def say_so() -> None:
            self.saved.emit(office.now())

        self._away.send(
            self._write, call, PendingCall(owner, _nothing, self._or_gone(failed), say_so)
        )

    def ask[T](
        self,
        owner: QObject,
        look: Query[T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        key: str = "",
    ) -> None:
        """Answer a query.

        Args:
            owner: the window or widget that asks.
            look: the question.
            done: given the snapshot.
            failed: given the error instead.
            key: an answer is dropped when the same owner has asked again under the same key.
        """
        office = self._office

        def call() -> T:
            return office.answer(look)

        self._away.send(self._read, call, PendingCall(owner, done, failed, key=key))

    def work[T](
        self,
        owner: QObject,
        call: Callable[[], T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
    ) -> None:
        """Do something that takes a moment and touches no office, such as building pages.

        Args:
            owner: the window or widget that asks; when it has gone the answer is dropped.
            call: the work; it touches no window.
            done: given what it returns.
            failed: given the error instead.
        """
        self._away.send(self._build, call, PendingCall(owner, done, failed))

    def run_long[T](
        self,
        owner: QObject,
        call: Callable[[Progress, Cancelled], T],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        progressed: Progress | None = None,
    ) -> LongWork:
        """Do something that takes its time, tells how far it is, and can be cancelled.

        Args:
            owner: the window or widget that asks.
            call: the work; it calls its first argument with how many of how many are done, and
                asks its second, at least every tenth of a second, whether to stop.
            done: given what the work returns; not called once it is cancelled.
            failed: given the error instead.
            progressed: told how far it is, at most twenty times a second.

        Returns:
            The work under way, to cancel it by.
        """
        errand = PendingCall(owner, done, failed, progressed=progressed)
        under_way = self._away.send_long(self._build, call, errand)
        self._long = [*(one for one in self._long if one.is_awaited()), under_way]
        return under_way

    def ask_long[T](
        self,
        owner: QObject,
        query_of: Callable[[Progress], Query[T]],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        progressed: Progress | None = None,
    ) -> LongWork:
        """Answer a query that takes its time, without keeping others waiting.

        Args:
            owner: the window or widget that asks.
            query_of: makes the question; given what it is to call after every step.
            done: given the snapshot; not called once it is cancelled.
            failed: given the error instead.
            progressed: told how far it is.
        """
        office = self._office

        def call(tell: Progress, cancelled: Cancelled) -> T:
            return office.answer(query_of(watching(tell, cancelled)))

        return self.run_long(owner, call, done, failed, progressed)

    def act_long[T](
        self,
        owner: QObject,
        command_of: Callable[[Progress], Command[T]],
        done: Callable[[T], None],
        failed: Callable[[DeskError], None],
        *,
        stopped: Callable[[], None],
        progressed: Progress | None = None,
    ) -> LongWork:
        """Carry out a command that takes its time; until it is kept it can be asked to stop.

        Args:
            owner: the window or widget that asks.
            command_of: makes the command; given what it is to call after every step.
            done: given the snapshot when the commit is back, also where that came before the
                wish to stop.
            failed: given the error instead; nothing of the command was kept.
            stopped: called instead where it was asked to stop; nothing of the command was kept.
            progressed: told how far it is.

        Returns:
            The work under way, to be asked to stop by.
        """
        office = self._office
        kept: list[Command[T]] = []

        def call(tell: Progress, cancelled: Cancelled) -> T | None:
            command = command_of(watching(tell, cancelled))
            try:
                answer = office.carry_out(command)
            except Stopped:
                return None
            kept.append(command)
            return answer

        def hear(answer: T) -> None:
            if kept:
                done(answer)
            else:
                stopped()

        def say_so() -> None:
            for command in kept:
                self.saved.emit(office.now())
                self.changed.emit(command)

        errand = PendingCall(owner, hear, self._or_gone(failed), say_so, progressed=progressed)
        under_way = self._away.send_long(self._write, call, errand)
        self._long = [*(one for one in self._long if one.is_awaited()), under_way]
        return under_way

    def close(self) -> None:
        """Wait until everything handed in is done, and let go of the office."""
        for under_way in self._long:
            under_way.cancel()
        for pool in self._pools:
            pool.waitForDone()
        if self._others is not None:
            self._others.close()
        self._away.finish()
        self._office.close()


def _nothing(_answer: object) -> None:
    """Do nothing: that it is kept is all there is to know."""


class InlineQueue(WorkQueue):
    """A desk without threads, for tests: everything is done and delivered where it is asked."""

    def __init__(self, office: Office, parent: QObject | None = None) -> None:
        super().__init__(office, parent, inline=True)
