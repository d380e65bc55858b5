"""The flow scale: bands and activation flow where they belong, on paper and as SVG."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.graphics import renderSVG
from reportlab.graphics.shapes import Drawing, PolyLine, Rect, String

from desk.paper.charts.flow_scale import Band, flow_scale

BANDS = [Band("Before", 0.398, 0.422, 0.446), Band("After", 2.05, 2.17, 2.29)]


def drawn(bands: list[Band], activation: float | None = 0.5) -> Drawing:
    return flow_scale(
        bands, activation=activation, activation_label="responds from 0.5", unit="gpm", width=400
    )


def shapes[T](drawing: Drawing, kind: type[T]) -> list[T]:
    return [shape for shape in drawing.contents if isinstance(shape, kind)]


def test_what_is_below_the_activation_flow_lies_left_of_its_line() -> None:
    drawing = drawn(BANDS)
    _ground, before, after = shapes(drawing, Rect)
    line = shapes(drawing, PolyLine)[0].points[0]
    assert before.x + before.width < line < after.x


def test_lengths_are_in_proportion() -> None:
    _ground, before, after = shapes(drawn(BANDS), Rect)
    assert after.width / before.width == pytest.approx(0.24 / 0.048)


def test_an_unknown_activation_flow_is_not_drawn() -> None:
    assert shapes(drawn(BANDS, activation=None), PolyLine) == []


flows = st.floats(0, 1e4, allow_subnormal=False)


@given(st.lists(st.tuples(flows, flows, flows).map(sorted), min_size=1, max_size=4), flows)
def test_everything_stays_on_the_drawing_and_the_axis_has_a_readable_number_of_ticks(
    triples: list[list[float]], activation: float
) -> None:
    drawing = drawn([Band("Before", *triple) for triple in triples], activation)
    for rect in shapes(drawing, Rect):
        assert 0 <= rect.x <= rect.x + rect.width <= drawing.width + 0.5
    ticks = [text for text in shapes(drawing, String) if text.textAnchor == "middle"]
    assert 2 <= len(ticks) <= 12


def test_the_same_drawing_is_shown_on_screen_as_svg() -> None:
    assert "responds from 0.5" in renderSVG.drawToString(drawn(BANDS))
