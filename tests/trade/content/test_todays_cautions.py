"""A list begun before the safety rules warns as today's does, and stays the list that it was."""

from __future__ import annotations

from dataclasses import replace

from desk.trade.content.checklist import Checklist, read_edition
from desk.trade.content.in_use import first_id, latest_caution, with_todays_cautions
from desk.trade.content.loader import load_content
from desk.trade.content.model import Caution
from desk.trade.diagnosis.stop_and_leave import kind_of
from desk.trade.diagnosis.walk import cautions_for
from tests.records.earlier import EARLIER_WORDS, WORDED_SINCE, earlier_list

CONTENT = load_content()
TODAY = CONTENT.checklists["hot-water"]
KEPT = earlier_list()
MADE = with_todays_cautions(KEPT, CONTENT)


def words(made: Checklist, check: str) -> set[str]:
    return {one.text["en"] for one in cautions_for(made, check)}


def test_before_every_check_stands_what_todays_list_says_there() -> None:
    fewer = 0
    for check in TODAY.checks.values():
        today = {TODAY.cautions[one].text["en"] for one in check.cautions}
        assert words(MADE, check.id) >= today, check.id
        fewer += not words(KEPT, check.id) >= today
    assert fewer > 10, "the earlier list had to be an earlier one"


def test_what_the_kept_list_warned_of_it_warns_of_still() -> None:
    alone = Caution(
        id="ladder", text={"en": "Stand safely."}, serious=True, guards=("water",), sources=("-",)
    )
    start = replace(KEPT.check("taps_shut"), cautions=("ladder", "scald"))
    kept = replace(
        KEPT,
        checks={**KEPT.checks, "taps_shut": start},
        cautions={**KEPT.cautions, "ladder": alone},
    )
    made = with_todays_cautions(kept, CONTENT)
    assert made.check("taps_shut").cautions[-1] == "ladder"
    assert {first_id(one) for one in made.check("taps_shut").cautions} == {
        "ladder", *TODAY.check("taps_shut").cautions
    }  # fmt: skip


def test_nothing_but_the_cautions_is_another() -> None:
    assert list(MADE.checks) == list(KEPT.checks)
    assert (
        replace(
            MADE,
            checks={
                key: replace(check, cautions=KEPT.checks[key].cautions)
                for key, check in MADE.checks.items()
            },
            cautions=KEPT.cautions,
        )
        == KEPT
    )


def test_what_is_worded_otherwise_is_a_caution_of_its_own() -> None:
    """Whoever read the earlier words has not read these."""
    [shown] = [one for one in MADE.check("reed_actuate").cautions if first_id(one) == WORDED_SINCE]
    assert shown != WORDED_SINCE
    assert MADE.cautions[shown].text == TODAY.cautions[WORDED_SINCE].text
    assert MADE.cautions[WORDED_SINCE].text["en"] == EARLIER_WORDS
    assert latest_caution(MADE, WORDED_SINCE) == MADE.cautions[shown]
    assert latest_caution(TODAY, WORDED_SINCE) == TODAY.cautions[WORDED_SINCE]
    assert latest_caution(MADE, "ladder") is None


def test_a_caution_stays_as_serious_as_it_was() -> None:
    milder = {
        **CONTENT.cautions,
        "scald": replace(CONTENT.cautions["scald"], serious=False, text={"en": "Warm water."}),
    }
    made = with_todays_cautions(KEPT, replace(CONTENT, cautions=milder))
    assert made.cautions["scald~2"].text["en"] == "Warm water."
    assert made.cautions["scald~2"].serious


def test_a_list_that_has_them_is_returned_as_it_is_also_when_it_was_kept() -> None:
    assert with_todays_cautions(MADE, CONTENT) == MADE
    again = read_edition(MADE.edition_text)
    assert with_todays_cautions(again, CONTENT).edition == MADE.edition


def test_a_list_that_is_there_no_more_takes_the_words_alone() -> None:
    kept = replace(KEPT, id="of-the-shop")
    made = with_todays_cautions(kept, CONTENT)
    for check in kept.checks.values():
        assert {first_id(one) for one in made.check(check.id).cautions} == set(check.cautions)
    assert TODAY.cautions[WORDED_SINCE].text["en"] in words(made, "reed_actuate")


def test_a_repair_that_was_narrowed_to_its_cause_stays_at_least_as_wide() -> None:
    narrow = {
        key: replace(cause, repair=replace(cause.repair, cautions=("clean_water",)))
        for key, cause in TODAY.causes.items()
        if cause.repair is not None
    }
    kept = replace(TODAY, binding=False, causes={**TODAY.causes, **narrow})
    made = with_todays_cautions(kept, CONTENT)
    for cause in narrow:
        assert {one.id for one in cautions_for(made, "repair_water", (cause,))} >= {
            one.id for one in cautions_for(TODAY, "repair_water", (cause,))
        }


def test_what_makes_everybody_leave_is_told_by_the_caution_and_not_by_its_edition() -> None:
    gas = replace(TODAY.check("danger"), cautions=("flooding", "stop_and_leave~2"))
    assert kind_of(gas) == "gas"
    assert kind_of(replace(gas, cautions=("flooding~3",))) == "flooding"
