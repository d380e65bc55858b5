"""The best plan of checks and repairs for a small list, by looking at every plan there is.

A plan asks a check or mends a cause; a repair in vain takes :data:`WRONG_REPAIR_MINUTES` and is
known to have been in vain. What the right repair takes is the same in every plan, not counted.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from math import fsum

from desk.trade.content.checklist import Checklist
from desk.trade.diagnosis.posterior import next_check, posterior
from desk.trade.diagnosis.stop_rule import LEAST_PROBABILITY, WRONG_REPAIR_MINUTES, mend_now
from tests.trade.lists import check, checklist

type Answers = Mapping[str, str]
type Joint = Mapping[str, float]


def random_problem(chance: random.Random, causes: int = 4, checks: int = 4) -> Checklist:
    """Return a list of imperfect checks with two answers each."""
    names = [f"cause_{n}" for n in range(causes)]
    made = []
    for place in range(checks):
        rows = {name: chance.choice((0.05, 0.2, 0.5, 0.8, 0.95)) for name in names}
        made.append(
            check(
                f"check_{place}",
                {"default": (0.5, 0.5)} | {name: (yes, 1 - yes) for name, yes in rows.items()},
                f"check_{place + 1}" if place + 1 < checks else None,
                minutes=float(chance.randint(1, 12)),
            )
        )
    return checklist({name: chance.expovariate(1) for name in names}, *made)


def best_minutes(made: Checklist) -> float:
    """Return the expected minutes of the best plan of all."""
    known: dict[object, float] = {}

    def best(answers: Answers, joint: Joint) -> float:
        key = frozenset(answers.items()), frozenset(joint)
        if key not in known:
            plans = [_mend(joint, cause, lambda left: best(answers, left)) for cause in joint]
            plans += [
                _ask(made, answers, joint, asked, best)
                for asked in made.checks
                if asked not in answers
            ]
            known[key] = min(plans)
        return known[key]

    return best({}, _before(made))


def advised_minutes(made: Checklist, least_probability: float = LEAST_PROBABILITY) -> float:
    """Return the expected minutes where the program's advice is followed."""

    def advised(answers: Answers, joint: Joint) -> float:
        ranked = posterior(made, answers, joint_priors(made, joint))
        asked = next_check(made, answers, joint_priors(made, joint), ranked=ranked)
        advice = mend_now(made, answers, ranked, least_probability=least_probability)
        if asked is None or advice is not None:
            likeliest = max(joint, key=lambda cause: joint[cause])
            return _mend(joint, likeliest, lambda left: advised(answers, left))
        return _ask(made, answers, joint, asked.check, advised)

    return advised({}, _before(made))


def joint_priors(made: Checklist, joint: Joint) -> dict[str, float]:
    """Return the weights of the causes that are still in question."""
    return {cause: made.causes[cause].weight if cause in joint else 0.0 for cause in made.causes}


def _before(made: Checklist) -> Joint:
    total = fsum(cause.weight for cause in made.causes.values())
    return {key: cause.weight / total for key, cause in made.causes.items()}


def _mend(joint: Joint, cause: str, going_on: Callable[[Joint], float]) -> float:
    left = {key: share for key, share in joint.items() if key != cause}
    return fsum(left.values()) * WRONG_REPAIR_MINUTES + (going_on(left) if left else 0.0)


def _ask(
    made: Checklist,
    answers: Answers,
    joint: Joint,
    asked: str,
    going_on: Callable[[Answers, Joint], float],
) -> float:
    check_asked = made.checks[asked]
    minutes = fsum(joint.values()) * check_asked.minutes
    for place, answer in enumerate(check_asked.answers):
        then = {key: share * check_asked.chances(key)[place] for key, share in joint.items()}
        minutes += going_on({**answers, asked: answer.id}, then)
    return minutes
