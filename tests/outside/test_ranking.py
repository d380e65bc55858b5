"""The ranking against published networks and full enumeration (cases/troubleshooting.toml).

A published network maps to the single-fault model when each joint state of what is hidden is
taken as one "cause" and each finding depends on that state alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import permutations, product
from typing import Any

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.diagnosis.posterior import next_check, posterior
from tests.outside.published import cases
from tests.trade.lists import check, checklist, perfect_checks
from tests.trade.repair_orders import expected_minutes, order_by_yield

CASES = cases("troubleshooting")
ORDERED = ("10-10", "10-12", "10-13")

type State = Mapping[str, bool]


def network(
    hidden: Mapping[str, Callable[[State], float]], findings: Mapping[str, Callable[[State], float]]
) -> tuple[Checklist, dict[str, State]]:
    """Return a list of one "cause" a joint state; a finding's answer a0 is true, a1 false.

    Args:
        hidden: each variable's probability of being true, given those before it.
        findings: the probability of each finding, given the state.
    """
    states: dict[str, State] = {}
    weights: dict[str, float] = {}
    for values in product([True, False], repeat=len(hidden)):
        state = dict(zip(hidden, values, strict=True))
        name = "_".join(key for key, value in state.items() if value) or "nothing"
        states[name], weights[name] = state, 1.0
        for key, chance in hidden.items():
            weights[name] *= chance(state) if state[key] else 1 - chance(state)
    names = list(findings)
    checks = []
    for name, following in zip(names, [*names[1:], None], strict=True):
        rows = {key: (findings[name](state),) for key, state in states.items()}
        filled = {key: (true, 1 - true) for key, (true,) in rows.items()}
        checks.append(check(name, {"default": (0.5, 0.5), **filled}, following))
    return checklist(weights, *checks), states


def probability(of: str, model: tuple[Checklist, dict[str, State]], *found: str) -> float:
    """Return the posterior probability of a hidden variable after some findings."""
    made, states = model
    suspects = posterior(made, dict.fromkeys(found, "a0"))
    return sum(suspect.probability for suspect in suspects if states[suspect.id][of])


def two_parents(table: list[float], first: str, second: str) -> Callable[[State], float]:
    """Return a table's probability for both true, the first, the second, neither."""
    return lambda state: table[2 * (not state[first]) + (not state[second])]


def alarm(inputs: dict[str, Any]) -> tuple[Checklist, dict[str, State]]:
    return network(
        {
            "burglary": lambda _: inputs["burglary"],
            "earthquake": lambda _: inputs["earthquake"],
            "alarm": two_parents(inputs["alarm"], "burglary", "earthquake"),
        },
        {
            "john": lambda state: inputs["john"][not state["alarm"]],
            "mary": lambda state: inputs["mary"][not state["alarm"]],
        },
    )


def test_two_neighbours_call_about_a_burglary() -> None:
    case = CASES["10-01"]
    assert case.agrees(probability("burglary", alarm(case.inputs), "john", "mary"))


def test_two_neighbours_call_about_an_earthquake() -> None:
    case = CASES["10-02"]
    model = alarm(case.inputs)
    assert case.agrees(*(probability(of, model, "john", "mary") for of in ("earthquake", "alarm")))


def test_the_asia_network() -> None:
    case = CASES["10-08"]
    table = case.inputs["dysp"]

    def dyspnoea(state: State) -> float:
        either = state["tub"] or state["lung"]
        return table[(0 if state["bronc"] else 1) if either else (2 if state["bronc"] else 3)]

    model = network(
        {
            "asia": lambda _: case.inputs["asia"],
            "smoke": lambda _: case.inputs["smoke"],
            "tub": lambda state: case.inputs["tub"][not state["asia"]],
            "lung": lambda state: case.inputs["lung"][not state["smoke"]],
            "bronc": lambda state: case.inputs["bronc"][not state["smoke"]],
        },
        {
            "dyspnoea": dyspnoea,
            "has_been_to_asia": lambda state: float(state["asia"]),
            "does_not_smoke": lambda state: float(not state["smoke"]),
        },
    )
    found = ("dyspnoea", "has_been_to_asia", "does_not_smoke")
    assert case.agrees(*(probability(of, model, *found) for of in ("tub", "lung", "bronc")))


def test_the_wet_lawn() -> None:
    case = CASES["10-09"]
    model = network(
        {
            "cloudy": lambda _: case.inputs["cloudy"],
            "sprinkler": lambda state: case.inputs["sprinkler"][not state["cloudy"]],
            "rain": lambda state: case.inputs["rain"][not state["cloudy"]],
        },
        {
            "wet": two_parents(case.inputs["wet"], "sprinkler", "rain"),
            "it_rains": lambda state: float(state["rain"]),
        },
    )
    assert case.agrees(
        probability("sprinkler", model, "wet"),
        probability("rain", model, "wet"),
        probability("sprinkler", model, "wet", "it_rains"),
    )


@pytest.mark.parametrize("case_id", ORDERED)
def test_probability_per_minute_is_the_best_of_all_orders(case_id: str) -> None:
    case = CASES[case_id]
    p, minutes, otherwise = (case.inputs[key] for key in ("p", "minutes", "otherwise"))

    def cost(order: tuple[int, ...]) -> float:
        return expected_minutes(order, p, minutes, otherwise_minutes=otherwise)

    order = order_by_yield(p, minutes)
    assert list(order) == case.inputs["order"]
    assert case.agrees(cost(order))
    assert min(map(cost, permutations(range(len(p))))) == pytest.approx(case.expected)


def test_a_last_observation_that_may_be_left_out_breaks_the_rule() -> None:
    case = CASES["10-16"]
    p, minutes = case.inputs["p"], case.inputs["minutes"]

    def cost(order: tuple[int, ...]) -> float:
        return expected_minutes(order[:-1], p, minutes)

    assert case.agrees(min(map(cost, permutations(range(3)))))
    assert cost(order_by_yield(p, minutes)) == pytest.approx(case.inputs["by_yield"])


@pytest.mark.parametrize(
    ("case_id", "extra_minutes"), [("10-10", 0.0), ("10-12", 0.0), ("10-16", 0.0)]
)
def test_what_looking_one_step_ahead_costs(case_id: str, extra_minutes: float) -> None:
    """Following the suggestions, against the best order of perfect checks (the last left out)."""
    p, minutes = CASES[case_id].inputs["p"], CASES[case_id].inputs["minutes"]
    made = perfect_checks(p, minutes)
    order: list[int] = []
    answers: dict[str, str] = {}
    while (suggestion := next_check(made, answers)) is not None:
        order.append(int(suggestion.check.removeprefix("check_")))
        answers[suggestion.check] = "a1"
    best = min(expected_minutes(tried[:-1], p, minutes) for tried in permutations(range(len(p))))
    assert expected_minutes(order, p, minutes) - best == pytest.approx(extra_minutes)
