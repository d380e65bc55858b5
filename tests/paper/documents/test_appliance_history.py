"""The history of an appliance on paper: all of it, in order, whatever was typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from reportlab.graphics.shapes import Circle, Drawing, Line, PolyLine

from desk.paper.charts.flow_years import FlowPoint, flow_years
from desk.paper.documents.appliance_history import appliance_history
from desk.paper.kit.date_text import show_date
from desk.records.views.parties import PaperSize, UnitSystem
from tests.every_day import every_day
from tests.paper.extremes import SENTENCE
from tests.paper.lives import (
    BOOKED,
    LIVES,
    SENSOR,
    endless_words,
    history_of,
    life_visit,
    no_visit,
    usual_life,
)
from tests.paper.reading_back import (
    bare,
    made_alike,
    metadata_of,
    outline_of,
    pages_of,
    text_of,
)
from tests.paper.snapshots import LOOKS


def test_the_page_says_all_that_the_snapshot_says() -> None:
    life = usual_life("us", "letter")
    said = text_of(appliance_history(life))
    for visit in life.visits:
        for text in (visit.number, visit.complaint_text, *visit.causes, visit.work_done):
            assert bare(text) in said
    for text in (
        "K-H0007", "Also entered as K-H0041", "Odile Farrow since 1 May 2021",
        "Aldous Thorne until 1 May 2021", "→ K-H0003 Kestle 20",
        "▶ K-H0007 Invented Kestle 24", "replaced 4 Sep 2018",
        "40 visits were made, from 23 May 2019 to 12 Nov 2026.", "8 pieces were fitted.",
        "↺ 70 days after visit K-0898, for the same.", "→ Continues K-0900.",
        "1 × Flow sensor S-118, new FS-7734, old FS-2201, old part kept for a claim",
        "○ 0.42 ± 0.06 gpm 1.59 L/min", "● 0.90 ± 0.05 gpm 3.41 L/min",
        "● 124.2 ± 1.4 °F 51.2 °C", "responds from 0.5 gpm", "✖ Called off: no visit took place.",
    ):  # fmt: skip
        assert bare(text) in said, text


def test_visits_stand_newest_first_by_year_in_the_outline() -> None:
    life = usual_life("us", "letter")
    pdf = appliance_history(life)
    said = text_of(pdf)
    places = [said.index(bare(show_date(one.day)) + one.number) for one in life.visits]
    assert places == sorted(places)
    years = [title for _level, title in outline_of(pdf) if title.startswith("Visits of")]
    assert years == [f"Visits of {year}" for year in range(2026, 2018, -1)]


@pytest.mark.parametrize(("system", "paper"), every_day(LOOKS, LOOKS[:1], several_names=True))
@pytest.mark.parametrize("name", every_day(LIVES, ["usual"]))
def test_every_life_prints_the_same_each_time_in_fonts_that_it_carries(
    name: str, system: UnitSystem, paper: PaperSize
) -> None:
    life = LIVES[name](system, paper)
    told = metadata_of(made_alike(lambda: appliance_history(life)))
    assert told["Title"] == "Appliance history, K-H0007"
    assert told["Author"] == "Fernhollow Heating & Plumbing"


def test_the_shops_units_come_first() -> None:
    said = text_of(appliance_history(usual_life("si", "a4")))
    assert bare("● 3.41 ± 0.19 L/min 0.90 gpm") in said
    assert bare("responds from 1.89 L/min") in said


def test_tables_repeat_their_heads_and_a_year_never_stands_alone_at_a_foot() -> None:
    for page in map(bare, pages_of(appliance_history(usual_life("us", "letter")))):
        assert bare("What was wrong, and what was done") in page
        foot = page.index(bare("Up to visit"))
        assert not page[:foot].endswith(tuple(f"Visitsof{year}" for year in range(2019, 2027)))


def test_what_is_long_is_told_whole() -> None:
    life = endless_words("us", "letter")
    said = text_of(appliance_history(life))
    assert said.count(SENTENCE.split()[-1]) == 60 + 60 + 60
    assert all(f"P-{number:03d}" in said for number in range(60))


def test_an_appliance_without_anything_says_so() -> None:
    said = text_of(appliance_history(no_visit("us", "letter")))
    for text in (
        "No address is written down.",
        "Nobody has been called to this appliance yet.",
        "No flow was measured at this appliance.",
        "No visit yet",
    ):
        assert bare(text) in said


def test_a_visit_that_is_only_booked_is_no_visit_made() -> None:
    said = text_of(appliance_history(history_of(BOOKED)))
    assert bare("0 visits were made. 1 visit is still open. No part was fitted.") in said


def test_what_was_under_warranty_and_claimed_is_marked() -> None:
    claimed = replace(life_visit(2), under_warranty=True, warranty_claim="C-77", parts=(SENSOR,))
    said = text_of(appliance_history(history_of(claimed)))
    assert bare("under warranty") in said
    assert bare("Warranty claim: C-77") in said


def points_of(drawing: Drawing) -> list[Circle]:
    """Return what was drawn for flows; the first two are the legend's."""
    circles = [shape for shape in drawing.contents if isinstance(shape, Circle)]
    return [one for one in circles if one.cy < drawing.height - 10]


def drawn(*points: FlowPoint, activation: float | None = 0.5) -> Drawing:
    return flow_years(
        points,
        activation=activation,
        activation_label="responds from 0.5 gpm" if activation is not None else "",
        unit="gpm",
        found="Before",
        left="After",
        width=400,
    )


def test_a_flow_stands_as_far_up_and_along_as_it_was_and_is_solid_when_left() -> None:
    first = FlowPoint(date(2020, 3, 1), 0.25, 0.2, 0.3, is_left=False)
    middle = FlowPoint(date(2021, 3, 1), 0.5, 0.45, 0.55, is_left=False)
    last = FlowPoint(date(2022, 3, 1), 1.0, 0.95, 1.05, is_left=True)
    drawing = drawn(last, first, middle)
    found, between, left = points_of(drawing)
    assert (found.fillColor, between.fillColor) == (None, None)
    assert left.fillColor is not None
    assert (between.cx - found.cx) == pytest.approx(left.cx - between.cx, rel=0.01)
    assert (left.cy - between.cy) == pytest.approx(2 * (between.cy - found.cy))
    [line, *_legend] = [shape for shape in drawing.contents if isinstance(shape, PolyLine)]
    assert line.points[1] == pytest.approx(between.cy)


def test_a_bar_reaches_as_far_as_the_interval_and_is_not_there_without_one() -> None:
    with_bar = FlowPoint(date(2020, 3, 1), 0.5, 0.25, 0.75, is_left=True)
    without = replace(with_bar, low=None, high=None, day=date(2022, 3, 1))
    drawing = drawn(with_bar, without, activation=None)
    point, alone = points_of(drawing)
    caps = [
        shape for shape in drawing.contents
        if isinstance(shape, Line) and shape.y1 == shape.y2 and shape.x2 - shape.x1 < 5
    ]  # fmt: skip
    at_point = sorted(cap.y1 for cap in caps if cap.x1 < point.cx < cap.x2)
    assert not [cap for cap in caps if cap.x1 < alone.cx < cap.x2]
    low, high = at_point
    assert high - point.cy == pytest.approx(point.cy - low)
    assert (point.cy - 20) == pytest.approx(2 * (point.cy - low))  # from nothing, at the foot
