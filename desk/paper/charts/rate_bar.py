"""A rate in a table's row: a bar for the rate, a whisker for the range that chance allows."""

from __future__ import annotations

from reportlab.graphics.shapes import Drawing, Line, Rect

from desk.paper.charts.canvas import blank_drawing
from desk.paper.kit.page import INK, LINE, SOFT

_HEIGHT = 11.0
_MIDDLE = 5.0


def rate_bar(rate: float, low: float, high: float, *, end: float, width: float) -> Drawing:
    """Draw a rate and its interval.

    Args:
        rate: the share that came back.
        low: lower end of its interval.
        high: upper end.
        end: share at the right end of the scale, the same for every row of a table.
        width: of the drawing, in points.
    """
    drawing = blank_drawing(width, _HEIGHT)
    at_rate, at_low, at_high = (
        (width - 2) * min(share, end) / end + 1 for share in (rate, low, high)
    )
    drawing.add(Rect(1, _MIDDLE - 3.5, at_rate - 1, 7, fillColor=LINE, strokeColor=None))
    drawing.add(Line(1, 0, 1, _HEIGHT, strokeColor=SOFT, strokeWidth=0.5))
    drawing.add(Line(at_low, _MIDDLE, at_high, _MIDDLE, strokeColor=INK, strokeWidth=1))
    for end_of_whisker in (at_low, at_high):
        drawing.add(
            Line(
                end_of_whisker, _MIDDLE - 3, end_of_whisker, _MIDDLE + 3,
                strokeColor=INK, strokeWidth=1,
            )
        )  # fmt: skip
    return drawing
