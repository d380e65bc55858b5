"""Visits with a known cause, worked in four ways: what each needs until the cause is found.

A visit has a hidden cause and a kind of sensing that the office knows. Both are drawn from the
content: the kind from the default row of the check that asks for it, the cause from the list's
weights for that kind. Every check has one answer for the whole visit, drawn from
``P(answer | cause)``; a check without probabilities has its first answer, the usual one.

In a *perturbed* world the odds of every weight and of every likelihood entry are multiplied by a
factor that is log-uniform in 1/2 to 2, and renormalised. The program goes by the content all the
same: it does not know the world.

**Minutes to the true cause**, the same for all ways. The checks of arrival are done first.
Then one check after the other, each with the preparations that it still needs, and every one costs
its minutes once. After each answer the program's own posterior is looked at. A cause is *concluded*
when it reaches 90 %. When nothing is left to check, the causes are concluded one after the other,
the likeliest first. A wrong conclusion costs `WRONG_REPAIR_MINUTES`; the cause is out from then on,
and the work goes on. The visit ends when the true cause is concluded. The repair itself and its
proof are the same whatever led there, and are not counted.

A second count was added after the first figures were seen, and stands beside them: nobody does a
check that takes longer than a wrong conclusion is expected to cost, ``(1 - p) *
WRONG_REPAIR_MINUTES`` with ``p`` that of the likeliest cause; that cause is concluded instead.

A third count followed when the program had learnt to say *mend now*
(:func:`desk.trade.diagnosis.stop_rule.mend_now`): the way *advised* follows the suggestion until
that is said, and then concludes the likeliest cause. Six rules for it were tried on 600 visits of
another seed; this one was kept because it is the published one, and none did clearly better. The
program believes that a repair in vain takes 20 minutes; where it takes 10 or 40 is printed too.

The ways:

* **in order**: the check that the list leads to; when it leads to a repair, a proof or its end,
  nothing is left to check;
* **suggested**: the check that :func:`desk.trade.diagnosis.posterior.next_check` suggests;
* **advised**: the same, until the program says to mend now;
* **static**: the checks in a fixed order by ``p / cost``, whatever is answered: ``p`` is the
  probability, before the visit, that the check finds the cause, its cost the minutes with
  all its preparations. This is the order that is best where each check tests one cause perfectly.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, log

import numpy as np

from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.model import BEFORE_THE_REPAIR, Check
from desk.trade.diagnosis.information_gain import LIKELIHOOD_FLOOR, likelihoods, preparations_of
from desk.trade.diagnosis.posterior import next_check, normalised, posterior
from desk.trade.diagnosis.sensing_evidence import kind_answer, kind_check, with_kind
from desk.trade.diagnosis.stop_rule import mend_now
from desk.trade.diagnosis.walk import Given, walk

WRONG_REPAIR_MINUTES = 20.0
CONCLUDED_FROM = 0.9

type Answers = tuple[tuple[str, str], ...]
type Way = Callable[["Bench", str, Answers, frozenset[str]], str | None]


@dataclass(frozen=True)
class World:
    """What causes and answers are drawn from."""

    weights: Mapping[str, float]
    rows: Mapping[str, Mapping[str, Sequence[float]]]


@dataclass(frozen=True)
class Outcome:
    """How one visit went.

    Attributes:
        minutes: until the true cause was concluded.
        first_was_right: the first conclusion named the true cause.
        sure: the first conclusion came with 90 % or more, and was not for want of checks.
    """

    minutes: float
    first_was_right: bool
    sure: bool


@dataclass
class Bench:
    """A list with what is computed once for all visits."""

    checklist: Checklist
    suggestions: dict[object, str | None] = field(default_factory=dict)
    places: dict[object, str | None] = field(default_factory=dict)
    logs: dict[tuple[str, str], np.ndarray] = field(default_factory=dict)
    orders: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.causes = tuple(self.checklist.causes)
        self.kind_asked = kind_check(self.checklist)

    def prior(self, kind: str) -> dict[str, float]:
        """Return what the program believes before any answer."""
        return normalised(with_kind(self.checklist, self.checklist.cause_weights, kind))

    def told(self, check_id: str, answer_id: str) -> np.ndarray:
        """Return log P(answer | cause) by the program's tables."""
        key = check_id, answer_id
        if key not in self.logs:
            check = self.checklist.checks[check_id]
            if not check.likelihood or check is self.kind_asked:
                self.logs[key] = np.zeros(len(self.causes))
            else:
                row = likelihoods(check, answer_id, self.causes)
                self.logs[key] = np.log([row[cause] for cause in self.causes])
        return self.logs[key]


