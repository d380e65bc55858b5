"""A line in a status bar that says which other desk changed something, and when."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QLabel

from desk.base.texts import _

if TYPE_CHECKING:
    from desk.records.views.changes import RemoteChange
    from desk.windows.work.work_queue import WorkQueue

SHOWN_MS = 60_000
"""So long the line stands."""


class ChangeNote(QLabel):
    """Says quietly, for a while, that its window was loaded again for another desk's sake.

    Args:
        queue: hears the other desks.
        concerns: whether the window was loaded again for a command of theirs; for each unless
            given.
    """

    def __init__(
        self, queue: WorkQueue, concerns: Callable[[RemoteChange], bool] | None = None
    ) -> None:
        super().__init__()
        self.setObjectName("other_desks")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self._queue, self._concerns = queue, concerns
        self._fade = QTimer(self)
        self._fade.setSingleShot(True)
        self._fade.setInterval(SHOWN_MS)
        self._fade.timeout.connect(self.clear)
        queue.changed.connect(self._hear)

    def _hear(self, command: object) -> None:
        from desk.records.views.changes import RemoteChange

        if isinstance(command, RemoteChange) and (
            self._concerns is None or self._concerns(command)
        ):
            at = self._queue.now().astimezone(ZoneInfo(self._queue.zone))
            self.setText(_("changed at another desk, loaded {time}", time=f"{at:%H:%M:%S}"))
            self._fade.start()
