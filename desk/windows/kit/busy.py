"""Says that something takes its time: how far it is, and a way to stop it."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from desk.base.texts import _
from desk.windows.kit.labels import text_label

SHOWN_AFTER_MS = 500
"""What is over sooner than this is not announced."""


class Busy(QWidget):
    """A sentence, a bar, and a button that stops; seen only when the work lasts.

    Signals:
        stop_asked: the person does not want to wait for it.
    """

    stop_asked = Signal()

    def __init__(self, stop: str = "") -> None:
        super().__init__()
        self.setObjectName("busy")
        self._what = ""
        self.words = text_label(name="busy_words")
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)  # the count stands in the sentence, where it can be read
        self.stop = QPushButton(stop or _("Stop"))
        self.stop.setObjectName("busy_stop")
        self.stop.setAutoDefault(False)
        self.stop.clicked.connect(self.stop_asked)
        row = QHBoxLayout()
        row.addWidget(self.bar, 1)
        row.addWidget(self.stop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.words)
        column.addLayout(row)
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.setInterval(SHOWN_AFTER_MS)
        self._wait.timeout.connect(self.show)
        self.hide()

    def begin(self, what: str) -> None:
        """Say what is under way, if it lasts."""
        self._what = what
        self.show_progress(0, 0)
        self._wait.start()

    def show_progress(self, count: int, total: int) -> None:
        """Show how many of how many are done; a total of 0 is one that is not known."""
        self.bar.setRange(0, total)
        self.bar.setValue(count)
        said = _("{what} {count} of {total}", what=self._what, count=count, total=total)
        self.words.setText(said if total else self._what)
        self.bar.setAccessibleName(self.words.text())

    def end(self) -> None:
        """Say no more: it is done, or nobody waits for it."""
        self._wait.stop()
        self.hide()
