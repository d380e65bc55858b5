"""A line of words along an edge of a window, which makes room for it, so that it covers nothing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QDialog, QFrame, QHBoxLayout, QMainWindow, QWidget

from desk.base.errors import OfficeGone
from desk.windows.kit.labels import WRONG, text_label


class EdgeLine(QFrame):
    """One line along the lower or the upper edge of a window; it takes no keys.

    Attributes:
        words: what it says.
        row: what stands in it, the words first.
    """

    def __init__(self, window: QWidget, sentence: str, name: str, *, on_top: bool = False) -> None:
        super().__init__(window)
        self.setObjectName(name)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self._window, self._on_top, self._room = window, on_top, 0
        self.words = text_label(sentence, f"{name}_words")
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(10, 3, 10, 3)
        self.row.addWidget(self.words, 1)
        window.installEventFilter(self)
        self.ensurePolished()

    def lay_down(self) -> None:
        """Take the room that the words need at the width of the window."""
        window = self._window
        width = window.width()
        high = self.heightForWidth(width)  # the hint of text that breaks is far too high
        self._take_room(high)
        self.setGeometry(0, 0 if self._on_top else window.height() - high, width, high)
        self.raise_()

    def _take_room(self, high: int) -> None:
        """Widen or narrow the margin of the edge; the other line's margin stays as it is."""
        window = self._window
        margins, more = window.contentsMargins(), high - self._room
        if self._on_top:
            margins.setTop(margins.top() + more)
        else:
            margins.setBottom(margins.bottom() + more)
        self._room = high
        window.setContentsMargins(margins)

    def leave(self) -> None:
        """Go, and give back the room."""
        self._window.removeEventFilter(self)
        self.hide()
        self._take_room(0)
        self.deleteLater()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the size of the window."""
        if event.type() == QEvent.Type.Resize:
            self.lay_down()
        return super().eventFilter(watched, event)


GONE = "gone"
"""Name of the line that says that the office is no longer there."""


class GoneOffice(QObject):
    """Says in every window, also in those that come later, that the office is no longer there."""

    def __init__(self, error: OfficeGone, application: QApplication, parent: QObject) -> None:
        super().__init__(parent)
        self._sentence = f"{WRONG} {error}"
        application.focusWindowChanged.connect(self.say)
        self.say()

    def say(self) -> None:
        """Say it in the windows that do not yet."""
        for window in QApplication.topLevelWidgets():
            if (
                isinstance(window, QMainWindow | QDialog)
                and window.isVisible()
                and window.findChild(EdgeLine, GONE) is None
            ):
                line = EdgeLine(window, self._sentence, GONE, on_top=True)
                line.lay_down()
                line.show()
