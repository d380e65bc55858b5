"""Measured flows on one scale: each with its uncertainty as a band, and the activation flow.

One drawing, printed as vectors here and shown on screen through SVG there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.graphics.shapes import Drawing, Line, PolyLine, Rect, String

from desk.paper import fonts
from desk.paper.axes import round_step
from desk.paper.drawing import blank_drawing
from desk.paper.page import INK, LINE, SOFT, WASH

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


@dataclass(frozen=True, slots=True)
class _Axis:
    left: float
    width: float
    step: float
    end: float

    def at(self, value: float) -> float:
        return self.left + self.width * min(max(value, 0.0), self.end) / self.end


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
    axis = _Axis(_LABELS, width - _LABELS - _RIGHT, step, step * steps)
    drawing = blank_drawing(width, height)
    if activation is not None:
        _below_activation(drawing, axis, activation, height)
    _ticks(drawing, axis, unit, height)
    for row, band in enumerate(bands):
        _band(drawing, axis, band, height - _TOP - _ROW * (row + 0.5))
    if activation is not None:
        _activation(drawing, axis, activation, activation_label, height)
    return drawing


def _below_activation(drawing: Drawing, axis: _Axis, activation: float, height: float) -> None:
    drawing.add(
        Rect(
            axis.left,
            _AXIS,
            axis.at(activation) - axis.left,
            height - _TOP - _AXIS,
            fillColor=WASH,
            strokeColor=None,
        )
    )


def _ticks(drawing: Drawing, axis: _Axis, unit: str, height: float) -> None:
    places = max(0, -math.floor(math.log10(axis.step)))
    for number in range(round(axis.end / axis.step) + 1):
        value = number * axis.step
        x = axis.at(value)
        drawing.add(Line(x, _AXIS, x, height - _TOP, strokeColor=LINE, strokeWidth=0.3))
        drawing.add(Line(x, _AXIS, x, _AXIS - 3, strokeColor=INK, strokeWidth=0.5))
        _write(drawing, x, _AXIS - 11, f"{value:.{places}f}", anchor="middle")
    drawing.add(
        Line(axis.left, _AXIS, axis.left + axis.width, _AXIS, strokeColor=INK, strokeWidth=0.6)
    )
    _write(drawing, 0, _AXIS - 11, unit)


def _band(drawing: Drawing, axis: _Axis, band: Band, y: float) -> None:
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


def _activation(
    drawing: Drawing, axis: _Axis, activation: float, label: str, height: float
) -> None:
    x = axis.at(activation)
    top = height - _TOP + 4
    drawing.add(
        PolyLine([x, _AXIS, x, top], strokeColor=INK, strokeWidth=1, strokeDashArray=[3, 2])
    )
    half = fonts.width_of(label, fonts.REGULAR, _SIZE) / 2
    middle = min(max(x, axis.left + half), axis.left + axis.width + _RIGHT - half)
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
