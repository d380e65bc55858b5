"""Measured flows on one scale: each with its uncertainty as a band, and the activation flow.

One drawing, printed as vectors here and shown on screen through SVG there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.graphics.shapes import Drawing, Line, PolyLine, Rect, String

from desk.paper.charts.axes import Axis, round_step
from desk.paper.charts.canvas import blank_drawing
from desk.paper.kit import fonts
from desk.paper.kit.page import INK, LINE, SOFT, WASH

_ROW = 15.0
_TOP = 22.0
_AXIS = 18.0
_LABELS = 62.0
_RIGHT = 20.0
_SIZE = 7.2


@dataclass(frozen=True, slots=True)
class Band:
    """A measured value and how far about it the truth may lie, in the unit of the scale."""

    label: str
    low: float
    value: float
    high: float


def flow_scale(
    bands: Sequence[Band],
    *,
    activation: float | None,
    activation_label: str,
    unit: str,
    width: float,
) -> Drawing:
    """Draw flows on a scale from zero.

    Args:
        bands: the flows, the first at the top.
        activation: flow at which the appliance starts to respond, None where nobody knows it.
        activation_label: what stands at the activation flow's line.
        unit: of all values, as a person writes it.
        width: of the drawing, in points.
    """
    height = _TOP + _ROW * len(bands) + _AXIS
    reach = max([activation or 0.0, *(band.high for band in bands)])
    step = round_step(reach)
    steps = max(math.ceil(reach * 1.02 / step), 1)
    axis = Axis(_LABELS, width - _LABELS - _RIGHT, step * steps, step)
    drawing = blank_drawing(width, height)
    if activation is not None:
        _below_activation(drawing, axis, activation, height)
    _ticks(drawing, axis, unit, height)
    for row, band in enumerate(bands):
        _band(drawing, axis, band, height - _TOP - _ROW * (row + 0.5))
    if activation is not None:
        _activation(drawing, axis, activation, activation_label, height)
    return drawing


def _below_activation(drawing: Drawing, axis: Axis, activation: float, height: float) -> None:
    drawing.add(
        Rect(
            axis.start,
            _AXIS,
            axis.at(activation) - axis.start,
            height - _TOP - _AXIS,
            fillColor=WASH,
            strokeColor=None,
        )
    )


def _ticks(drawing: Drawing, axis: Axis, unit: str, height: float) -> None:
    for value in axis.values():
        x = axis.at(value)
        drawing.add(Line(x, _AXIS, x, height - _TOP, strokeColor=LINE, strokeWidth=0.3))
        drawing.add(Line(x, _AXIS, x, _AXIS - 3, strokeColor=INK, strokeWidth=0.5))
        _write(drawing, x, _AXIS - 11, axis.said(value), anchor="middle")
    drawing.add(
        Line(axis.start, _AXIS, axis.start + axis.length, _AXIS, strokeColor=INK, strokeWidth=0.6)
    )
    _write(drawing, 0, _AXIS - 11, unit)


def _band(drawing: Drawing, axis: Axis, band: Band, y: float) -> None:
    low, value, high = axis.at(band.low), axis.at(band.value), axis.at(band.high)
    drawing.add(
        Rect(
            low,
            y - 4,
            max(high - low, 0.5),
            8,
            fillColor=LINE,
            strokeColor=INK,
            strokeWidth=0.5,
        )
    )
    drawing.add(Line(value, y - 6, value, y + 6, strokeColor=INK, strokeWidth=1.8))
    _write(drawing, 0, y - 2.5, band.label, font=fonts.BOLD)


def _activation(drawing: Drawing, axis: Axis, activation: float, label: str, height: float) -> None:
    x = axis.at(activation)
    top = height - _TOP + 4
    drawing.add(
        PolyLine([x, _AXIS, x, top], strokeColor=INK, strokeWidth=1, strokeDashArray=[3, 2])
    )
    half = fonts.width_of(label, fonts.REGULAR, _SIZE) / 2
    middle = min(max(x, axis.start + half), axis.start + axis.length + _RIGHT - half)
    _write(drawing, middle, top + 4, label, anchor="middle")


def _write(
    drawing: Drawing,
    x: float,
    y: float,
    text: str,
    *,
    anchor: str = "start",
    font: str = fonts.REGULAR,
) -> None:
    drawing.add(
        String(x, y, text, fontName=font, fontSize=_SIZE, fillColor=SOFT, textAnchor=anchor)
    )
