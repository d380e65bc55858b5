"""The day sheet: what a technician takes along, on pages of the technician's own."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from desk.paper.documents.day_sheet import day_sheet
from desk.records.views.day import DaySheetVisit, TechnicianSheet
from desk.records.views.parties import PaperSize
from tests.paper.days import DAY_VISIT, HEEDED_VISIT, day_of, day_visit
from tests.paper.reading_back import bare, outline_of, pages_of, text_of


def of(*visits: DaySheetVisit, name: str = "Ann Poole") -> TechnicianSheet:
    return TechnicianSheet(name, visits)


def test_a_visit_tells_when_where_how_to_get_in_and_what_is_reported() -> None:
    said = text_of(day_sheet(day_of(of(DAY_VISIT))))
    for text in (
        "Thursday 12 November 2026",
        "Ann Poole goes to",
        "08:00–09:15",
        "Mara Quill 9 Weir Street Millbrook Falls, ON (613) 555-0142",
        "How to get in: Side door, ring twice",
        "Hot water comes and goes “Cold in the shower after a minute.” K-H0007 Kestle 24",
        "not for customers",
    ):
        assert bare(text) in said


def test_what_to_take_heed_of_is_said_in_words_with_a_shape() -> None:
    said = text_of(day_sheet(day_of(of(HEEDED_VISIT, replace(DAY_VISIT, days_since=8)))))
    for text in (
        "▲ The caller reported a danger",
        "→ Continues K-0311. Left to do: fit the new sensor",
        "◫ Overlaps K-0401.",
        "↺ 8 days after a finished visit for the same.",
    ):
        assert bare(text) in said


def test_an_open_danger_keeps_everybody_away_until_its_outcome_is_written() -> None:
    still = replace(HEEDED_VISIT, danger_open=True)
    assert bare("▲ Nobody has written what became of it") in text_of(day_sheet(day_of(of(still))))
    settled = text_of(day_sheet(day_of(of(replace(HEEDED_VISIT, danger_outcome="Cap closed.")))))
    assert bare("Danger was reported; what became of it: Cap closed.") in settled
    assert bare("The caller reported a danger") not in settled


def test_calls_with_open_danger_stand_at_the_top_of_every_sheet() -> None:
    calls = (("K-0500", "Mara Quill", "9 Weir Street"), ("K-0501", "", ""))
    ours = (of(DAY_VISIT), of(day_visit(1), name="Ben Rowe"))
    for day in (day_of(*ours), day_of()):
        for page in pages_of(day_sheet(replace(day, open_dangers=calls))):
            for call in ("K-0500 · Mara Quill · 9 Weir Street", "K-0501"):
                assert bare(f"▲ Danger reported, do not go there yet: {call}") in bare(page)


def test_each_technician_begins_a_page_with_the_letterhead() -> None:
    pdf = day_sheet(day_of(of(DAY_VISIT), of(day_visit(1), day_visit(2), name="Ben Rowe")))
    first, second = map(bare, pages_of(pdf))
    for page, count, own, other in (
        (first, "1 visit", "Ann Poole", "Ben Rowe"),
        (second, "2 visits", "Ben Rowe", "Ann Poole"),
    ):
        for text in ("Fernhollow Heating & Plumbing", "Page", count, own):
            assert bare(text) in page
        assert bare(other) not in page
    assert [title for _level, title in outline_of(pdf)] == ["Ann Poole", "Ben Rowe"]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_long_day_breaks_between_visits_and_repeats_its_heads(paper: PaperSize) -> None:
    visits = [day_visit(turn) for turn in range(30)]
    pages = [bare(page) for page in pages_of(day_sheet(day_of(of(*visits)), paper=paper))]
    assert len(pages) > 2
    for page in pages:
        assert bare("Ann Poole goes to") in page
        assert bare("Day sheet") in page
    for one in visits:
        [page] = [page for page in pages if one.number in page]
        start = f"{one.start - timedelta(hours=5):%H:%M}–"
        assert page.index(start) < page.index(one.number)


def test_text_of_people_is_never_markup_and_has_no_length_that_breaks_it() -> None:
    odd = "<b>bold?</b> {name} & <img src='x'/>"
    loud = replace(
        DAY_VISIT,
        who=odd,
        words=odd,
        access_note=odd,
        address=(odd,),
        appliance=odd,
        left_to_do=odd,
    )
    said = text_of(day_sheet(day_of(of(loud, name=odd))))
    assert said.count(bare(odd)) >= 7
    endless = replace(DAY_VISIT, words="And then it went cold. " * 900)
    assert text_of(day_sheet(day_of(of(endless)))).count("cold.") == 900


def test_a_day_with_nothing_booked_says_so() -> None:
    assert bare("No visit is booked for this day.") in text_of(day_sheet(day_of()))
    assert bare("Nothing is booked for this day.") in text_of(day_sheet(day_of(of())))


def test_the_same_day_gives_the_same_bytes() -> None:
    one = day_of(of(DAY_VISIT, day_visit(3)))
    assert day_sheet(one) == day_sheet(one)
    assert day_sheet(one, paper="a4") != day_sheet(one)
