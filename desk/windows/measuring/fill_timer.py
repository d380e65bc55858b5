"""The fill timer: Space starts and stops, Enter keeps; a time read elsewhere can be typed."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout

from desk.base.texts import _
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton

TICK_MS = 100
_MINUTE = 60


class FillTimer(QFrame):
    """A watch with two keys and a line for a time that was read off another one.

    Signals:
        kept: the time of a fill, as the watch gave it or as it was typed.
    """

    kept = Signal(str)

    def __init__(self, name: str, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(_("Fill timer: Space starts and stops, Enter keeps the fill"))
        self.setFrameShape(QFrame.Shape.Box)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._clock = clock
        self._started: float | None = None
        self._is_typed = self._is_reported = False
        self._given_back = ""
        self._beat = QTimer(self)
        self._beat.setInterval(TICK_MS)
        self._beat.timeout.connect(self._tell)
        self.digits = text_label("0:00.0", rank="digits", name=f"{name}_digits")
        self.digits.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.run = WideButton(_("Start"), f"{name}_run")
        self.run.show_key(_("Space"))
        self.run.clicked.connect(self.start_or_stop)
        self.keep = WideButton(_("Keep this fill"), f"{name}_keep")
        self.keep.show_key(_("Enter"))
        self.keep.clicked.connect(self.keep_fill)
        self.typed = TypedLine("fill", _("Time of the fill"), _("such as 38.2 s or 0:38.2"))
        self.typed.edit.setObjectName(f"{name}_typed")
        self.typed.entered.connect(self._keep_typed)
        buttons = QHBoxLayout()
        buttons.addWidget(self.run, 1)
        buttons.addWidget(self.keep, 1)
        layout = column(spacing=6, margins=10)
        layout.addWidget(self.digits)
        layout.addLayout(buttons)
        layout.addWidget(self.typed)
        self.setLayout(layout)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Start, stop and keep from the keys."""
        if event.isAutoRepeat():
            return
        if event.key() == Qt.Key.Key_Space:
            self.start_or_stop()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.keep_fill()
        else:
            super().keyPressEvent(event)

    def start_or_stop(self) -> None:
        """Start the watch, or stop it and put its time into the line."""
        self._is_typed = False
        self.setFocus()
        if self._started is None:
            self._started = self._clock()
            self._beat.start()
            self.run.say(_("Stop"))
            return
        self._tell()
        seconds = self._clock() - self._started
        self._started = None
        self._beat.stop()
        self.typed.edit.setText(as_clock(seconds))
        self.typed.show_error("")
        self.run.say(_("Start again"))

    def keep_fill(self) -> None:
        """Report the time in the line, stopping the watch first where it runs.

        The line is free for the next fill at once; what is refused comes back into it.
        """
        if self._started is not None:
            self.start_or_stop()
        text = self.typed.text().strip()
        if not text and self._is_reported:
            return  # Enter that was pressed twice means it once
        self._is_reported = bool(text)
        if text:
            self.typed.put("")
            self.typed.show_error("")
            self.digits.setText(as_clock(0.0))
            self.run.say(_("Start"))
        self.kept.emit(text)

    def _keep_typed(self, _text: str) -> None:
        self.keep_fill()
        self._is_typed = True

    def take_keys(self) -> None:
        """Take the keys for the next fill, as the last one was given: typed, or by the watch."""
        (self.typed if self._is_typed else self).setFocus()

    def kept_now(self) -> None:
        """Know that what was reported is kept; what is typed by now is the next fill."""
        self._is_reported = False
        if self._given_back and self.typed.text().strip() == self._given_back:
            self.typed.put("")
            self.typed.show_error("")
        self._given_back = ""

    def give_back(self, texts: Sequence[str]) -> None:
        """Put what was reported and not kept back into the line, before what is typed by now."""
        self._is_reported = False
        now = self.typed.text()
        self._given_back = " ".join(texts)
        self.typed.take_up(self._given_back + (" " if now.strip() else "") + now)
        self.typed.edit.end(False)  # typing goes on behind it

    def _tell(self) -> None:
        if self._started is not None:
            self.digits.setText(as_clock(self._clock() - self._started))


def as_clock(seconds: float) -> str:
    """Return a time as a watch shows it, to a tenth of a second."""
    tenths = round(seconds * 10)
    minutes, rest = divmod(tenths, _MINUTE * 10)
    return f"{minutes}:{rest / 10:04.1f}"
