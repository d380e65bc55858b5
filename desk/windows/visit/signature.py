"""A place to sign with mouse, pen or finger; what was drawn is handed on as a PNG."""

from __future__ import annotations

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QSize, Qt
from PySide6.QtGui import QImage, QImageWriter, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.wording import _

HEIGHT = 160
INK_WIDTH = 2.5


class SignaturePad(QWidget):
    """White paper and black ink in either look, since the picture is printed."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(_("Place to sign with mouse, pen or finger"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._strokes: list[list[QPointF]] = []

    def sizeHint(self) -> QSize:
        """Return a size that a name fits in."""
        return QSize(480, HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Return the least that a name fits in."""
        return QSize(240, HEIGHT)

    def wipe(self) -> None:
        """Take the strokes away, to sign anew."""
        self._strokes.clear()
        self.update()

    def is_blank(self) -> bool:
        """Return whether nobody has signed."""
        return not self._strokes

    def png(self) -> bytes:
        """Return what was drawn as a PNG, b"" where nobody has signed."""
        if self.is_blank():
            return b""
        image = QImage(self.size() * 2, QImage.Format.Format_Grayscale8)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        painter.scale(2, 2)
        self._draw(painter)
        painter.end()
        kept = QByteArray()
        buffer = QBuffer(kept)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        QImageWriter(buffer, QByteArray(b"PNG")).write(image)
        return bytes(kept.data())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a stroke."""
        self._strokes.append([event.position()])
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with the stroke."""
        if self._strokes:
            self._strokes[-1].append(event.position())
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the paper, the line to sign on, and the strokes."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), Qt.GlobalColor.white)
        painter.setPen(QPen(Qt.GlobalColor.darkGray, 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        line = self.height() - 36
        painter.drawLine(16, line, self.width() - 16, line)
        self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(Qt.GlobalColor.black, INK_WIDTH)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        for stroke in self._strokes:
            if len(stroke) == 1:
                painter.drawPoint(stroke[0])
            else:
                painter.drawPolyline(stroke)
