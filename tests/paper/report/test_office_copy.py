"""The office copy on paper: what the customer holds, and what is not for the customer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.paper.report.office_copy import office_copy
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from tests.every_day import every_day
from tests.paper.extremes import SENTENCE
from tests.paper.office_copies import COPIES, NOTE, bare_copy, copy_of, long_copy, usual_copy
from tests.paper.reading_back import (
    bare,
    made_alike,
    metadata_of,
    outline_of,
    pages_of,
    text_of,
)
from tests.paper.snapshots import LOOKS, full_report


@pytest.mark.parametrize("name", every_day(COPIES, ["usual"]))
def test_every_page_says_that_it_is_not_for_the_customer(name: str) -> None:
    for page in pages_of(office_copy(COPIES[name]("us", "letter"))):
        assert bare("Office copy, not for the customer") in bare(page)


def test_it_says_what_only_the_office_sees() -> None:
    said = text_of(office_copy(usual_copy("us", "letter")))
    for text in (
        NOTE,
        "OFFICE COPY, NOT FOR THE CUSTOMER",
        "1 12 Nov 2026, 15:42 EST Ann Poole first sealing 0123 4567 89ab cdef",
        "2 13 Nov 2026, 15:42 EST Ines Marsh Wrong serial number 3fa9 c01b 77de 0042",
        "Booked length 75 minutes",
        "On site 151 minutes",
        "Repeats ↺ K-0310, finished 21 days before",
        "Continued by K-0412, K-0420",
        "1 Flow sensor S-118 Rotor cracked new FS-7734 old FS-2201 old part kept for a claim",
        "Ann Poole's van $64.50",
        "4 Gasket 3/4 in G-012 the shelf $5.40 $1.35 each",
        "2 Short copper elbow not from the catalogue –",
        "Before (as found) Kitchen tap, hot side 9 91 s Bucket slipped",
        "Taken back: Check answered",
    ):
        assert bare(text) in said, text


def test_every_answer_stands_with_its_time_and_by_whom_the_superseded_too() -> None:
    copy = usual_copy("us", "letter")
    said = text_of(office_copy(copy))
    assert any(given.line.superseded for given in copy.answers)
    for given in copy.answers:
        line = given.line
        asked = bare(f"12 Nov 2026 {line.question} {line.answer_text}")
        assert asked in said, line.question
        end = said.index(asked) + len(asked)
        assert given.by.replace(" ", "") in said[end : end + 160]
        if line.superseded:
            assert said[end:].startswith("superseded")


def test_behind_it_stands_the_whole_report_that_the_customer_holds() -> None:
    copy = usual_copy("us", "letter")
    report = service_report(
        copy.printout.report,
        fingerprint=copy.printout.fingerprint,
        sealed_at=copy.printout.sealed_at,
    )
    titles = outline_of(office_copy(copy))
    theirs = outline_of(report)
    assert titles[-len(theirs) :] == theirs
    assert [title for _level, title in titles[: -len(theirs)]] == [
        "Internal note", "The visit", "Revisions", "Parts and stock", "Fillings struck out",
        "Answers", "What was done",
    ]  # fmt: skip
    assert bare(NOTE) not in text_of(report)


def test_a_call_just_taken_says_what_there_is_not() -> None:
    said = text_of(office_copy(bare_copy("us", "letter")))
    for text in (
        "No internal note was written.", "It was not sealed yet.", "No part was used.",
        "No check was answered.", "not sealed, may still change",
    ):  # fmt: skip
        assert bare(text) in said


def test_what_is_long_is_told_whole_and_heads_are_repeated() -> None:
    copy = long_copy("us", "letter")
    pages = [bare(page) for page in pages_of(office_copy(copy))]
    said = "".join(pages)
    assert said.count(SENTENCE.split()[-1]) >= 120
    assert all(bare(line.what) in said for line in copy.done)
    assert all(part.number in said for part in copy.parts)
    with_parts = [page for page in pages if "P-0" in page]
    assert len(with_parts) > 2
    assert all(bare("Serial numbers") in page for page in with_parts)


@pytest.mark.parametrize(("system", "paper"), every_day(LOOKS, LOOKS[:1], several_names=True))
@pytest.mark.parametrize("name", every_day(COPIES, ["usual"]))
def test_every_copy_prints_the_same_each_time_in_fonts_that_it_carries(
    name: str, system: UnitSystem, paper: PaperSize
) -> None:
    copy = COPIES[name](system, paper)
    pdf = made_alike(lambda: office_copy(copy))
    number = copy.printout.report.number
    assert metadata_of(pdf)["Title"] == f"Office copy, visit {number}"


def test_a_visit_that_repeats_nothing_says_nothing_of_it() -> None:
    copy = replace(copy_of(full_report()), days_since=None, repeats="", continued_by=())
    said = text_of(office_copy(copy))
    assert "↺" not in said
    assert bare("Continued by") not in said
