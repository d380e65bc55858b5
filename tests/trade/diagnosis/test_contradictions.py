"""Answers that one fault cannot explain are said out loud."""

from __future__ import annotations

import random

import pytest

from desk.base.errors import InputError
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.contradictions import EXPLAINS_FROM, causes_back, contradiction
from desk.trade.diagnosis.posterior import posterior, shares_before
from desk.trade.diagnosis.walk import COULD_NOT
from tests.journeys.scripts import DIVERTER, FLOAT, STRAINER
from tests.trade.lists import check, checklist, drawn_visit, worked_visit

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
    assert contradiction(LIST, worked_visit(LIST, script)) is None


def test_a_cause_explains_what_it_gives_in_one_job_of_forty() -> None:
    def said(chance: float) -> bool:
        small = checklist(
            {"grit": 1.0, "wire": 1.0},
            check("look", {"default": (0.01, 0.99), "grit": (0.99, 0.01)}, "measure"),
            check(
                "measure",
                {"default": (0.5, 0.5), "grit": (chance, 1 - chance), "wire": (0.99, 0.01)},
            ),
        )
        return contradiction(small, {"look": "a0", "measure": "a0"}) is not None

    assert EXPLAINS_FROM == 1 / 40
    assert said(0.024)
    assert not said(0.025)


@pytest.mark.parametrize(
    "slip",
    [
        {"service_valves": "one_shut", "lost_in_pipes": "mixing_valve"},
        {"timed_flow": "too_little", "ignition": "no_gas"},
        {"reed_meter": "never_closes", "flue_look": "blocked"},
        {"heat_source": "electric", "diverter": "stuck"},
    ],
)
def test_findings_of_two_faults_are_said_with_the_pair(slip: dict[str, str]) -> None:
    sound = {"draw_one": "not_noticed", "how_it_senses": "float_and_reed"}
    assert contradiction(LIST, sound, sensing_kind="reed_float") is None
    found = contradiction(LIST, sound | slip, sensing_kind="reed_float")
    assert found is not None
    assert found.repeat in found.checks
    assert contradiction(LIST, slip) is not None


def test_a_kind_that_the_priors_know_is_no_evidence_twice() -> None:
    """The records say one kind, and the answer another: the priors follow the answer."""
    answers = {"how_it_senses": "tank", "reed_meter": "never_closes"}
    assert contradiction(LIST, answers, sensing_kind="tank_thermostat") is None


def test_about_one_sound_visit_in_twenty_is_doubted() -> None:
    """Visits worked in the list's order, answers drawn from its tables; a fixed seed."""
    chance, doubted = random.Random(11), 0
    weights = shares_before(LIST, None, sensing_kind="reed_float")
    for _ in range(300):
        [cause] = chance.choices(list(weights), list(weights.values()))
        answers = drawn_visit(LIST, cause, chance, sensing_kind="reed_float")
        doubted += contradiction(LIST, answers, sensing_kind="reed_float") is not None
    assert doubted <= 0.09 * 300, "0.05, and three standard errors of so few visits"


def test_a_changed_answer_brings_causes_back() -> None:
    sharp = checklist(
        {"grit": 1.0, "wire": 1.0},
        check("look", {"default": (1.0, 0.0), "wire": (0.0, 1.0)}),
    )
    before, after = (posterior(sharp, {"look": answer}) for answer in ("a0", "a1"))
    assert causes_back(before, after) == ("wire",)
    assert causes_back(after, after) == ()
