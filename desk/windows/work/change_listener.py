"""Hears other desks and has the windows load again, but never while somebody is typing."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier, QTimer, Signal
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit

from desk.base.errors import DeskError, OfficeGone
from desk.windows.work.thread_handoff import PendingCall, ThreadBridge, Way

if TYPE_CHECKING:
    from desk.records.office.change_feed import ChangeFeed
    from desk.records.views.changes import RemoteChange

log = logging.getLogger(__name__)

ASK_FILE_MS = 1_000
"""How often a file is asked for news; a server tells them by itself."""
ASK_SERVER_MS = 30_000
"""How often a server is asked whether the line still stands."""
AGAIN_MS = 5_000
"""So long after a line was lost it is tried again."""
QUIET_MS = 1_000
"""A field in which nothing has changed for this long is not being typed in."""


class ChangeListener(QObject):
    """Listens, on another thread, and tells what came when nobody is typing.

    Signals:
        told: what other desks did (`RemoteChange`).
        gone: that the office is no longer there (`OfficeGone`); nothing more is heard.
    """

    told = Signal(object)
    gone = Signal(object)

    def __init__(
        self,
        ear: ChangeFeed,
        away: ThreadBridge,
        way: Way,
        parent: QObject,
        *,
        quiet_ms: int = QUIET_MS,
    ) -> None:
        super().__init__(parent)
        self._ear, self._away, self._way = ear, away, way
        self._came: list[RemoteChange] = []
        self._standing: tuple[int, str] | None = None
        self._notifier: QSocketNotifier | None = None
        self._is_asking = False
        self._sent = 0
        self._ask_again, self._open_again, self._quiet = (QTimer(self) for _timer in range(3))
        self._ask_again.timeout.connect(self.ask)
        self._open_again.timeout.connect(self.open)
        self._quiet.timeout.connect(self._tell_when_quiet)
        for timer, wait_ms in ((self._open_again, AGAIN_MS), (self._quiet, quiet_ms)):
            timer.setSingleShot(True)
            timer.setInterval(wait_ms)

    def open(self) -> None:
        """Begin to listen; a line that is lost is tried again until it stands."""
        errand = PendingCall(self, self._listen, self._lost)
        self._sent = self._away.send(self._way, self._ear.open, errand)

    def _listen(self, missed: tuple[RemoteChange, ...]) -> None:
        waits_on = self._ear.fileno()
        if waits_on is not None:
            self._notifier = QSocketNotifier(waits_on, QSocketNotifier.Type.Read, self)
            self._notifier.activated.connect(self.ask)
        self._ask_again.start(ASK_FILE_MS if waits_on is None else ASK_SERVER_MS)
        self._heard(missed)

    def ask(self) -> None:
        """Ask for news on the other thread; one question at a time."""
        if self._is_asking:
            return
        self._is_asking = True
        self._rest(rests=True)
        errand = PendingCall(self, self._answered, self._lost)
        self._sent = self._away.send(self._way, self._ear.hear, errand)

    def _answered(self, news: tuple[RemoteChange, ...]) -> None:
        self._is_asking = False
        self._rest(rests=False)
        self._heard(news)

    def _rest(self, *, rests: bool) -> None:
        if self._notifier is not None:
            self._notifier.setEnabled(not rests)

    def _lost(self, error: DeskError) -> None:
        log.info("other desks are not heard: %s", error.facts)
        self._stop()
        if isinstance(error, OfficeGone):
            self.gone.emit(error)
        else:
            self._open_again.start()

    def _stop(self) -> None:
        self._is_asking = False
        self._ask_again.stop()
        if self._notifier is not None:
            self._notifier.setEnabled(False)
            self._notifier.deleteLater()
            self._notifier = None

    def _heard(self, news: tuple[RemoteChange, ...]) -> None:
        self._came += news
        if not self._quiet.isActive():
            self._tell_when_quiet()

    def _tell_when_quiet(self) -> None:
        """Tell what came, unless a field that is typed in has changed since a moment ago."""
        if not self._came:
            return
        before, self._standing = self._standing, _standing()
        if self._standing is not None and self._standing != before:
            self._quiet.start()
            return
        from desk.records.views.changes import together

        came, self._came, self._standing = self._came, [], None
        self.told.emit(together(came))

    def close(self) -> None:
        """Listen no longer; the other thread has to be done."""
        self._away.drop(self._sent)
        self._stop()
        self._open_again.stop()
        self._quiet.stop()
        self._ear.close()


def _standing() -> tuple[int, str] | None:
    """Return which field is typed in and what stands there; None where the keys are elsewhere."""
    field = QApplication.focusWidget()
    if isinstance(field, QLineEdit):
        return id(field), field.text()
    if isinstance(field, QPlainTextEdit):
        return id(field), field.toPlainText()
    return None
