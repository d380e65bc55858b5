"""The charts of what comes back: what is drawn is what was counted, in black and white."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.graphics import renderPDF, renderSVG
from reportlab.graphics.shapes import Drawing, Line, PolyLine, String
from reportlab.lib.colors import Color

from desk.paper.charts.axes import Axis, Inks, round_step, shortened
from desk.paper.charts.charts import Curve, RatePoint, rate_chart, step_chart

POINTS = [
    RatePoint("Strainer of the building blocked", 0.4, 0.21, 0.64, "7 of 17"),
    RatePoint("No fault found", 0.0, 0.0, 0.2, "0 of 16"),
]


def texts(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.contents if isinstance(shape, String)]


def lines(drawing: Drawing) -> list[PolyLine]:
    return [shape for shape in drawing.contents if isinstance(shape, PolyLine)]


def heaviest(drawing: Drawing) -> PolyLine:
    return max(lines(drawing), key=lambda line: (line.strokeWidth, len(line.points)))


def curve(count: int, *, label: str = "", end: float = 10.0) -> Curve:
    xs = [end * place / count for place in range(count)]
    ys = [place / 10 for place in range(count)]
    return Curve(label, xs, ys, [None, *(y * 0.8 for y in ys[1:])], [None, *ys[1:]], end)


def rates(points: list[RatePoint] = POINTS) -> Drawing:
    return rate_chart(points, overall=0.14, overall_label="all jobs 14 %", width=420)


def test_each_group_stands_with_its_counts_and_its_limits() -> None:
    drawn = rates()

    assert {"Strainer of the building blocked", "7 of 17", "0 of 16", "all jobs 14 %"} <= {
        *texts(drawn)
    }
    whiskers = [
        shape for shape in drawn.contents if isinstance(shape, Line) and shape.strokeWidth == 1
    ]
    assert len(whiskers) == 3 * len(POINTS)


def test_a_rate_lies_where_its_axis_says() -> None:
    axis = Axis.reaching(0.64, start=100.0, length=300.0)

    assert [axis.end, axis.step] == pytest.approx([0.8, 0.2])
    assert axis.at(0.4) == pytest.approx(250.0)
    assert axis.at(7.0) == 400.0
    assert [axis.said(value, percent=True) for value in axis.values()] == [
        "0 %", "20 %", "40 %", "60 %", "80 %",
    ]  # fmt: skip


@given(st.floats(1e-6, 1e9))
def test_steps_are_round_and_few(reach: float) -> None:
    step = round_step(reach)

    assert float(f"{step:.0e}") == pytest.approx(step)
    assert f"{step:.0e}"[0] in "125"
    assert 1 <= reach / step <= 5.1


def test_a_curve_steps_and_runs_on_to_where_it_was_watched() -> None:
    drawn = step_chart(
        [Curve("", [0, 2, 5], [0, 1, 3], [None, 0.5, 1], [None, 2, 4], 8)],
        across="Age, years", up="Failures per appliance", width=400,
    )  # fmt: skip

    points = heaviest(drawn).points
    xs, ys = points[0::2], points[1::2]
    assert len(xs) == 6
    assert xs == sorted(xs)
    assert ys[1] == ys[0] < ys[2] == ys[3] < ys[4] == ys[5]
    assert {"Age, years", "Failures per appliance"} <= {*texts(drawn)}


def test_limits_are_dashed_and_begin_where_there_are_any() -> None:
    drawn = step_chart([curve(5)], across="", up="", width=400)

    dashed = [line for line in lines(drawn) if line.strokeDashArray]
    assert len(dashed) == 2
    assert all(line.points[0] > heaviest(drawn).points[0] for line in dashed)


def test_curves_are_told_apart_without_colour() -> None:
    drawn = step_chart(
        [curve(9, label=name) for name in ("Fern 24", "Quill 30", "Weir")],
        across="", up="", width=400,
    )  # fmt: skip

    heavy = [line for line in lines(drawn) if line.strokeWidth > 1]
    assert len({str(line.strokeDashArray) for line in heavy}) == 3
    assert len({line.strokeColor.hexval() for line in heavy}) == 1
    assert {"Fern 24", "Quill 30", "Weir"} <= {*texts(drawn)}


def test_names_of_curves_that_end_together_do_not_cover_each_other() -> None:
    drawn = step_chart(
        [curve(9, label=name) for name in ("Fern 24", "Quill 30")], across="", up="", width=400
    )

    names = [
        shape
        for shape in drawn.contents
        if isinstance(shape, String) and shape.text in {"Fern 24", "Quill 30"}
    ]
    assert abs(names[0].y - names[1].y) >= names[0].fontSize


def test_many_thousand_steps_are_drawn_as_few_as_can_be_seen() -> None:
    drawn = step_chart([curve(200_000)], across="", up="", width=400)

    assert len(heaviest(drawn).points) < 8_000
    assert heaviest(drawn).points[-1] == pytest.approx(drawn.height - 14, abs=60)


def test_a_chart_is_the_same_on_screen_in_the_inks_of_the_look() -> None:
    white = Color(1, 1, 1)
    svg = renderSVG.drawToString(
        rate_chart(
            POINTS,
            overall=None,
            overall_label="",
            width=420,
            inks=Inks(ink=white, soft=white, line=white, wash=white),
        )
    )

    assert "7 of 17" in svg
    assert {*re.findall(r"(?:fill|stroke): (rgb[^;]+)", svg)} == {"rgb(100%,100%,100%)"}


@pytest.mark.parametrize("name", ["<b>&", "a\nb", "x" * 10_000, "\u202eabc", "Ж" * 300, ""])
def test_a_name_is_text_and_fits(name: str) -> None:
    drawn = rates([RatePoint(name, 0.4, 0.2, 0.6, "1 of 2")])

    assert renderPDF.drawToString(drawn).startswith(b"%PDF")
    assert renderSVG.drawToString(drawn)
    assert all(len(text) < 120 for text in texts(drawn))


def test_a_long_name_is_cut_with_a_sign_that_it_was() -> None:
    assert shortened("Strainer", 400) == "Strainer"
    assert shortened("Strainer of the building blocked", 60).endswith("…")
