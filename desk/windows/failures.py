"""The program's own mistakes: the whole of one goes to the log, one sentence to the person."""

from __future__ import annotations

import logging
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from desk.windows.labels import text_label
from desk.windows.prompts import Prompts
from desk.wording import _

log = logging.getLogger(__name__)


class FailureWindow(QDialog):
    """One sentence, and the log for whoever wants to know more."""

    def __init__(self, path: Path, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("failure")
        self.setWindowTitle(_("A mistake of the program"))
        self._path, self._prompts = path, prompts
        self.words = text_label(
            _("Drawoff met a mistake of its own. What was saved is safe; the log says more."),
            "failure_words",
        )
        self.go_on = QPushButton(_("Go on"))
        self.go_on.setObjectName("failure_go_on")
        self.go_on.setDefault(True)
        self.go_on.clicked.connect(self.close)
        self.see_log = QPushButton(_("Show the log"))
        self.see_log.setObjectName("failure_log")
        self.see_log.setAutoDefault(False)
        self.see_log.clicked.connect(self._show_log)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.see_log)
        row.addWidget(self.go_on)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(16)
        column.addWidget(self.words)
        column.addLayout(row)
        self.resize(440, self.sizeHint().height())

    def _show_log(self) -> None:
        self._prompts.show_file(self._path)


class Failures(QObject):
    """Hears of every error that nobody expected."""

    def __init__(self, path: Path, prompts: Prompts, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path, self._prompts = path, prompts
        self.window: FailureWindow | None = None

    def hear(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Log an error whole and tell it, as ``sys.excepthook`` does.

        A mistake that is made with every painting is told once, not once a painting.
        """
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        log.error("unexpected", exc_info=(kind, error, trace))
        if self.window is not None and isValid(self.window) and self.window.isVisible():
            return
        self.window = FailureWindow(self._path, self._prompts, QApplication.activeWindow())
        self.window.show()
