"""Reports at their limits: every stored text is on the pages, in the order it is read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest

from desk.paper.kit.text import BOX, plain
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from tests.every_day import every_day
from tests.paper.extremes import (
    EXTREMES,
    MANY_LINES,
    NO_FONT,
    VIETNAMESE,
    in_reading_order,
    texts_of,
)
from tests.paper.reading_back import bare, pages_of
from tests.paper.snapshots import FINGERPRINT, SEALED_AT

SPLIT_INSIDE = ("words-without-end", "lines-without-end")
"""Their rows go on overleaf, where the heads of the table stand in between."""
WHOLE = [name for name in EXTREMES if name not in SPLIT_INSIDE]

both_systems = pytest.mark.parametrize("system", every_day(["us", "si"], ["us"]))
both_papers = pytest.mark.parametrize("paper", every_day(["letter", "a4"], ["a4"]))


@cache
def printed(name: str, system: UnitSystem, paper: PaperSize) -> bytes:
    one = EXTREMES[name](system, paper)
    return service_report(
        one.report, fingerprint=FINGERPRINT, sealed_at=SEALED_AT, pictures=one.pictures
    )


def told(name: str, system: UnitSystem = "us", paper: PaperSize = "letter") -> str:
    """Return what a report says from its title on, without the heads and feet of its pages."""
    number = EXTREMES[name](system, paper).report.number
    pages = [
        page.split(f"Visit {number}", 1)[-1].rsplit("■ Sealed", 1)[0]
        for page in pages_of(printed(name, system, paper))
    ]
    return bare("".join(pages))


def wanted(texts: Iterable[str]) -> list[str]:
    """Return texts as they come onto paper, without white space and those that are empty."""
    return [found for text in texts if (found := bare(plain(text)))]


@both_systems
@both_papers
@pytest.mark.parametrize("name", WHOLE)
def test_every_stored_text_is_on_the_pages(name: str, system: UnitSystem, paper: PaperSize) -> None:
    report = EXTREMES[name](system, paper).report
    first = bare(pages_of(printed(name, system, paper))[0])
    assert [text for text in wanted(texts_of(report.letterhead)) if text not in first] == []
    rest = replace(report, letterhead=replace(report.letterhead, **_NO_SHOP))
    said = told(name, system, paper)
    assert [text for text in wanted(texts_of(rest)) if text not in said] == []


_NO_SHOP = {"name": "", "address": (), "phone": "", "email": "", "licence": ""}


@both_papers
@pytest.mark.parametrize("name", WHOLE)
def test_it_is_read_from_the_top_down(name: str, paper: PaperSize) -> None:
    said, at = told(name, "si", paper), 0
    for text in wanted(in_reading_order(EXTREMES[name]("si", paper).report)):
        found = said.find(text, at)
        assert found >= 0, text
        at = found + len(text)


@pytest.mark.fault
@both_papers
def test_no_letter_of_a_word_without_end_is_lost(paper: PaperSize) -> None:
    said = told("words-without-end", "us", paper)
    report = EXTREMES["words-without-end"]("us", paper).report
    stored = sum(text.count("W") for text in texts_of(report))
    assert stored >= 7 * 2_500
    assert said.count("W") >= stored


@pytest.mark.fault
@both_papers
def test_no_line_of_a_row_higher_than_a_page_is_lost(paper: PaperSize) -> None:
    pages = pages_of(printed("lines-without-end", "us", paper))
    lines = [int(number) for page in pages for number in re.findall(r"\bline (\d+)", page)]
    assert lines == list(range(MANY_LINES))
    said = told("lines-without-end", "us", paper)
    for number in range(300):
        assert said.count(f"row{number}") >= 3, "the reason, the note and the answer"


def test_heads_stand_again_on_every_page_that_a_table_goes_on() -> None:
    pages = pages_of(printed("sixty-parts", "us", "letter"))
    with_parts = [page for page in pages if "Gasket of size" in page]
    assert len(with_parts) >= 3
    assert all("Part fitted, and why" in page for page in with_parts)
    assert all(page.count("Gasket of size") > 1 for page in with_parts), "no row stands alone"


@pytest.mark.parametrize("name", every_day(EXTREMES, ["hostile-text"]))
def test_the_same_snapshot_gives_the_same_bytes(name: str) -> None:
    again = printed.__wrapped__(name, "us", "letter")
    assert again == printed(name, "us", "letter")


def test_letters_that_no_font_has_are_boxes_and_the_others_are_letters() -> None:
    said = told("names-of-many-scripts")
    assert bare(VIETNAMESE) in said
    assert said.count(BOX) == 2 * sum(not letter.isspace() for letter in NO_FONT)


def test_a_section_s_name_never_stands_alone_at_the_foot_of_a_page() -> None:
    for page in pages_of(printed("hostile-text", "si", "a4")):
        body = page.rsplit("■ Sealed", 1)[0].rstrip()
        assert not body.endswith(("measured", "What we did", "Cautions", "The visit"))
