"""A picture to press: shown small, as sharp as the screen, and opened or taken by one touch."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QImage, QKeyEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy

SMALL = QSize(196, 147)
"""Device-independent pixels of a small picture; upright ones stand in the same room."""
SMALLER = QSize(120, 90)
TWICE = 2
"""Pixels asked for to each of these: sharp at 200 %."""
_EDGE = 4


class PictureButton(QPushButton):
    """A small picture with a line under it; Enter, Space and a click press it."""

    def __init__(self, name: str, room: QSize, told: str = "", under: str = "") -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAutoDefault(False)
        self.setAccessibleName(told)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._room, self._under = room, under
        self._image = QImage()
        self._is_missing = False

    def show_picture(self, content: bytes) -> None:
        """Show the bytes of a picture; none are one that cannot be read any more."""
        self._image = QImage.fromData(content)
        self._is_missing = self._image.isNull()
        self.update()

    def is_told(self) -> bool:
        """Return whether the picture is there, or known to be missing."""
        return self._is_missing or not self._image.isNull()

    def sizeHint(self) -> QSize:
        """Return the size of a small picture, and of the line under it."""
        line = self.fontMetrics().height() + _EDGE if self._under else 0
        return self._room + QSize(2 * _EDGE, 2 * _EDGE + line)

    def minimumSizeHint(self) -> QSize:
        """Return the same: a picture is not cut."""
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let Enter press it as Space does."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the picture in its room, a ring where the keys are, and the line under it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        room = QRect(QPoint(_EDGE, _EDGE), self._room)
        palette = self.palette()
        painter.fillRect(room, palette.color(QPalette.ColorRole.Button))
        painter.setPen(palette.color(QPalette.ColorRole.ButtonText))
        if self._image.isNull():
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, "✖" if self._is_missing else "…")
        else:
            size = self._image.size().scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
            area = QRect(room.topLeft(), size)
            area.moveCenter(room.center())
            painter.drawImage(area, self._image)
        if self._under:
            below = QRect(_EDGE, room.bottom() + 1, room.width(), self.height() - room.bottom())
            text = self.fontMetrics().elidedText(
                self._under, Qt.TextElideMode.ElideMiddle, below.width()
            )
            painter.drawText(below, Qt.AlignmentFlag.AlignCenter, text)
        if self.hasFocus() or self.underMouse():
            role = QPalette.ColorRole.Link if self.hasFocus() else QPalette.ColorRole.Mid
            painter.setPen(QPen(palette.color(role), 3))
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
