"""The program's own mistakes: the whole of one goes to the log, one quiet line to the person."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from shiboken6 import isValid

from desk.base.texts import _
from desk.windows.kit.edge import EdgeLine
from desk.windows.kit.labels import WRONG
from desk.windows.kit.prompts import Prompts
from desk.windows.work.thread_handoff import AGAIN

log = logging.getLogger(__name__)


class FailureLine(EdgeLine):
    """One line along the lower edge of a window; the keys stay where they are.

    Tab comes to its buttons last of all, and a click on them takes no keys either.

    Signals:
        details_asked: the person wants to see the log.
    """

    details_asked = Signal()

    def __init__(self, window: QWidget) -> None:
        sentence = f"{WRONG} {_('Something went wrong; your data is saved.')}"
        super().__init__(window, sentence, "failure")
        self._again: list[Callable[[], None]] = []
        self._keys: QWidget | None = None
        self.retry = self._button(_("Retry"), "failure_retry", self._do_again)
        self.details = self._button(_("Details"), "failure_log", self.details_asked.emit)
        self.dismiss = self._button(_("Dismiss"), "failure_dismiss", self.go)
        self.retry.hide()
        for button in (self.retry, self.details, self.dismiss):
            self.row.addWidget(button)
        QApplication.instance().focusChanged.connect(self._follow_keys)  # type: ignore[union-attr]
        self.lay_down()
        self.show()

    def _button(self, words: str, name: str, slot: Callable[[], object]) -> QPushButton:
        button = QPushButton(words, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(slot)
        return button

    def offer(self, again: Callable[[], None]) -> None:
        """Offer to do again what failed."""
        self._again.append(again)
        self.retry.show()
        self.lay_down()

    def offered(self) -> tuple[Callable[[], None], ...]:
        """Return what can be done again."""
        return tuple(self._again)

    def _do_again(self) -> None:
        """Do again what failed; the line comes back where it fails once more."""
        again = self.offered()
        self.go()
        for each in again:
            each()

    def go(self) -> None:
        """Go, and give back keys that were on the line, and the room."""
        has_keys = self.isAncestorOf(QApplication.focusWidget() or self._window)
        if has_keys and self._keys is not None and isValid(self._keys):
            self._keys.setFocus()
        self.leave()

    def _follow_keys(self, old: QWidget | None, now: QWidget | None) -> None:
        """Remember from where the keys came to the line."""
        if now is not None and old is not None and self.isAncestorOf(now):
            self._keys = self._keys if self.isAncestorOf(old) else old

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter press the button that has the keys, and Esc dismiss the line."""
        focus = QApplication.focusWidget()
        if event.key() == Qt.Key.Key_Escape:
            self.go()
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and isinstance(
            focus, QPushButton
        ):
            focus.click()
        else:
            super().keyPressEvent(event)


class Failures(QObject):
    """Hears of every error that nobody expected."""

    def __init__(self, path: Path, prompts: Prompts, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._path, self._prompts = path, prompts
        self.line: FailureLine | None = None

    def hear(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Log an error whole and tell it, as ``sys.excepthook`` does.

        A mistake that is made with every painting is told once, not once a painting.

        Args:
            kind: the error's class; a KeyboardInterrupt ends the program and is not logged.
            error: the error.
            trace: where it was raised; None where that is not known.
        """
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        log.error("unexpected", exc_info=(kind, error, trace))
        line = self._line_here()
        again = getattr(error, AGAIN, None)
        if line is not None and again is not None:
            line.offer(again)

    def _line_here(self) -> FailureLine | None:
        """Return the line in the window where the person is; None where there is no window."""
        window = _where_the_person_is()
        shown = self.line if self.line is not None and isValid(self.line) else None
        if shown is not None and shown.isVisible() and window in (None, shown.window()):
            return shown
        before = shown.offered() if shown is not None and not shown.isHidden() else ()
        if shown is not None and not shown.isHidden():
            shown.go()
        self.line = None
        if window is not None:
            self.line = FailureLine(window)
            self.line.details_asked.connect(self._show_log)
            for again in before:
                self.line.offer(again)
        return self.line

    def _show_log(self) -> None:
        self._prompts.show_file(self._path)


def _where_the_person_is() -> QWidget | None:
    """Return the active window, else the newest that is to be seen."""
    active = QApplication.activeWindow()
    if active is not None:
        return active
    seen = [one for one in QApplication.topLevelWidgets() if one.isVisible() and one.isWindow()]
    return next(
        (one for one in reversed(seen) if one.windowType() is not Qt.WindowType.Popup), None
    )
