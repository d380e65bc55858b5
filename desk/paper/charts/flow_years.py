"""Measured flows over the years, each with its interval, against the activation flow.

One drawing, printed as vectors and shown on screen through SVG. What was found is hollow, what was
left is solid: nothing is told by colour alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from reportlab.graphics.shapes import Circle, Drawing, Line, PolyLine, Rect

from desk.paper.charts.axes import ON_PAPER, SIZE, Axis, Inks, draw_up, write
from desk.paper.charts.canvas import blank_drawing
from desk.paper.kit import fonts
from desk.paper.kit.date_text import show_month
from desk.paper.kit.text import one_line

_LEFT, _RIGHT = 30.0, 8.0
_FOOT, _HEAD = 20.0, 20.0
_POINT = 2.6
_CAP = 2.2
_MOST_NAMES = 9
_LEAST_DAYS = 90
"""A shorter life is drawn over a quarter of a year, so that one flow does not stand at an edge."""


@dataclass(frozen=True, slots=True)
class FlowPoint:
    """A flow on a day with the ends of its interval, None where there is none, in one unit."""

    day: date
    flow: float
    low: float | None
    high: float | None
    is_left: bool


@dataclass(frozen=True, slots=True)
class _Days:
    """The days along the foot of the drawing."""

    first: date
    last: date
    start: float
    length: float

    def at(self, day: date) -> float:
        return self.start + self.length * (day - self.first).days / (self.last - self.first).days


def flow_years(
    points: Sequence[FlowPoint],
    *,
    activation: float | None,
    activation_label: str,
    unit: str,
    found: str,
    left: str,
    width: float,
    height: float = 150.0,
    inks: Inks = ON_PAPER,
) -> Drawing:
    """Draw flows against the days on which they were measured.

    Args:
        points: at least one, in any order.
        activation: flow from which the appliance responds, None where nobody knows it.
        activation_label: what is said of its line, "" where there is none.
        unit: of all values, as a person writes it.
        found: what is said of the hollow points.
        left: what is said of the solid ones.
        width: of the drawing, in points.
        height: of the drawing, in points.
        inks: what it is drawn with.
    """
    highest = max(point.high if point.high is not None else point.flow for point in points)
    flows = Axis.reaching(
        max(activation or 0.0, highest), start=_FOOT, length=height - _FOOT - _HEAD, most=4
    )
    days = _days_of(points, width)
    right = width - _RIGHT
    drawing = blank_drawing(width, height)
    if activation is not None:
        _draw_activation(drawing, flows.at(activation), right, inks)
    draw_up(drawing, flows, _LEFT, right, inks)
    _draw_days(drawing, days, height - _HEAD, inks)
    for point in sorted(points, key=lambda point: (point.day, point.is_left)):
        _draw_point(drawing, days.at(point.day), point, flows, inks)
    _draw_legend(drawing, height, (found, left), activation_label, inks)
    write(drawing, 0, height - 8.5, one_line(unit), inks)
    return drawing


def _days_of(points: Sequence[FlowPoint], width: float) -> _Days:
    first = min(point.day for point in points)
    last = max(point.day for point in points)
    short = max(_LEAST_DAYS - (last - first).days, 0)
    margin = timedelta(days=max((last - first).days // 40, 3) + short // 2)
    return _Days(first - margin, last + margin, _LEFT, width - _LEFT - _RIGHT)


def _draw_days(drawing: Drawing, days: _Days, top: float, inks: Inks) -> None:
    """Draw the foot with the first of each year, or of each month where there are few years."""
    for day, name in _names(days):
        x = days.at(day)
        drawing.add(Line(x, _FOOT, x, top, strokeColor=inks.line, strokeWidth=0.3))
        drawing.add(Line(x, _FOOT, x, _FOOT - 3, strokeColor=inks.ink, strokeWidth=0.5))
        half = fonts.width_of(name, fonts.REGULAR, SIZE) / 2
        x = min(max(x, days.start + half), days.start + days.length - half)
        write(drawing, x, _FOOT - 11, name, inks, anchor="middle")
    right = days.start + days.length
    drawing.add(Line(days.start, _FOOT, right, _FOOT, strokeColor=inks.ink, strokeWidth=0.6))


def _names(days: _Days) -> list[tuple[date, str]]:
    years = range(days.first.year + 1, days.last.year + 1)
    if len(years) > 1:
        every = -(-len(years) // _MOST_NAMES)
        return [(date(year, 1, 1), str(year)) for year in years[::every]]
    months = [
        date(year, month, 1)
        for year in range(days.first.year, days.last.year + 1)
        for month in range(1, 13)
        if days.first <= date(year, month, 1) <= days.last
    ]
    return [(day, show_month(day)) for day in months[:: -(-len(months) // _MOST_NAMES)]]


def _draw_point(drawing: Drawing, x: float, point: FlowPoint, flows: Axis, inks: Inks) -> None:
    y = flows.at(point.flow)
    for limit, towards in ((point.low, -1), (point.high, 1)):
        if limit is None:
            continue
        end = flows.at(limit)
        if abs(end - y) > _POINT:  # a hollow point stays hollow
            drawing.add(
                Line(x, y + towards * _POINT, x, end, strokeColor=inks.ink, strokeWidth=0.7)
            )
        drawing.add(Line(x - _CAP, end, x + _CAP, end, strokeColor=inks.ink, strokeWidth=0.7))
    _dot(drawing, x, y, inks, is_left=point.is_left)


def _dot(drawing: Drawing, x: float, y: float, inks: Inks, *, is_left: bool) -> None:
    fill = inks.ink if is_left else None
    drawing.add(Circle(x, y, _POINT, fillColor=fill, strokeColor=inks.ink, strokeWidth=0.8))


def _draw_legend(
    drawing: Drawing, height: float, words: tuple[str, str], activation: str, inks: Inks
) -> None:
    x, y = _LEFT + 3, height - 6
    for is_left, said in enumerate(map(one_line, words)):
        _dot(drawing, x, y, inks, is_left=bool(is_left))
        write(drawing, x + 6, y - 2.5, said, inks)
        x += fonts.width_of(said, fonts.REGULAR, SIZE) + 24
    if activation:
        drawing.add(_dashed(x, x + 18, y, inks))
        write(drawing, x + 22, y - 2.5, one_line(activation), inks)


def _draw_activation(drawing: Drawing, y: float, right: float, inks: Inks) -> None:
    """Wash what lies below the activation flow, and draw its line."""
    drawing.add(Rect(_LEFT, _FOOT, right - _LEFT, y - _FOOT, fillColor=inks.wash, strokeColor=None))
    drawing.add(_dashed(_LEFT, right, y, inks))


def _dashed(start: float, end: float, y: float, inks: Inks) -> PolyLine:
    return PolyLine([start, y, end, y], strokeColor=inks.ink, strokeWidth=1, strokeDashArray=[3, 2])
