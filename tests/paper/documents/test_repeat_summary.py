"""The repeat-failure summary: every figure, its range, and the visits behind it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.paper.documents.repeat_summary import in_words
from desk.paper.documents.repeat_summary import repeat_summary as pages
from desk.records.views.parties import PaperSize
from desk.records.views.recurrence import RepeatSummary, VisitsBehind
from tests.paper import reading_back
from tests.paper.reading_back import bare, pages_of, text_of
from tests.paper.snapshots import all_behind, full_summary, repeat_row, visits_behind


def repeat_summary(summary: RepeatSummary, paper: PaperSize | None = None) -> bytes:
    """Print a summary with all the visits behind it."""
    return pages(summary, all_behind(summary), paper=paper)


@pytest.fixture(scope="module")
def usual() -> bytes:
    return repeat_summary(full_summary())


@pytest.fixture(scope="module")
def said(usual: bytes) -> str:
    return text_of(usual)


def test_period_window_grouping_and_day_are_said(said: str) -> None:
    for text in (
        "What comes back, by cause",
        "Finished 1 Nov 2025 to 31 Oct 2026",
        "Came back within 90 days",
        "As of 12 Nov 2026, days of America/Toronto",
    ):
        assert bare(text) in said


def test_the_rate_is_told_in_a_sentence_for_people() -> None:
    assert in_words(repeat_row("x", "x", 12, 4, (0.1381, 0.6093)), 90) == (
        "Of 12 jobs whose 90 days are over, 4 came back: 33 %. Allowing for chance, the lasting "
        "share may be anything from 14 % to 61 %."
    )


def test_one_job_is_told_as_one() -> None:
    assert in_words(repeat_row("x", "x", 1, 0, (0.0, 0.7935)), 30).startswith("Of 1 job whose")


def test_no_rate_is_made_up_where_nothing_is_counted(said: str) -> None:
    assert bare("Diverter stuck 2 0 0 – – 0 %") in said
    assert bare("No job whose 90 days are over: there is no rate to tell yet.") in said


def test_rows_stand_as_given_each_with_its_counts_rate_and_range(said: str) -> None:
    rows = [
        "Inlet screen blocked 33 31 11 35 % 21–53 % 15 %",
        "Moving element stuck 26 24 7 29 % 15–49 % 15 %",
        "Sensor dead 14 12 4 33 % 14–61 % 14 %",
        "Outlet restricted 24 22 0 0 % 0–15 % 12 %",
        "All jobs 109 107 25 23 % 16–32 % 16 %",
    ]
    places = [said.index(bare(row)) for row in rows]
    assert places == sorted(places)


def test_every_visit_is_told_with_what_became_of_it(said: str) -> None:
    for row in full_summary().rows:
        for visit in visits_behind(row).visits:
            assert visit.number in said
    assert bare("▲ came back as K-0301 after 8 days") in said
    assert bare("○ Left out, the 90 days are not over yet:") in said
    assert bare("● Did not come back:") in said


def test_what_was_left_out_and_what_counts_stand_at_the_end(usual: bytes) -> None:
    last = bare(pages_of(usual)[-1])
    for text in (
        "12 jobs: the 90 days are not over yet",
        "4 jobs: called off",
        "9 jobs: planned service",
        "came in within 90 days of its finish",
        "Wilson's 95 % interval",
    ):
        assert bare(text) in last


def test_table_heads_are_repeated_on_every_page_of_visits() -> None:
    summary = full_summary()
    first = summary.rows[0]
    visits = visits_behind(first).visits * 12
    back = tuple(replace(visit, repeated_by="K-9001", days_between=3) for visit in visits)
    printed = pages_of(pages(summary, {first.key: VisitsBehind(back, 0, len(back))}))
    told = [page for page in printed if "came back as K-9001" in page]
    assert len(told) > 3
    for page in told:
        assert "What became of it" in page


def test_only_a_job_that_came_back_takes_a_line_of_its_own(usual: bytes) -> None:
    visits = [visit for row in full_summary().rows for visit in visits_behind(row).visits]
    back = sum(bool(visit.repeated_by and not visit.left_out) for visit in visits)
    assert 0 < back < len(visits)
    assert text_of(usual).count(bare("▲ came back as")) == back


def test_jobs_that_are_not_told_are_counted() -> None:
    summary = full_summary()
    first = summary.rows[0]
    told = VisitsBehind(visits_behind(first).visits[:3], 0, 45)
    assert bare("And 42 jobs more.") in text_of(pages(summary, {first.key: told}))


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_both_papers_carry_the_same_text(paper: PaperSize) -> None:
    pdf = repeat_summary(full_summary(), paper=paper)
    assert bare("Of 107 jobs whose 90 days are over, 25 came back") in text_of(pdf)


def test_a_label_is_text_and_never_markup() -> None:
    odd = replace(full_summary().rows[0], label="<b>Model</b> & <img src='x'>")
    assert bare("<b>Model</b> & <img src='x'>") in text_of(
        repeat_summary(replace(full_summary(), rows=(odd,)))
    )


def test_an_office_without_a_finished_job_prints_too() -> None:
    nothing = repeat_row("", "All jobs", 0, 0, (0.0, 0.0))
    empty = replace(full_summary(), rows=(), left_out=(), total=replace(nothing, finished=0))
    said = text_of(repeat_summary(empty))
    assert bare("No job was finished in this period.") in said
    assert bare("Nothing: every job is counted.") in said


def test_the_same_summary_gives_the_same_bytes(usual: bytes) -> None:
    assert repeat_summary(full_summary()) == usual


def test_fonts_are_embedded(usual: bytes) -> None:
    assert all(embedded for _name, embedded in reading_back.fonts_of(usual))
