"""The blank that every drawing begins with."""

from __future__ import annotations

from reportlab.graphics.shapes import Drawing

from desk.paper.kit import fonts


def blank_drawing(width: float, height: float) -> Drawing:
    """Return an empty drawing, in points, that names no font which the file would not carry."""
    fonts.register()
    drawing = Drawing(width, height)
    drawing.initialFontName = fonts.REGULAR
    return drawing
