"""Failures against age, lives of parts and the list of second looks, as they are printed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from desk.paper.recurrence_pages import (
    failures_summary,
    lives_summary,
    look_pages,
    monthly_summary,
)
from desk.records.recurrence_views import (
    AgeGroup,
    LifeGroup,
    LookLine,
    RepeatChoice,
    RepeatsToPrint,
    RepeatVisit,
    Seen,
    WorthALook,
)
from desk.records.snapshots import PaperSize
from desk.trade.recurrence import ageing_of, mean_cumulative, part_life
from desk.trade.recurrence.sentences import (
    ageing_sentence,
    cumulative_caution,
    cumulative_sentence,
    life_sentence,
    weibull_sentence,
)
from desk.wording import fixed, message, say
from tests.paper.reading_back import bare, fonts_of, metadata_of, outline_of, text_of
from tests.paper.snapshots import all_behind, full_report, full_summary

AS_OF = date(2026, 11, 24)
HOSTILE = "<b>Fern</b> & {0} \u202e ab"


def age_group(label: str, appliances: int = 6) -> AgeGroup:
    histories = [([100.0 + 40 * n, 900.0], 2000.0 - n) for n in range(appliances)]
    curve = mean_cumulative(histories)
    caution = cumulative_caution(curve)
    return AgeGroup(
        label, label, curve, 2000.0, fixed(ageing_sentence(ageing_of(histories))),
        fixed(cumulative_sentence(curve)), caution and fixed(caution),
    )  # fmt: skip


def life_group(label: str) -> LifeGroup:
    life = part_life([100.0, 250.0, 300.0, 500.0, 800.0, 900.0], [True] * 5 + [False])
    return LifeGroup(label, label, life, fixed(life_sentence(life)), fixed(weibull_sentence(life)))


def seen[G: (AgeGroup, LifeGroup)](*groups: G, by: str = "model") -> Seen[G]:
    return Seen(
        letterhead=full_report("us", "letter").letterhead,
        choice=RepeatChoice(by=by, as_of=AS_OF),
        as_of=AS_OF,
        zone="America/New_York",
        groups=groups,
        total=len(groups) + 2,
        definitions=(message("A failure is a call about a complaint."),),
        oddities=(("installed_not_known", 4),),
    )


def job(number: str) -> RepeatVisit:
    return RepeatVisit(
        number, AS_OF, "H-1", HOSTILE, "9 Weir Street", "No hot water", "Sensor dead", "K-9", 12, ""
    )


def look(*labels: str) -> WorthALook:
    return WorthALook(
        letterhead=full_report("us", "letter").letterhead,
        choice=RepeatChoice(since=date(2023, 11, 25), as_of=AS_OF),
        as_of=AS_OF,
        lines=tuple(
            LookLine(
                "part", label, message("{part} does not last.", part=label),
                message("Others do."), message("A hint."), 9, 1.5, 0.001,
                tuple(job(f"K-{n}") for n in range(7)),
            )
            for label in labels
        ),
        looked_at=321,
    )  # fmt: skip


def month() -> bytes:
    summary = full_summary("us", "letter")
    return monthly_summary(RepeatsToPrint(summary, all_behind(summary)), look("Brittle switch"))


PAGES: dict[str, Callable[[], bytes]] = {
    "ages": lambda: failures_summary(seen(age_group("Fern 24"), age_group("Quill 30"))),
    "lives": lambda: lives_summary(seen(life_group("Reed switch"), by="part")),
    "look": lambda: look_pages(look("Brittle switch", HOSTILE)),
    "month": month,
}


@pytest.mark.parametrize("name", PAGES)
def test_the_same_figures_give_the_same_bytes_with_their_fonts(name: str) -> None:
    pdf = PAGES[name]()
    assert pdf == PAGES[name]()
    assert all(carried for _font, carried in fonts_of(pdf))
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
    empty: Seen[AgeGroup] = replace(seen(age_group("x")), groups=(), total=0, oddities=())
    text = text_of(failures_summary(empty))
    assert bare("Nothing was seen in this period.") in text
    assert bare("every record was as it should be") in text


def test_a_month_has_its_rates_its_jobs_and_the_list() -> None:
    text = text_of(month())
    for said in ("The month of", "Ranked", "Worth a second look", "Brittle switch does not last."):
        assert bare(said) in text
