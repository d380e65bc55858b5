"""What a button says of an answer: short, unlike its neighbours, and no cause of a new edition."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from desk.base.texts import say
from desk.trade.content import label_rules, rules
from desk.trade.content.checklist import Checklist, Content, read_edition
from desk.trade.content.findings import Places
from desk.trade.content.loader import load_content
from desk.trade.content.model import LONGEST_LABEL, LONGEST_LINE, Answer, Text, in_language

CONTENT = load_content()
LIST = CONTENT.checklists["hot-water"]
LONG = "It runs on with the heater shut off at both sides"


def asking(*answers: Answer) -> Checklist:
    """Return a list whose first check has these answers."""
    check = replace(LIST.checks[LIST.start], answers=answers)
    return replace(LIST, checks={LIST.start: check})


def answer(text: Text, short: Text | None = None, key: str = "one") -> Answer:
    return Answer(id=key, text=text, short=short or {}, ending="left")


def told(*answers: Answer) -> list[str]:
    content = Content(causes={}, cautions={}, checklists={"hot-water": asking(*answers)})
    return [say(finding.sentence) for finding in label_rules.labels(content, Places())]


def test_a_button_says_the_short_and_the_text_where_there_is_none() -> None:
    assert answer({"en": "Dry"}).label == {"en": "Dry"}
    both = answer({"en": LONG, "fr": "Sec"}, {"en": "Runs on"})
    assert both.label == {"en": "Runs on", "fr": "Sec"}
    assert in_language(both.label, "fr_CA") == "Sec"


def test_what_is_short_enough_needs_nothing() -> None:
    assert told(answer({"en": "x" * LONGEST_LABEL}), answer({"en": "y"})) == []
    assert told(answer({"en": LONG}, {"en": "Runs on"})) == []


@pytest.mark.parametrize(
    ("answers", "found"),
    [
        ((answer({"en": LONG}),), "write short for it"),
        ((answer({"en": LONG, "fr": LONG}, {"en": "Runs on"}),), "write short for it"),
        ((answer({"en": "Dry"}, {"en": "Dry now"}),), "whose text fits; take it out"),
        ((answer({"en": LONG}, {"en": "Runs on", "fr": "Coule"}),), "take it out"),
        (
            (answer({"en": LONG}, {"en": "runs on"}), answer({"en": "Runs on"}, key="two")),
            "two answers “Runs on”; word the short of two otherwise",
        ),
    ],
)
def test_a_button_that_is_not_to_be_read_or_told_apart_is_named(
    answers: tuple[Answer, ...], found: str
) -> None:
    (sentence,) = told(*answers)
    assert sentence.startswith("checklists/hot-water: check danger has ")
    assert found in sentence


@pytest.mark.parametrize("made", CONTENT.checklists.values(), ids=CONTENT.checklists)
def test_a_button_of_a_danger_says_that_it_is_left_or_off(made: Checklist) -> None:
    shortened = [one for each in made.checks.values() for one in each.answers if one.short]
    answers = [(one, one.text["en"].lower()) for one in shortened]
    for said, kept in (
        (("and leave", "everybody is out"), r"stop and leave|everybody out"),
        (("shut off and tagged",), r"off, tagged"),
        (("it is off", "power stays off"), r"off$"),
        (("stay out",), r"stay out"),
        (("never run",), r"never run"),
    ):
        grave = [one.label["en"] for one, text in answers if any(word in text for word in said)]
        assert [one for one in grave if not re.search(kept, one, re.IGNORECASE)] == []


def without(made: Checklist) -> Checklist:
    """Return a list as it was kept before there were shorts."""
    checks = {
        key: replace(
            check, short_how={}, answers=tuple(replace(one, short={}) for one in check.answers)
        )
        for key, check in made.checks.items()
    }
    cautions = {key: replace(one, short={}) for key, one in made.cautions.items()}
    return replace(made, checks=checks, cautions=cautions)


def test_a_list_without_shorts_keeps_the_text_that_it_was_kept_with() -> None:
    before = without(LIST)
    assert '"short":' not in before.edition_text
    assert '"short_how":' not in before.edition_text
    again = read_edition(before.edition_text)
    assert again == before
    assert again.edition == before.edition


def test_a_list_with_a_short_comes_back_with_it() -> None:
    made = asking(answer({"en": LONG}, {"en": "Runs on"}), answer({"en": "Dry"}, key="two"))
    again = read_edition(made.edition_text)
    assert again.check(LIST.start).answer("one").label == {"en": "Runs on"}
    assert again.edition == made.edition != without(made).edition


def test_steps_are_said_short_where_there_is_little_room() -> None:
    check = replace(LIST.checks[LIST.start], how={"en": ("Look at it.",)}, short_how={})
    assert check.short_steps == check.how
    short = replace(check, short_how={"en": ("Look.",)})
    assert short.short_steps == {"en": ("Look.",)}
    made = replace(LIST, checks={LIST.start: short})
    assert read_edition(made.edition_text).check(LIST.start).short_steps == short.short_steps


@pytest.mark.parametrize("made", CONTENT.checklists.values(), ids=CONTENT.checklists)
def test_a_short_step_keeps_the_warning_of_its_step(made: Checklist) -> None:
    pairs = [
        (check.id, long.lower(), short.lower())
        for check in made.checks.values()
        for long, short in zip(check.how["en"], check.short_how.get("en", ()), strict=False)
    ]
    assert pairs
    lost = []
    for said, kept in (
        ("prove dead", "dead"), ("proven dead", "dead"), ("stop and leave", "leave"),
        ("gas licence", "licence"), ("licensed", "licensed"), ("do not force", "force no"),
        ("force no", "force n"), ("tagged", "tagged"), ("cover on:", "cover on"),
        ("hands out", "hands out"), ("never bridge", "never bridge"), ("co monitor", "co"),
    ):  # fmt: skip
        lost += [(key, short) for key, long, short in pairs if said in long and kept not in short]
    assert lost == []


def warned(text: Text, short: Text | None = None) -> list[str]:
    caution = replace(CONTENT.cautions["scald"], text=text, short=short or {})
    content = Content(causes={}, cautions={"scald": caution}, checklists={})
    found = [*label_rules.labels(content, Places()), *rules.findings(content, Places())]
    return [say(finding.sentence) for finding in found if "short" in say(finding.sentence)]


def test_a_caution_that_is_long_is_said_in_one_line_too() -> None:
    assert warned({"en": "Hot water burns."}) == []
    assert warned({"en": "x" * 61}, {"en": "x" * 60}) == []
    assert "write short for it" in warned({"en": "x" * 61})[0]
    assert "of 61 characters; write 60 at most" in warned({"en": "Hot"}, {"en": "x" * 61})[0]


def test_every_shipped_caution_has_its_line() -> None:
    assert [
        one.id for one in CONTENT.cautions.values() if len(in_language(one.line)) > LONGEST_LINE
    ] == []
