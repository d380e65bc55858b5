"""Reads photographs away from the window's thread, one batch after the other."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal

from desk.base.errors import DeskError
from desk.base.texts import _
from desk.records.views.visit_sheet import Shows
from desk.windows.kit.busy import Busy
from desk.windows.photographs.intake import Source, TakenIn, take_in
from desk.windows.work.thread_handoff import Cancelled, LongWork, Progress, watching
from desk.windows.work.work_queue import WorkQueue


class PhotographReader(Busy):
    """Says how far the reading is, and stops it; what is added meanwhile waits its turn.

    Signals:
        was_read: what came of a batch (`TakenIn`), and what its photographs show.
        failed: why nothing could be read (`DeskError`).
        stopped: the person did not want to wait; nothing of what was being read is kept.
    """

    was_read = Signal(object, object)
    failed = Signal(object)
    stopped = Signal()

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._waiting: list[tuple[tuple[Source, ...], Shows]] = []
        self._under_way: LongWork | None = None
        self.stop_asked.connect(self._stop)

    def read(self, sources: Sequence[Source], shows: Shows) -> None:
        """Read photographs that all show the same."""
        self._waiting.append((tuple(sources), shows))
        self._go_on()

    def _go_on(self) -> None:
        if not self._waiting or (self._under_way is not None and self._under_way.is_awaited()):
            return
        sources, shows = self._waiting.pop(0)

        def read(tell: Progress, cancelled: Cancelled) -> TakenIn:
            return take_in(sources, watching(tell, cancelled))

        def done(taken_in: TakenIn) -> None:
            self.end()
            self.was_read.emit(taken_in, shows)
            self._go_on()

        self.begin(_("Reading photographs:"))
        self._under_way = self._queue.run_long(self, read, done, self._fail, self.show_progress)

    def _fail(self, error: DeskError) -> None:
        self.end()
        self.failed.emit(error)
        self._go_on()

    def _stop(self) -> None:
        self.end()
        self._waiting.clear()
        if self._under_way is not None:
            self._under_way.cancel()
            self._under_way = None
        self.stopped.emit()
