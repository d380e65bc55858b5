"""One line that says, wherever it stands, that the shop's own checks are not used, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QPushButton, QWidget

from desk.base import texts
from desk.base.errors import DeskError
from desk.base.texts import _
from desk.windows.kit.labels import WRONG
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.trade.content.findings import ContentFinding


class OwnChecksLine(QPushButton):
    """Is there only while something is wrong; a press opens what is wrong."""

    def __init__(self, queue: WorkQueue, parent: QWidget | None = None) -> None:
        super().__init__(_("The shop's own checks"), parent)
        self._queue = queue
        self.setObjectName("own_checks_line")
        self.hide()
        self.clicked.connect(self._open)
        queue.changed.connect(self._look_again)
        queue.content_changed.connect(self._look)
        QTimer.singleShot(0, self, self._look)  # the window is painted first

    def _look_again(self, _change: object) -> None:
        self._look()

    def _look(self) -> None:
        from desk.records.actions.shop import SeeTrouble  # only here: start-up counts

        self._queue.ask(self, SeeTrouble(), self._show, self._failed, key="own_checks")

    def _show(self, findings: tuple[ContentFinding, ...]) -> None:
        if findings:
            self.setText(
                texts.plural(
                    "{mark} The shop's own checks are not used: {count} thing is wrong. Show it",
                    "{mark} The shop's own checks are not used: {count} things are wrong. Show it",
                    len(findings),
                    mark=WRONG,
                )
            )
        self.setVisible(bool(findings))

    def _failed(self, error: DeskError) -> None:
        self.setText(f"{WRONG} {error}")
        self.show()

    def _open(self) -> None:
        open_own_checks(self._queue, self.window())


def open_own_checks(queue: WorkQueue, parent: QWidget) -> QWidget:
    """Open the shop's own checks in a window of their own."""
    from desk.windows.own_checks.window import OwnChecksWindow

    window = OwnChecksWindow(queue, parent)
    window.show()
    return window
