"""The charts of what comes back: rates by group, failures against age, and how long parts last.

Each is one drawing, printed as vectors and shown on screen through SVG. Nothing is told by colour
alone: estimates are solid, limits dashed, curves parted by their dashes and named at their ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from reportlab.graphics.shapes import Circle, Drawing, Line, PolyLine

from desk.paper.charts.axes import (
    ON_PAPER,
    SIZE,
    Axis,
    Inks,
    draw_across,
    draw_up,
    shortened,
    write,
)
from desk.paper.charts.canvas import blank_drawing
from desk.paper.kit import fonts
from desk.paper.kit.text import one_line

_ROW = 15.0
_FOOT = 26.0
_HEAD = 14.0
_COUNTS = 58.0
_LEFT = 40.0
_NAMES, _NAMES_SHARE = 112.0, 0.36
_NUMBER, _SHARE = 24.0, 30.0
"""Room that a number along an axis takes, and one in per cent, in points."""
_FINEST = 0.4
"""Steps closer than this, in points, are drawn as one."""

_DASHES: tuple[list[float] | None, ...] = (None, [6, 2], [2, 2], [8, 2, 2, 2])


@dataclass(frozen=True, slots=True)
class RatePoint:
    """A group's share that came back with its limits, and the counts behind it."""

    label: str
    rate: float
    low: float
    high: float
    counts: str


@dataclass(frozen=True, slots=True)
class Curve:
    """A line of steps with limits.

    Attributes:
        label: what it is called, "" where it stands alone.
        xs: where it steps, from the beginning on, which is the first of them.
        ys: its height from each of them on.
        lows: lower limit from each of them on; None where there is none.
        highs: upper limit.
        end: how far it was watched.
    """

    label: str
    xs: Sequence[float]
    ys: Sequence[float]
    lows: Sequence[float | None]
    highs: Sequence[float | None]
    end: float


def rate_chart(
    points: Sequence[RatePoint],
    *,
    overall: float | None,
    overall_label: str,
    width: float,
    inks: Inks = ON_PAPER,
) -> Drawing:
    """Draw the rates of groups with their limits, the first at the top.

    Args:
        points: the groups.
        overall: the rate of all jobs together, drawn as a dashed line; None without one.
        overall_label: what stands at that line.
        width: of the drawing, in points.
        inks: what it is drawn with.
    """
    height = _HEAD + _ROW * len(points) + _FOOT
    names = min(width * 0.36, max((_wide(point.label) for point in points), default=0.0) + 8)
    reach = max([overall or 0.0, 0.1, *(point.high for point in points)])
    length = width - names - _COUNTS
    most = max(min(int(length / _SHARE), 5), 2)
    axis = Axis.reaching(reach, start=names, length=length, most=most)
    drawing = blank_drawing(width, height)
    draw_across(drawing, axis, _FOOT, height - _HEAD, inks, percent=True)
    if overall is not None:
        x = axis.at(overall)
        drawing.add(_dashed([x, _FOOT, x, height - _HEAD + 2], inks, [3, 2], 0.9))
        half = _wide(overall_label) / 2
        write(
            drawing,
            min(max(x, names + half), width - half),
            height - _HEAD + 4,
            one_line(overall_label),
            inks,
            anchor="middle",
        )
    for row, point in enumerate(points):
        _draw_rate(drawing, axis, point, height - _HEAD - _ROW * (row + 0.5), inks)
    return drawing


