"""A chart on screen: the very drawing that is printed, in the colours and letters of the theme."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QRectF, QSize, QTimer
from PySide6.QtGui import QFontInfo, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.base.errors import DeskError
from desk.windows.theme.themes import FAMILIES
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

    from desk.paper.charts.axes import Inks

type Draw = Callable[[float, float, "Inks"], "Drawing"]
"""Draws a chart so wide and so high, in points, with these inks."""

_SMALLEST = QSize(160, 110)
SETTLES_MS = 60
"""A chart that changes its size is drawn anew when it has stood still this long."""
_LETTERS = 0.9
"""Height of a chart's letters, in those of the window around it."""
_CLIPPING = re.compile(r"<clipPath.*?</clipPath>", re.DOTALL)
"""Qt knows no clipping in SVG and would paint what clips, which is the whole ground."""


class ChartPicture(QWidget):
    """Shows a chart; it is drawn away from the window's thread, anew where its size changes."""

    def __init__(self, queue: WorkQueue, name: str, label: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(label)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._queue = queue
        self._draw: Draw | None = None
        self._turn = 0
        self._picture: QSvgRenderer | None = None
        self._settles = QTimer(self)
        self._settles.setSingleShot(True)
        self._settles.setInterval(SETTLES_MS)
        self._settles.timeout.connect(self._redraw)

    def minimumSizeHint(self) -> QSize:
        """Return a size at which a chart can be read."""
        return _SMALLEST

    def show_chart(self, draw: Draw | None, words: str = "") -> None:
        """Show a chart, or none; ``words`` tell what is to be seen to whoever cannot see it."""
        self._draw = draw
        self.setAccessibleDescription(words)
        self._redraw()

    def _redraw(self) -> None:
        self._turn += 1
        draw, turn, scale = self._draw, self._turn, self._points()
        if draw is None or not self.isVisible():
            self._put(turn, "")
            return
        wide, high = self.width() / scale, self.height() / scale
        colours = self._colours()

        def build() -> str:
            from reportlab.graphics import renderSVG

            svg: str = renderSVG.drawToString(draw(wide, high, _inks(colours)))
            return svg

        def done(svg: str) -> None:
            self._put(turn, svg)

        self._queue.work(self, build, done, self._failed)

    def _put(self, turn: int, svg: str) -> None:
        if turn != self._turn:
            return  # another one is on its way
        from desk.paper.kit import fonts

        said = _CLIPPING.sub("", svg).replace(" fill: None;", " fill: none;")
        said = said.replace(f"font-family: {fonts.REGULAR};", f"font-family: {FAMILIES[0]};")
        self._picture = QSvgRenderer(QByteArray(said.encode())) if svg else None
        self.update()

    def _failed(self, error: DeskError) -> None:
        self._picture = None
        self.setAccessibleDescription(str(error))

    def _points(self) -> float:
        """Return how many device-independent pixels a point of the chart is."""
        from desk.paper.charts.axes import SIZE

        return _LETTERS * QFontInfo(self.font()).pixelSize() / SIZE

    def _colours(self) -> tuple[str, ...]:
        palette, role = self.palette(), QPalette.ColorRole
        parts = (role.WindowText, role.PlaceholderText, role.Mid, role.Button)
        return tuple(palette.color(part).name() for part in parts)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw it anew when the size has settled."""
        super().resizeEvent(event)
        self._settles.start()

    def changeEvent(self, event: QEvent) -> None:
        """Draw it anew in another look."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.PaletteChange, QEvent.Type.FontChange}:
            self._settles.start()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the chart at the top, as large as it was drawn."""
        if self._picture is None:
            return
        size, scale = self._picture.viewBoxF().size(), self._points()
        painter = QPainter(self)
        self._picture.render(painter, QRectF(0, 0, size.width() * scale, size.height() * scale))
        painter.end()


def _inks(colours: tuple[str, ...]) -> Inks:
    from reportlab.lib.colors import HexColor

    from desk.paper.charts.axes import Inks

    return Inks(*(HexColor(colour) for colour in colours))
