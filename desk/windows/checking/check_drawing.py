"""The drawing of a check, in the colours of the theme, beside the steps that it belongs to."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontInfo, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QWidget

from desk.base.texts import say
from desk.trade.reference.drawing_index import DRAWINGS, GROUND, INK, SHAPE, WATER, drawn
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label

_LETTERS_WIDE = 15
"""Width of a drawing, in the heights of the letters around it."""
_TINT = 0.22
_STEPS_FROM = 2.2
"""Width from which steps and drawing stand side by side, in widths of the drawing."""


def _colours(palette: QPalette) -> dict[str, QColor]:
    """Return what stands for the colours of a drawing: water is the ground with a tint of blue."""
    ground = palette.color(QPalette.ColorRole.Window)
    tint = palette.color(QPalette.ColorRole.Link)
    mixed = (
        round(plain + (blue - plain) * _TINT)
        for plain, blue in (
            (ground.red(), tint.red()),
            (ground.green(), tint.green()),
            (ground.blue(), tint.blue()),
        )
    )
    return {
        INK: palette.color(QPalette.ColorRole.WindowText),
        GROUND: ground,
        WATER: QColor(*mixed),
    }


class DrawingPicture(QWidget):
    """Paints a drawing; what it shows is its accessible name and description."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("drawing_picture")
        self._name = ""
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_drawing(self, name: str) -> None:
        """Show a drawing by its name."""
        self._name = name
        drawing = DRAWINGS[name]
        self.setAccessibleName(say(drawing.caption))
        self.setAccessibleDescription(drawing.in_words())
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Grow with the letters."""
        wide = _LETTERS_WIDE * QFontInfo(self.font()).pixelSize()
        return QSize(wide, round(wide / SHAPE))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the lines in the theme's own colours."""
        if not self._name:
            return
        from PySide6.QtSvg import QSvgRenderer  # only here: start-up counts

        svg = drawn(self._name)
        for drawn_in, colour in _colours(self.palette()).items():
            svg = svg.replace(drawn_in, colour.name())
        painter = QPainter(self)
        QSvgRenderer(QByteArray(svg.encode())).render(painter, QRectF(self.rect()))
        painter.end()


class DrawnSteps(QWidget):
    """Steps with their drawing beside them, and under both what its marks stand for.

    A check without a drawing has its steps over the whole width.
    """

    def __init__(self, steps: QWidget) -> None:
        super().__init__()
        self.picture = DrawingPicture()
        self.legend = text_label(name="drawing_legend")
        self._sides = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._sides.setSpacing(16)
        self._sides.addWidget(steps, 1, Qt.AlignmentFlag.AlignTop)
        self._sides.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        layout = column(spacing=6)
        layout.addLayout(self._sides)
        layout.addWidget(self.legend)
        self.setLayout(layout)
        self.show_drawing("")

    def show_drawing(self, name: str) -> None:
        """Show a drawing by its name, or none."""
        there = name in DRAWINGS
        for part in (self.picture, self.legend):
            part.setVisible(there)
        if there:
            self.picture.show_drawing(name)
            self.legend.setText(DRAWINGS[name].in_words())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand side by side where the steps keep the greater half."""
        super().resizeEvent(event)
        wide = event.size().width() >= _STEPS_FROM * self.picture.sizeHint().width()
        self._sides.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
