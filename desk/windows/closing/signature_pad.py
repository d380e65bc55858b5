"""A place to sign with mouse, pen or finger; what was drawn is handed on as a PNG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QBuffer, QByteArray, QEvent, QIODevice, QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QImage,
    QImageWriter,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QShowEvent,
    QTabletEvent,
    QTouchEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.base.texts import _
from desk.windows.kit.draft_keeper import keeper_of

HEIGHT = 160
LEAST_WIDTH = 240
INK_WIDTH = 2.5
EVEN = 0.5
"""The pressure of what has none: a mouse, a finger, a pen that does not tell."""


@dataclass(frozen=True, slots=True)
class Ink:
    """A point of a stroke on the paper, in device-independent pixels, and the pressure there.

    ``pressure`` is from 0 to 1.
    """

    x: float
    y: float
    pressure: float = EVEN

    @property
    def width(self) -> float:
        """How broad the stroke is here."""
        return INK_WIDTH * (0.5 + self.pressure)


type Strokes = list[list[Ink]]


def written(strokes: Sequence[Sequence[Ink]]) -> str:
    """Return strokes as a text that :func:`read_strokes` reads back, to a tenth of a pixel."""
    return ";".join(
        " ".join(f"{ink.x:.1f},{ink.y:.1f},{ink.pressure:.2f}" for ink in stroke)
        for stroke in strokes
    )


def read_strokes(text: str) -> Strokes:
    """Return the strokes of a text; none where it is no such text."""
    try:
        return [
            [Ink(*map(float, ink.split(","))) for ink in stroke.split()]
            for stroke in text.split(";")
            if stroke.strip()
        ]
    except (ValueError, TypeError):
        return []


class SignaturePad(QWidget):
    """White paper and black ink in either look, since the picture is printed.

    What is drawn and not handed in yet is followed like a half-typed field. On a narrower paper
    it is shown smaller, so that none of it is lost.

    Signals:
        text_changed: the strokes are others, whoever changed them.
    """

    text_changed = Signal()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.half_typed_name = name
        self.setAccessibleName(_("Place to sign with mouse, pen or finger"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self._strokes: Strokes = []
        self._kept = ""
        self._is_drawing = False
        self._finger: int | None = None

    def sizeHint(self) -> QSize:
        """Return a size that a name fits in."""
        return QSize(480, HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Return the least that a name fits in."""
        return QSize(LEAST_WIDTH, HEIGHT)

    def wipe(self) -> None:
        """Take the strokes away, to sign anew."""
        self.take_up("")

    def is_blank(self) -> bool:
        """Return whether nobody has signed."""
        return not self._strokes

    def text(self) -> str:
        """Return the strokes as a text."""
        return written(self._strokes)

    def take_up(self, text: str) -> None:
        """Let the strokes of a text stand there as if they had just been drawn."""
        self._strokes = read_strokes(text)
        self._changed()

    def give_up(self) -> str:
        """Return what is half drawn here, which stands elsewhere from now on."""
        text = self.text() if self.is_half_typed() else ""
        if text:
            self._strokes = []
            self.update()
        return text

    def settle(self) -> None:
        """Know that what is drawn is kept as a signature now."""
        self._kept = self.text()
        self.text_changed.emit()

    def unsettle(self) -> None:
        """Know that no signature is kept: what is drawn is half drawn."""
        if self._kept:
            self._kept = ""
            self.text_changed.emit()

    def is_half_typed(self) -> bool:
        """Return whether what is drawn is kept nowhere."""
        return bool(self._strokes) and self.text() != self._kept

    def png(self) -> bytes:
        """Return what was drawn as a PNG, b"" where nobody has signed."""
        if self.is_blank():
            return b""
        image = QImage(QSize(self.width(), HEIGHT) * 2, QImage.Format.Format_Grayscale8)
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

    def showEvent(self, event: QShowEvent) -> None:
        """Take up what was left here half drawn."""
        super().showEvent(event)
        keeper = keeper_of(self)
        if keeper is not None:
            keeper.follow(self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a stroke with the mouse."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._begin(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on with the stroke."""
        self._go_on(event.position())

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """End the stroke."""
        self._is_drawing = False

    def tabletEvent(self, event: QTabletEvent) -> None:
        """Draw with a pen: the harder it is pressed, the broader."""
        pressure = event.pressure() or EVEN  # some pens do not tell
        if event.type() == QEvent.Type.TabletPress:
            self._begin(event.position(), pressure)
        elif event.type() == QEvent.Type.TabletMove:
            self._go_on(event.position(), pressure)
        else:
            self._is_drawing = False
        event.accept()  # else a mouse would draw it again

    def event(self, event: QEvent) -> bool:
        """Draw with the finger that came first; a palm beside it draws nothing."""
        if not isinstance(event, QTouchEvent):
            return super().event(event)
        if event.type() == QEvent.Type.TouchBegin and event.points():
            self._finger = event.points()[0].id()
            self._begin(event.points()[0].position())
        elif event.type() == QEvent.Type.TouchUpdate:
            for point in event.points():
                if point.id() == self._finger:
                    self._go_on(point.position())
        else:
            self._is_drawing, self._finger = False, None
        event.accept()
        return True

    def _begin(self, at: QPointF, pressure: float = EVEN) -> None:
        self._is_drawing = True
        self._strokes.append([self._ink(at, pressure)])
        self._changed()

    def _go_on(self, at: QPointF, pressure: float = EVEN) -> None:
        if self._is_drawing and self._strokes:
            self._strokes[-1].append(self._ink(at, pressure))
            self._changed()

    def _ink(self, at: QPointF, pressure: float) -> Ink:
        """Return a point of the paper; beside the paper nothing is written."""
        scale = self._scale()
        x, y = min(max(at.x(), 0.0), self.width()), min(max(at.y(), 0.0), HEIGHT)
        return Ink(x / scale, y / scale, pressure)

    def _changed(self) -> None:
        self.update()
        self.text_changed.emit()

    def _scale(self) -> float:
        """Return how much smaller the strokes are shown than they were drawn, 1 or less."""
        widest = max((ink.x for stroke in self._strokes for ink in stroke), default=1.0) or 1.0
        return min(1.0, self.width() / widest)

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
        scale = self._scale()
        painter.scale(scale, scale)
        for stroke in self._strokes:
            for one, next_ in pairwise(stroke if len(stroke) > 1 else [*stroke, *stroke]):
                pen = QPen(Qt.GlobalColor.black, (one.width + next_.width) / 2)
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
                painter.setPen(pen)
                start, end = QPointF(one.x, one.y), QPointF(next_.x, next_.y)
                if start == end:
                    painter.drawPoint(start)
                else:
                    painter.drawLine(start, end)
