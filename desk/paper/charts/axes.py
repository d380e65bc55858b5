"""Axes of a chart: round steps from nothing up, lines to read along, and what is counted."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reportlab.graphics.shapes import Drawing, Group, Line, String
from reportlab.lib.colors import Color

from desk.paper.kit import fonts
from desk.paper.kit.page import INK, LINE, SOFT, WASH

SIZE = 7.2


@dataclass(frozen=True, slots=True)
class Inks:
    """What a chart is drawn with: on paper the paper's own, on screen those of the look."""

    ink: Color = INK
    soft: Color = SOFT
    line: Color = LINE
    wash: Color = WASH


ON_PAPER = Inks()


def round_step(reach: float, most: int = 5) -> float:
    """Return the round step, 1, 2 or 5 times a power of ten, that reaches in few steps.

    Args:
        reach: the greatest value to be shown.
        most: about how many steps there may be.
    """
    if not (reach > 0 and math.isfinite(reach)):
        return 1.0
    raw = reach / most
    power = 10.0 ** math.floor(math.log10(raw))
    return next(power * size for size in (1, 2, 5, 10) if power * size >= raw * 0.999)


@dataclass(frozen=True, slots=True)
class Axis:
    """A scale from nothing to ``end`` along ``length`` points, beginning at ``start``."""

    start: float
    length: float
    end: float
    step: float

    @classmethod
    def reaching(cls, reach: float, *, start: float, length: float, most: int = 5) -> Axis:
        """Return the axis that ends at the first round step at or past ``reach``.

        Args:
            reach: the greatest value to be shown.
            start: where nothing lies, in points.
            length: of the whole axis, in points.
            most: about how many steps there may be.
        """
        step = round_step(reach, most)
        return cls(start, length, step * max(1, math.ceil(reach / step - 1e-9)), step)

    def at(self, value: float) -> float:
        """Return where a value lies; what is past an end lies at it."""
        return self.start + self.length * min(max(value, 0.0), self.end) / self.end

    def values(self) -> list[float]:
        """Return the values at the steps."""
        return [self.step * number for number in range(round(self.end / self.step) + 1)]

    def said(self, value: float, *, percent: bool = False) -> str:
        """Return a step's value with the places that its step needs."""
        if percent:
            return f"{100 * value:.{max(0, -math.floor(math.log10(100 * self.step)))}f} %"
        return f"{value:.{max(0, -math.floor(math.log10(self.step)))}f}"


def draw_across(
    drawing: Drawing, axis: Axis, foot: float, top: float, inks: Inks, *, percent: bool = False
) -> None:
    """Draw the axis below a chart, with lines up to its top.

    Args:
        drawing: what is drawn into.
        axis: the values, from left to right.
        foot: height at which the axis lies, in points.
        top: height up to which its lines go, in points.
        inks: what it is drawn with.
        percent: values are shares of one.
    """
    for value in axis.values():
        x = axis.at(value)
        drawing.add(Line(x, foot, x, top, strokeColor=inks.line, strokeWidth=0.3))
        write(drawing, x, foot - 10, axis.said(value, percent=percent), inks, anchor="middle")
    drawing.add(
        Line(
            axis.start, foot, axis.start + axis.length, foot, strokeColor=inks.ink, strokeWidth=0.6
        )
    )


def draw_up(
    drawing: Drawing, axis: Axis, left: float, right: float, inks: Inks, *, percent: bool = False
) -> None:
    """Draw the axis at the left of a chart, with lines to its right end.

    Args:
        drawing: what is drawn into.
        axis: the values, upwards.
        left: where the axis stands, in points; its numbers stand to the left of that.
        right: up to where its lines go, in points.
        inks: what it is drawn with.
        percent: values are shares of one.
    """
    for value in axis.values():
        y = axis.at(value)
        drawing.add(Line(left, y, right, y, strokeColor=inks.line, strokeWidth=0.3))
        write(drawing, left - 4, y - 2.5, axis.said(value, percent=percent), inks, anchor="end")
    drawing.add(
        Line(
            left, axis.start, left, axis.start + axis.length, strokeColor=inks.ink, strokeWidth=0.6
        )
    )


def write(
    drawing: Drawing | Group,
    x: float,
    y: float,
    text: str,
    inks: Inks = ON_PAPER,
    *,
    anchor: str = "start",
    bold: bool = False,
) -> None:
    """Write a short text into a drawing.

    Args:
        drawing: what is drawn into.
        x: where the text is anchored, in points.
        y: height of its baseline, in points.
        text: one line.
        inks: what it is drawn with.
        anchor: which part of the text lies at ``x``: ``start``, ``middle`` or ``end``.
        bold: in the dark ink and bold; else in the soft one.
    """
    font = fonts.BOLD if bold else fonts.REGULAR
    drawing.add(
        String(
            x,
            y,
            text,
            fontName=font,
            fontSize=SIZE,
            fillColor=inks.ink if bold else inks.soft,
            textAnchor=anchor,
        )
    )


def shortened(text: str, width: float, *, bold: bool = False) -> str:
    """Return a text that fits a width, its end left off where it must be.

    Args:
        text: one line.
        width: what it may take, in points, at the size that :func:`write` writes.
        bold: it will be written bold.
    """
    font = fonts.BOLD if bold else fonts.REGULAR
    if fonts.width_of(text, font, SIZE) <= width:
        return text
    while text and fonts.width_of(text + "…", font, SIZE) > width:
        text = text[: -max(1, len(text) // 16)]
    return text.rstrip() + "…"
