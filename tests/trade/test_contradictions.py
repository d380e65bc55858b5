"""Answers that one fault cannot explain are said out loud."""

from __future__ import annotations

import random

import pytest

from desk.errors import InputError
from desk.trade.checklist import COULD_NOT
from desk.trade.content import Check, load_content
from desk.trade.contradictions import EXPLAINS_FROM, causes_back, contradiction
from desk.trade.suspects import posterior
from tests.journeys.scripts import DIVERTER, FLOAT, STRAINER
from tests.trade.lists import check, checklist

LIST = load_content().checklists["hot-water"]
SMALL = checklist(
    {"grit": 2.0, "wire": 1.0, "float": 1.0},
    check("look", {"default": (0.01, 0.99), "grit": (0.99, 0.01)}, "listen", minutes=4),
    check("listen", {"default": (0.5, 0.5)}, "measure", minutes=1),
    check("measure", {"default": (0.01, 0.99), "wire": (0.99, 0.01)}, "smell", minutes=3),
    check("smell", {"default": (0.4, 0.6), "wire": (0.6, 0.4)}, minutes=2),
)
CLASH = {"look": "a0", "listen": "a0", "measure": "a0", "smell": "a0"}


def test_the_two_answers_that_disagree_most_and_the_cheaper_one_to_repeat() -> None:
    found = contradiction(SMALL, CLASH)
    assert found is not None
    assert found.checks == ("look", "measure")
    assert found.repeat == "measure"


def test_how_far_they_disagree_worked_by_hand() -> None:
    found = contradiction(SMALL, CLASH)
    together = 0.5 * 0.99 * 0.01 + 0.25 * 0.01 * 0.99 + 0.25 * 0.01 * 0.01
    look = 0.5 * 0.99 + 0.5 * 0.01
    measure = 0.25 * 0.99 + 0.75 * 0.01
    assert found is not None
    assert found.agreement == pytest.approx(together / (look * measure))


def test_answers_that_a_cause_explains_are_no_contradiction() -> None:
    assert contradiction(SMALL, CLASH | {"measure": "a1"}) is None
    assert contradiction(SMALL, {"look": "a0"}) is None
    assert contradiction(SMALL, CLASH | {"measure": COULD_NOT}) is None


def test_what_the_shop_never_meets_explains_nothing() -> None:
    """Grit alone explains the look; the shop's weights leave it out."""
    sound = {"look": "a0", "measure": "a1"}
    assert contradiction(SMALL, sound) is None
    assert contradiction(SMALL, sound, {"wire": 1.0, "float": 1.0}) is not None


def test_nobody_is_sent_to_work_that_nobody_here_may_do() -> None:
    assert SMALL.check("look").needs == "none"
    found = contradiction(SMALL, CLASH, without=("none",))
    assert found is not None
    assert found.repeat is None


def test_an_answer_that_is_none_is_refused() -> None:
    with pytest.raises(InputError):
        contradiction(SMALL, {"look": "a9"})


@pytest.mark.parametrize("script", [FLOAT, STRAINER, DIVERTER])
def test_the_jobs_as_they_are_worked_contradict_nothing(script: dict[str, str]) -> None:
    answers = {key: said for key, said in script.items() if key in LIST.checks}
    assert contradiction(LIST, answers) is None


def test_few_sound_visits_are_doubted_and_many_slips_are_noticed() -> None:
    """Twelve checks at random by the list's own tables, a fixed seed; then two answers turned.

    Checks at random disagree less often than those of a path, which belong together.
    """
    chance = random.Random(5)
    asked = [one for one in LIST.checks.values() if one.likelihood and one.stage == "check"]
    doubted = noticed = 0
    for _ in range(400):
        causes = {cause.id: cause.weight for cause in LIST.causes.values()}
        [cause] = chance.choices(list(causes), list(causes.values()))
        some = chance.sample(asked, 12)
        answers = {one.id: _drawn(one, cause, chance) for one in some}
        doubted += contradiction(LIST, answers) is not None
        for one in chance.sample(some, 2):
            others = [answer.id for answer in one.answers if answer.id != answers[one.id]]
            answers[one.id] = chance.choice(others)
        noticed += contradiction(LIST, answers) is not None
    assert doubted / 400 < 0.04
    assert noticed > max(0.1 * 400, 5 * doubted)
    assert EXPLAINS_FROM == 0.02


def _drawn(check: Check, cause: str, chance: random.Random) -> str:
    row = check.likelihood.get(cause, check.likelihood["default"])
    return chance.choices([answer.id for answer in check.answers], row)[0]


def test_a_changed_answer_brings_causes_back() -> None:
    sharp = checklist(
        {"grit": 1.0, "wire": 1.0},
        check("look", {"default": (1.0, 0.0), "wire": (0.0, 1.0)}),
    )
    before, after = (posterior(sharp, {"look": answer}) for answer in ("a0", "a1"))
    assert causes_back(before, after) == ("wire",)
    assert causes_back(after, after) == ()
