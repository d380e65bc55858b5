"""What looking one step ahead costs, and how often contradictions are called and noticed."""

from __future__ import annotations

import random
import statistics
from itertools import permutations

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.contradictions import contradiction
from desk.trade.diagnosis.posterior import next_check, shares_before
from desk.trade.diagnosis.sensing_evidence import kind_check
from tests.trade.lists import drawn_visit, perfect_checks
from tests.trade.mending_policies import advised_minutes, best_minutes, random_problem
from tests.trade.repair_orders import expected_minutes

LISTS = load_content().checklists
KINDS = ("reed_float", "turbine_hall", "pressure_difference", "tank_thermostat")
PROBLEMS, VISITS = 300, 1000


@pytest.mark.bench
def test_minutes_of_the_suggestions_beside_the_best_order() -> None:
    """Print the extra minutes of one step ahead over the best of all orders of perfect checks."""
    chance = random.Random(7)
    extra = []
    for _ in range(PROBLEMS):
        weights = [chance.expovariate(1) for _ in range(5)]
        p = [weight / sum(weights) for weight in weights]
        minutes = [float(chance.randint(1, 30)) for _ in p]
        made = perfect_checks(p, minutes)
        order: list[int] = []
        while (advice := next_check(made, {f"check_{one}": "a1" for one in order})) is not None:
            order.append(int(advice.check.removeprefix("check_")))
        best = min(expected_minutes(tried[:-1], p, minutes) for tried in permutations(range(5)))
        extra.append(expected_minutes(order, p, minutes) / best - 1)
    print(
        f"\nsuggestions beside the best order of five perfect checks, {PROBLEMS} problems: "
        f"mean {100 * statistics.fmean(extra):+.1f} %, p95 {100 * sorted(extra)[-15]:+.1f} %, "
        f"worst {100 * max(extra):+.1f} %"
    )
    assert min(extra) > -1e-9, "nothing beats the best order"


@pytest.mark.bench
def test_minutes_of_the_advice_beside_the_best_plan_of_imperfect_checks() -> None:
    """Print the extra minutes of suggestion and "mend now" over the best of all plans."""
    chance = random.Random(13)
    extra = []
    for _ in range(PROBLEMS):
        made = random_problem(chance)
        extra.append(advised_minutes(made) / best_minutes(made) - 1)
    print(
        f"\nadvice beside the best plan, four causes, four imperfect checks, {PROBLEMS} problems: "
        f"mean {100 * statistics.fmean(extra):+.1f} %, p95 {100 * sorted(extra)[-15]:+.1f} %, "
        f"worst {100 * max(extra):+.1f} %"
    )
    assert min(extra) > -1e-9, "nothing beats the best plan"


@pytest.mark.bench
@pytest.mark.parametrize("made", LISTS.values(), ids=LISTS)
def test_how_often_contradictions_are_called_and_noticed(made: Checklist) -> None:
    """Print the share of sound visits that are doubted, and of single slips that are noticed."""
    chance = random.Random(11)
    doubted = noticed = 0
    for _ in range(VISITS):
        kind = chance.choice(KINDS)
        weights = shares_before(made, None, sensing_kind=kind)
        [cause] = chance.choices(list(weights), list(weights.values()))
        answers = drawn_visit(made, cause, chance, sensing_kind=kind)
        doubted += contradiction(made, answers, sensing_kind=kind) is not None
        slipped = _slipped(made, answers, chance)
        noticed += contradiction(made, slipped, sensing_kind=kind) is not None
    print(
        f"\n{made.id}: {100 * doubted / VISITS:.1f} % of sound visits doubted, "
        f"{100 * noticed / VISITS:.1f} % of single slips noticed"
    )
    assert noticed > doubted


def _slipped(made: Checklist, answers: dict[str, str], chance: random.Random) -> dict[str, str]:
    """Return the answers with one of them, to a check that says something, a wrong one."""
    telling = [
        check
        for check in (made.checks[key] for key in answers)
        if check.likelihood
        and len(check.answers) > 1
        and check.stage in {"check", "measure"}
        and check is not kind_check(made)
    ]
    if not telling:  # the visit ended at the door
        return answers
    asked = chance.choice(telling)
    others = [answer.id for answer in asked.answers if answer.id != answers[asked.id]]
    return answers | {asked.id: chance.choice(others)}