def rows_that_fit(height: float) -> int:
    """Return for how many groups a chart of rates so high has room, at least one."""
    return max(int((height - _HEAD - _FOOT) // _ROW), 1)


def _draw_rate(drawing: Drawing, axis: Axis, point: RatePoint, y: float, inks: Inks) -> None:
    low, rate, high = axis.at(point.low), axis.at(point.rate), axis.at(point.high)
    write(drawing, 0, y - 2.5, shortened(one_line(point.label), axis.start - 6), inks)
    drawing.add(Line(low, y, high, y, strokeColor=inks.ink, strokeWidth=1))
    for end in (low, high):
        drawing.add(Line(end, y - 3, end, y + 3, strokeColor=inks.ink, strokeWidth=1))
    drawing.add(Circle(rate, y, 2.8, fillColor=inks.ink, strokeColor=None))
    right = axis.start + axis.length + 6
    write(drawing, right, y - 2.5, shortened(one_line(point.counts), _COUNTS - 6), inks)


def step_chart(
    curves: Sequence[Curve],
    *,
    across: str,
    up: str,
    width: float,
    height: float = 190.0,
    percent: bool = False,
    level: float | None = None,
    inks: Inks = ON_PAPER,
) -> Drawing:
    """Draw curves of steps with their limits.

    Args:
        curves: at most as many as there are dashes to part them by; the first is drawn heaviest.
        across: what is counted to the right, with its unit.
        up: what is counted upwards.
        width: of the drawing, in points.
        height: of the drawing, in points.
        percent: heights are shares of one.
        level: a height to be marked by a dashed line across, such as a half.
        inks: what it is drawn with.
    """
    drawn = [_thinned(curve, max(width, 1.0)) for curve in curves[: len(_DASHES)]]
    named = any(curve.label for curve in drawn)
    names = min(_NAMES, _NAMES_SHARE * width)
    right = width - (names if named else 10.0)
    x_axis = Axis.reaching(
        max((curve.end for curve in drawn), default=1.0),
        start=_LEFT,
        length=right - _LEFT,
        most=max(min(int((right - _LEFT) / _NUMBER), 8), 2),
    )
    y_axis = Axis.reaching(
        1.0 if percent else max((_highest(curve) for curve in drawn), default=1.0),
        start=_FOOT,
        length=height - _FOOT - _HEAD,
    )
    drawing = blank_drawing(width, height)
    top = height - _HEAD
    draw_across(drawing, x_axis, _FOOT, top, inks)
    draw_up(drawing, y_axis, _LEFT, right, inks, percent=percent)
    write(drawing, right, 4, one_line(across), inks, anchor="end")
    write(drawing, 0, height - 8, one_line(up), inks)
    if level is not None:
        y = y_axis.at(level)
        drawing.add(_dashed([_LEFT, y, right, y], inks, [1, 2], 0.9))
    for number, curve in enumerate(drawn):
        _draw_curve(drawing, curve, (x_axis, y_axis), _DASHES[number], inks)
    if named:
        _name_curves(drawing, drawn, y_axis, right, inks, names=names)
    return drawing


def _draw_curve(
    drawing: Drawing, curve: Curve, axes: tuple[Axis, Axis], dash: list[float] | None, inks: Inks
) -> None:
    for limits in (curve.lows, curve.highs):
        for run in _runs(curve, limits):
            drawing.add(_dashed(_steps(run, curve.end, axes), inks, [1.5, 1.5], 0.6))
    points = _steps(list(zip(curve.xs, curve.ys, strict=True)), curve.end, axes)
    drawing.add(_dashed(points, inks, dash, 1.5))


def _runs(curve: Curve, limits: Sequence[float | None]) -> list[list[tuple[float, float]]]:
    """Return the stretches over which there is a limit, each to where it ends."""
    runs: list[list[tuple[float, float]]] = [[]]
    for x, limit in zip(curve.xs, limits, strict=True):
        if limit is not None:
            runs[-1].append((x, limit))
        elif runs[-1]:
            runs[-1].append((x, runs[-1][-1][1]))
            runs.append([])
    return [run for run in runs if run]


def _steps(
    points: Sequence[tuple[float, float]], end: float, axes: tuple[Axis, Axis]
) -> list[float]:
    across, up = axes
    (x, y) = points[0]
    line = [across.at(x), up.at(y)]
    for (_x, before), (x, y) in pairwise(points):
        line += [across.at(x), up.at(before), across.at(x), up.at(y)]
    return [*line, across.at(max(end, points[-1][0])), up.at(points[-1][1])]


def _thinned(curve: Curve, width: float) -> Curve:
    """Leave out steps that nobody could tell from the next one."""
    least = _FINEST * max(curve.end, 1e-9) / width
    kept = [0]
    for place in range(1, len(curve.xs)):
        if len(kept) > 1 and curve.xs[place] - curve.xs[kept[-1]] < least:
            kept[-1] = place
        else:
            kept.append(place)
    return replace(
        curve,
        xs=[curve.xs[place] for place in kept],
        ys=[curve.ys[place] for place in kept],
        lows=[curve.lows[place] for place in kept],
        highs=[curve.highs[place] for place in kept],
    )


def _highest(curve: Curve) -> float:
    """Return the highest to be shown; limits far above the curve may leave the chart."""
    highest = max(curve.ys, default=0.0)
    limits = [limit for limit in curve.highs if limit is not None]
    return min(max([highest, *limits]), highest * 2.5) or 1.0


def _name_curves(
    drawing: Drawing, curves: Sequence[Curve], up: Axis, right: float, inks: Inks, *, names: float
) -> None:
    """Write each curve's name at its end, one under the other where they would meet."""
    places = sorted(enumerate(curves), key=lambda one: -one[1].ys[-1])
    lowest = up.start + up.length + SIZE
    for number, curve in places:
        y = min(up.at(curve.ys[-1]), lowest - SIZE - 2)
        lowest = y
        drawing.add(_dashed([right + 3, y, right + 15, y], inks, _DASHES[number], 1.5))
        name = shortened(one_line(curve.label), names - 20)
        write(drawing, right + 18, y - 2.5, name, inks)


def _dashed(points: list[float], inks: Inks, dash: list[float] | None, weight: float) -> PolyLine:
    return PolyLine(points, strokeColor=inks.ink, strokeWidth=weight, strokeDashArray=dash)


def _wide(text: str) -> float:
    return fonts.width_of(one_line(text), fonts.REGULAR, SIZE)