def own_world(checklist: Checklist) -> World:
    """Return the world that the content describes."""
    rows = {
        check.id: {cause: check.chances(cause) for cause in checklist.causes}
        for check in checklist.checks.values()
        if check.likelihood
    }
    return World(checklist.cause_weights, rows)


def perturbed(world: World, chance: random.Random) -> World:
    """Return a world whose odds are all off by a factor of up to two."""

    def shaken(shares: Sequence[float]) -> list[float]:
        odds = [
            share / (1 - share) * exp(chance.uniform(-log(2), log(2))) if share < 1 else None
            for share in shares
        ]
        moved = [1.0 if one is None else one / (1 + one) for one in odds]
        return [share / sum(moved) for share in moved]

    causes = list(world.weights)
    weights = shaken(list(normalised(world.weights).values()))
    return World(
        dict(zip(causes, weights, strict=True)),
        {
            check: {cause: shaken(row) for cause, row in rows.items()}
            for check, rows in world.rows.items()
        },
    )


def draw_visit(bench: Bench, world: World, chance: random.Random) -> tuple[str, str]:
    """Return the kind of sensing and the cause of a visit."""
    asked = bench.kind_asked
    assert asked is not None
    kinds = [answer.sets_sensing for answer in asked.answers]
    shares = [
        share if kind else 0.0
        for kind, share in zip(kinds, asked.likelihood["default"], strict=True)
    ]
    [kind] = chance.choices(kinds, shares)
    assert kind is not None
    place = kinds.index(kind)
    weights = [
        weight * world.rows[asked.id][cause][place] for cause, weight in world.weights.items()
    ]
    [cause] = chance.choices(list(world.weights), weights)
    return kind, cause


@dataclass(frozen=True)
class Hidden:
    """What nobody knows of a visit but its answers show; ``seed`` draws them."""

    world: World
    kind: str
    cause: str
    seed: float


def work(
    bench: Bench,
    way: Way,
    hidden: Hidden,
    *,
    weighs_cost: bool = False,
    wrong_repair_minutes: float = WRONG_REPAIR_MINUTES,
) -> Outcome:
    """Work one visit one way; the same hidden visit gives the same answers every way.

    Args:
        bench: the list.
        way: which check comes next.
        hidden: what the answers come from.
        weighs_cost: the second count: no check that takes longer than it can be worth.
        wrong_repair_minutes: what a wrong conclusion costs in truth.
    """
    said, kind = _Answers(bench, hidden), hidden.kind
    beliefs = np.log([max(share, 1e-300) for share in bench.prior(kind).values()])
    true = bench.causes.index(hidden.cause)
    answers: Answers = ()
    out: frozenset[str] = frozenset()
    minutes, first, sure = 0.0, None, False
    while True:
        following = way(bench, kind, answers, out)
        if weighs_cost and following is not None and _is_dear(bench, following, beliefs):
            following = None
        if following is None:
            place, is_sure = int(np.argmax(beliefs)), False
        else:
            check = bench.checklist.checks[following]
            answer = said.to(check)
            answers = (*answers, (following, answer))
            minutes += check.minutes
            beliefs = beliefs + bench.told(following, answer)
            place = int(np.argmax(beliefs))
            share = 1 / np.exp(beliefs - beliefs[place]).sum()
            is_sure = True
            if share < CONCLUDED_FROM or check.stage == "arrive":
                continue
        if first is None:
            first, sure = place, is_sure
        if place == true:
            return Outcome(minutes, first == true, sure)
        minutes += wrong_repair_minutes
        beliefs[place] = -np.inf
        out = out | {bench.causes[place]}


def _is_dear(bench: Bench, check_id: str, beliefs: np.ndarray) -> bool:
    """Say whether a check takes longer than a wrong conclusion now is expected to cost."""
    check = bench.checklist.checks[check_id]
    likeliest = 1 / np.exp(beliefs - beliefs.max()).sum()
    return check.stage != "arrive" and check.minutes > (1 - likeliest) * WRONG_REPAIR_MINUTES


