"""The drawing of a check, in the colours of the theme, beside the steps that it belongs to."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontInfo, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QWidget

from desk.base.texts import say
from desk.trade.reference.drawing_index import DRAWINGS, GROUND, INK, SHAPE, WATER, drawn
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label

_LETTERS_WIDE = 17
"""Width of a drawing, in the heights of the letters around it."""
_TINT = 0.22
_STEPS_FROM = 2.2
"""Width from which steps and drawing stand side by side, in widths of the drawing."""


def _colours(palette: QPalette) -> dict[str, QColor]:
    """Return what stands for the colours of a drawing: water is the ground with a tint of blue."""
    ground = palette.color(QPalette.ColorRole.Base)
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

    A check without a drawing has its steps over the whole width; one whose drawing finds no room
    is turned over to it.
    """

    def __init__(self, steps: QWidget) -> None:
        super().__init__()
        self._steps = steps
        self.picture = DrawingPicture()
        self.legend = text_label(name="drawing_legend", rank="caption")
        self.legend.setProperty("means", "quiet")
        self._sides = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._sides.setSpacing(16)
        self._sides.addWidget(steps, 1, Qt.AlignmentFlag.AlignTop)
        self._sides.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignTop)
        layout = column(spacing=6)
        layout.addLayout(self._sides)
        layout.addWidget(self.legend)
        self.setLayout(layout)
        self._name = ""
        self._is_turned = self._no_legend = self._no_picture = False
        self.show_drawing("")

    def show_drawing(self, name: str) -> None:
        """Show a drawing by its name, or none."""
        self._name = name if name in DRAWINGS else ""
        if self._name:
            self.picture.show_drawing(name)
            self.legend.setText(DRAWINGS[name].in_words())
        self._show()

    def has_drawing(self) -> bool:
        """Return whether there is a drawing."""
        return bool(self._name)

    def fold(self, *, legend: bool, picture: bool) -> None:
        """Fold the legend away, or the drawing with it; what is turned to stays in view."""
        self._no_legend, self._no_picture = legend, picture
        self._show()

    def turn_to_picture(self, turned: bool) -> None:
        """Show the drawing in place of the steps, or the steps again."""
        self._is_turned = turned
        self._show()

    def _show(self) -> None:
        turned = self._is_turned and bool(self._name)
        self._steps.setVisible(not turned)
        self.picture.setVisible(bool(self._name) and (turned or not self._no_picture))
        self.legend.setVisible(bool(self._name) and (turned or not self._no_legend))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand as fits the width."""
        super().resizeEvent(event)
        self.stand_in(event.size().width())

    def stand_in(self, width: int) -> None:
        """Stand side by side where the steps keep the greater half of a width."""
        wide = width >= _STEPS_FROM * self.picture.sizeHint().width()
        self._sides.setDirection(
            QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        )
