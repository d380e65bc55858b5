"""Failures against age, lives of parts and the list of second looks, as they are printed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.base.texts import say
from desk.paper.documents.recurrence_pages import failures_summary, lives_summary, look_pages
from desk.records.views.parties import PaperSize
from desk.records.views.recurrence import AgeGroup, ComputedFigures
from tests.paper.reading_back import bare, made_alike, metadata_of, outline_of, text_of
from tests.paper.recurrences import HOSTILE, PAGES, age_group, life_group, look, month, seen
from tests.paper.snapshots import full_report


@pytest.mark.parametrize("name", PAGES)
def test_the_same_figures_give_the_same_bytes_with_their_fonts(name: str) -> None:
    pdf = made_alike(PAGES[name])
    assert outline_of(pdf)
    assert metadata_of(pdf)["Author"] == full_report("us", "letter").letterhead.name


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_group_stands_with_its_counts_and_its_sentence(paper: PaperSize) -> None:
    group = age_group("Fern 24")
    text = text_of(failures_summary(seen(group), paper=paper))
    for said in ("Fern 24", say(group.sentence), say(group.reach), "Failures per appliance"):
        assert bare(said) in text
    assert bare("And 2 groups with less to tell.") in text
    assert bare("4 appliances without a day of installation") in text


def test_few_appliances_are_cautioned_against_by_name() -> None:
    group = age_group("Fern 24", appliances=5)
    assert group.caution is not None
    assert bare(f"Fern 24: {say(group.caution)}") in text_of(failures_summary(seen(group)))


def test_lives_of_parts_are_told_with_their_median() -> None:
    group = life_group("Reed switch")
    text = text_of(lives_summary(seen(group, by="part")))
    assert bare(say(group.sentence)) in text
    assert bare("Of 6 fitted, 5 replaced") in text


def test_a_line_of_the_list_stands_with_evidence_caution_and_jobs() -> None:
    text = text_of(look_pages(look("Brittle switch", HOSTILE)))
    for said in ("Brittle switch does not last.", "Others do.", "A hint.", "K-0", "K-5",
                 "And 3 jobs before.", "<b>Fern</b> & {0}", "321"):  # fmt: skip
        assert bare(said) in text


def test_an_empty_list_says_that_chance_explains_everything() -> None:
    text = text_of(look_pages(look()))
    assert bare("321 places were looked at; chance explains everything") in text


def test_views_without_groups_say_so() -> None:
    empty: ComputedFigures[AgeGroup] = replace(
        seen(age_group("x")), groups=(), total=0, oddities=()
    )
    text = text_of(failures_summary(empty))
    assert bare("Nothing was seen in this period.") in text
    assert bare("every record was as it should be") in text


def test_a_month_has_its_rates_its_jobs_and_the_list() -> None:
    text = text_of(month())
    for said in ("The month of", "Ranked", "Worth a second look", "Brittle switch does not last."):
        assert bare(said) in text
