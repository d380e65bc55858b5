"""The sheet of a call: scrolled so that what is typed, and what is said of it, is in sight."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from desk.windows.kit.fields import Field


class CallSheet(QScrollArea):
    """Keeps what is typed in to be seen when the room changes; it goes up and down alone."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self._inside = inside
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidget(inside)

    def minimumSizeHint(self) -> QSize:
        """Return a width in which no line is cut off."""
        bar = self.verticalScrollBar().sizeHint().width()
        least = self._inside.minimumSizeHint().width() + bar
        return QSize(least, super().minimumSizeHint().height())

    def show_focus(self) -> None:
        """Scroll to what has the focus, where it stands in here, with what is said under it."""
        focus = self.window().focusWidget()
        if focus is None or not self.isAncestorOf(focus):
            return
        entry: QWidget | None = focus
        while entry is not None and not isinstance(entry, Field):
            entry = entry.parentWidget()
        self.ensureWidgetVisible(entry or focus, 0, 4)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep in sight also what comes to be said under the line that is typed in."""
        if watched is self.widget() and event.type() == QEvent.Type.LayoutRequest:
            QTimer.singleShot(0, self, self.show_focus)  # when the lines have found their places
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep it in sight, such as when an offer comes in below."""
        super().resizeEvent(event)
        self.show_focus()
