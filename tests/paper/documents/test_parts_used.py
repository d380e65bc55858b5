"""The parts used on paper: every line of them, added up to the cent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.paper.documents.parts_used import parts_used
from desk.records.views.parties import PaperSize, UnitSystem
from tests.every_day import every_day
from tests.paper.extremes import SENTENCE
from tests.paper.reading_back import (
    bare,
    made_alike,
    metadata_of,
    outline_of,
    pages_of,
    text_of,
)
from tests.paper.snapshots import LOOKS
from tests.paper.used_parts import (
    GASKET,
    IN_WORDS,
    MONTHS,
    OLD,
    SENSOR,
    busy_month,
    hostile_words,
    nothing_used,
    used_of,
    usual_month,
    without_prices,
)


def test_parts_are_added_up_by_part_and_by_technician_and_told_by_visit() -> None:
    said = text_of(parts_used(usual_month("us", "letter")))
    for text in (
        "1 Nov 2026 to 30 Nov 2026",
        "8 pieces were used on 2 visits. Those with a price come to $134.40. 2 pieces have no",
        "Flow sensor S-118 1 from Ann Poole's van 1 from Ben Rowe's van 2 2 129.00",
        "Gasket 3/4 in G-012 1 from the shelf 4 1 5.40",
        "Ann Poole 7 1 69.90 2 without a price",
        "Ben Rowe 1 1 64.50",
        "Flow sensor S-118 FS-2201 new FS-7734 C-77 Rotor cracked 3 Nov 2026 K-0400",
        "Short copper elbow 3 Nov 2026 K-0400",
        "new FS-7734, old FS-2201, old part kept for a claim, from Ann Poole's van",
        "64.50*",
        "the catalogue's of today stands in",
        "not for customers",
    ):
        assert bare(text) in said, text


def test_the_outline_names_what_there_is_and_no_more() -> None:
    assert [title for _level, title in outline_of(parts_used(usual_month("us", "letter")))] == [
        "All in all", "By part", "By technician", "Kept for a claim", "Not from the catalogue",
        "By visit",
    ]  # fmt: skip
    few = parts_used(used_of(GASKET))
    assert [title for _level, title in outline_of(few)] == [
        "All in all", "By part", "By technician", "By visit",
    ]  # fmt: skip


def test_days_on_which_nothing_was_used_say_so() -> None:
    pdf = parts_used(nothing_used("us", "letter"))
    assert bare("No part was used on a visit of these days.") in text_of(pdf)
    assert [title for _level, title in outline_of(pdf)] == ["All in all"]


def test_what_has_no_price_is_worth_nothing_known() -> None:
    said = text_of(parts_used(without_prices("us", "letter")))
    assert "come to" not in said
    assert bare("6 pieces have no price.") in said
    assert "0.00" not in said


def test_a_price_that_was_written_down_is_not_called_todays() -> None:
    said = text_of(parts_used(used_of(SENSOR, GASKET)))
    assert "*" not in said
    assert "*" in text_of(parts_used(used_of(OLD)))


@pytest.mark.parametrize(("system", "paper"), every_day(LOOKS, LOOKS[:1], several_names=True))
@pytest.mark.parametrize("name", every_day(MONTHS, ["usual"]))
def test_every_month_prints_the_same_each_time_in_fonts_that_it_carries(
    name: str, system: UnitSystem, paper: PaperSize
) -> None:
    used = MONTHS[name](system, paper)
    pdf = made_alike(lambda: parts_used(used))
    assert metadata_of(pdf)["Title"] == "Parts used, 1 Nov 2026 to 30 Nov 2026"


def test_a_long_month_repeats_heads_and_names_the_visit_on_each_line() -> None:
    used = busy_month("us", "letter")
    pages = [bare(page) for page in pages_of(parts_used(used))]
    heads = [bare(head) for head in ("Taken from", "Technician, and van", "Its serial number",
                                     "In words", "Part, and why")]  # fmt: skip
    assert all(any(head in page for head in heads) for page in pages)
    by_visit = "".join(page for page in pages if heads[-1] in page)
    for line in used.lines:
        assert by_visit.count(line.visit) >= sum(one.visit == line.visit for one in used.lines)


def test_what_is_long_is_told_whole() -> None:
    said = text_of(parts_used(hostile_words("us", "letter")))
    told_in_tables = 2  # kept for a claim, and by visit
    assert said.count(SENTENCE.split()[-1]) == 70 * told_in_tables + 3


def test_big_sums_are_exact_to_the_cent() -> None:
    odd = replace(IN_WORDS, each_cents=10_000_001, pieces=333)
    assert bare("$33,300,003.33") in text_of(parts_used(used_of(odd)))