class _Answers:
    """The answers of one visit, each drawn when it is first asked for, whatever the order."""

    def __init__(self, bench: Bench, hidden: Hidden) -> None:
        self._bench, self._hidden = bench, hidden

    def to(self, check: Check) -> str:
        """Return the answer to a check."""
        if check is self._bench.kind_asked:
            answer = kind_answer(self._bench.checklist, self._hidden.kind)
            assert answer is not None
            return answer.id
        if not check.likelihood:
            return check.answers[0].id
        own = random.Random(f"{self._hidden.seed}{check.id}")  # the same in any order
        row = self._hidden.world.rows[check.id][self._hidden.cause]
        [answer_id] = own.choices([one.id for one in check.answers], row)
        return answer_id


def in_order(bench: Bench, kind: str, answers: Answers, out: frozenset[str]) -> str | None:
    """Return the check that the list leads to."""
    key = kind, answers
    if key not in bench.places:
        given = {check: Given(answer) for check, answer in answers}
        following = walk(bench.checklist, given, kind).next
        if following is not None:
            stage = bench.checklist.checks[following].stage
            following = following if stage in (*BEFORE_THE_REPAIR, "arrive") else None
        bench.places[key] = following
    return bench.places[key]


def suggested(bench: Bench, kind: str, answers: Answers, out: frozenset[str]) -> str | None:
    """Return the check that the program suggests, the causes that are out left out."""
    key = kind, frozenset(answers), out
    if key not in bench.suggestions:
        priors = {one: 0.0 if one in out else p for one, p in bench.prior(kind).items()}
        found = next_check(bench.checklist, dict(answers), priors, sensing_kind=kind)
        bench.suggestions[key] = None if found is None else found.check
    return bench.suggestions[key]


def advised(bench: Bench, kind: str, answers: Answers, out: frozenset[str]) -> str | None:
    """Return the check that the program suggests, unless it says to mend now."""
    key = "advised", kind, frozenset(answers), out
    if key not in bench.suggestions:
        priors = {one: 0.0 if one in out else p for one, p in bench.prior(kind).items()}
        given = dict(answers)
        ranked = posterior(bench.checklist, given, priors, sensing_kind=kind)
        says = mend_now(bench.checklist, given, ranked, sensing_kind=kind)
        bench.suggestions[key] = suggested(bench, kind, answers, out) if says is None else None
    return bench.suggestions[key]


def static(bench: Bench, kind: str, answers: Answers, out: frozenset[str]) -> str | None:
    """Return the next check of the fixed order that may be done, or what prepares it."""
    given = dict(answers)
    arrival = in_order(bench, kind, answers, out)
    if arrival is not None and bench.checklist.checks[arrival].stage == "arrive":
        return arrival
    for check_id in _order(bench, kind):
        if check_id in given:
            continue
        check = bench.checklist.checks[check_id]
        before = preparations_of(bench.checklist, check, given)
        if before is not None:
            return before[0].id if before else check_id
    return None


def _order(bench: Bench, kind: str) -> tuple[str, ...]:
    if kind not in bench.orders:
        prior = bench.prior(kind)
        fitting = reachable(bench.checklist, kind, kind_is_sure=True)
        yields = {}
        for check in bench.checklist.checks.values():
            if check.stage in BEFORE_THE_REPAIR and check.likelihood:
                found = sum(
                    prior[cause] * max(check.chances(cause)[place], LIKELIHOOD_FLOOR)
                    for place, answer in enumerate(check.answers)
                    for cause in answer.finds
                )
                before = preparations_of(bench.checklist, check, {}) or ()
                cost = check.minutes + sum(one.minutes for one in before)
                if found > 0 and check is not bench.kind_asked and check.id in fitting:
                    yields[check.id] = found / cost
        bench.orders[kind] = tuple(sorted(yields, key=lambda key: (-yields[key], key)))
    return bench.orders[kind]


WAYS: dict[str, Way] = {
    "in order": in_order,
    "suggested": suggested,
    "advised": advised,
    "static p / cost": static,
}
