"""A drawing of ``resources/drawings`` on paper, in lines and not in dots.

svglib reads the files that the windows show; it is imported when the first one is printed.
"""

from __future__ import annotations

import io
from functools import cache

from reportlab.graphics.renderPDF import draw
from reportlab.graphics.shapes import Drawing
from reportlab.platypus import Flowable

from desk.paper.kit import fonts
from desk.trade.reference.drawing_index import SHAPE, drawn


class SvgDrawing(Flowable):  # type: ignore[misc]  # ReportLab is not typed
    """A drawing as wide as it is told to be."""

    def __init__(self, name: str, width: float) -> None:
        super().__init__()
        self._name = name
        self.width, self.height = width, width / SHAPE

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Take the same room everywhere."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it."""
        drawing = _read(self._name)
        self.canv.saveState()
        self.canv.scale(self.width / drawing.width, self.height / drawing.height)
        draw(drawing, self.canv, 0, 0)
        self.canv.restoreState()


@cache
def _read(name: str) -> Drawing:
    from svglib import fonts as svg_fonts
    from svglib.svglib import svg2rlg

    fonts.register()
    svg_fonts.register_font("Noto Sans", weight="bold", rlgFontName=fonts.BOLD)
    drawing = svg2rlg(io.StringIO(drawn(name)))
    if drawing is None:
        raise AssertionError(f"{name} is no drawing")
    drawing.initialFontName = fonts.REGULAR
    return drawing
