"""Walks through a checklist that end where a visit ended, with answers that its cause gives."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, partial

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import BEFORE_THE_REPAIR, COULD_NOT, Answer, Check, Way
from desk.trade.content.prerequisites import Stand, asked_next, heading_for
from desk.trade.diagnosis.walk import cautions_for
from desk.trade.reference.sensing_kinds import NOT_KNOWN

NO_FAULT = "no_fault_found"
_COULD_NOT_SHARE = 0.03
_LATER_ANSWERS = 0.15
"""Where a check says nothing about causes, each answer is that much rarer than the one before."""


@dataclass(frozen=True, slots=True)
class Aim:
    """Where a walk has to lead.

    Attributes:
        cause: that the answers must point to; "" where any will do.
        ending: of the list; "" where any will do.
        known_sensing: what the office knows of the appliance before.
        true_sensing: what will be found on site.
        strict: no answer on the way points to another cause.
    """

    cause: str
    ending: str
    known_sensing: str
    true_sensing: str
    strict: bool = True

    @property
    def must_find(self) -> bool:
        """Whether an answer has to point to the cause."""
        return self.cause not in {"", NO_FAULT}


@dataclass(frozen=True, slots=True)
class Taken:
    """One answered check of a walk."""

    check: Check
    answer: str
    cautions: tuple[str, ...] = ()
    """The serious ones, acknowledged before it."""


@dataclass(frozen=True, slots=True)
class _At:
    """A place on the way, and whether an answer pointed to the cause before it."""

    stand: Stand
    seen: bool

    @property
    def check(self) -> str:
        return self.stand.check


class Walks:
    """Draws walks; what can still be reached from where is worked out once per aim.

    Attributes:
        rng: the chance that answers are drawn from; what is found on a walk draws from it too.
    """

    def __init__(self, checklist: Checklist, rng: random.Random) -> None:
        self._checklist = checklist
        self.rng = rng
        self._onward = cache(self._ways_from)
        self._asked_next = cache(partial(asked_next, checklist))  # many ways head alike
        self._reaches = cache(self._can_reach)
        self._choices = cache(self._choices_at)
        self._serious = cache(self._serious_cautions)

    def draw(self, aim: Aim) -> list[Taken]:
        """Return a walk to an aim, or where the list has no way there, to the nearest to it."""
        for tried in self._ever_looser(aim):
            start = _At(Stand(self._checklist.start, tried.known_sensing), not tried.must_find)
            onward = replace(tried, known_sensing="")  # the start says it: many aims are then one
            if self._reaches(onward, start):
                return self._follow(onward, start)
        return []

    def _ever_looser(self, aim: Aim) -> Iterator[Aim]:
        yield aim
        yield replace(aim, strict=False)
        yield replace(aim, cause="", strict=False)

    def _follow(self, aim: Aim, at: _At) -> list[Taken]:
        walked: list[Taken] = []
        while True:
            check = self._checklist.checks[at.check]
            ids, weights = self._choices(aim, at)
            answer = self.rng.choices(ids, weights)[0]
            walked.append(Taken(check, answer, self._serious(check.id, at.stand.finding)))
            taken = check.way(answer)
            then = next(then for way, then in self._onward(at.stand) if way is taken)
            if then is None:
                return walked
            at = _At(then, _sees(aim, at, taken))

    def _serious_cautions(self, check_id: str, finding: tuple[str, ...]) -> tuple[str, ...]:
        cautions = cautions_for(self._checklist, check_id, finding)
        return tuple(caution.id for caution in cautions if caution.serious)

    def _choices_at(self, aim: Aim, at: _At) -> tuple[tuple[str, ...], tuple[float, ...]]:
        """Return the answers from which the aim can be reached, with their weights."""
        check = self._checklist.checks[at.check]
        weights = check.chances(aim.cause) or [_LATER_ANSWERS**n for n in range(len(check.answers))]
        leading = [way for way, then in self._onward(at.stand) if self._leads(aim, at, way, then)]
        open_ways = {
            answer.id: max(weight, 1e-6)
            for answer, weight in zip(check.answers, weights, strict=True)
            if answer in leading
        }
        often_skipped = check.stage in BEFORE_THE_REPAIR
        if (often_skipped or not open_ways) and check.could_not in leading:
            open_ways[COULD_NOT] = _COULD_NOT_SHARE * sum(open_ways.values()) or 1.0
        return tuple(open_ways), tuple(open_ways.values())

    def _can_reach(self, aim: Aim, at: _At) -> bool:
        return any(self._leads(aim, at, way, then) for way, then in self._onward(at.stand))

    def _ways_from(self, stand: Stand) -> tuple[tuple[Way, Stand | None], ...]:
        """Return each way with what is asked then, which no aim changes; None where it ends."""
        ways = self._checklist.checks[stand.check].ways()
        headings = [(way, heading_for(self._checklist, stand, way)) for way in ways]
        return tuple((way, to and self._asked_next(to)) for way, to in headings)

    def _leads(self, aim: Aim, at: _At, way: Way, then: Stand | None) -> bool:
        """Return whether a way is allowed and the aim can be reached by it."""
        if isinstance(way, Answer):
            foreign = bool(way.finds) and aim.cause not in way.finds
            if aim.strict and foreign:
                return False
            if way.sets_sensing and aim.true_sensing not in {NOT_KNOWN, way.sets_sensing}:
                return False
        if then is not None:
            return self._reaches(aim, _At(then, _sees(aim, at, way)))
        return _sees(aim, at, way) and aim.ending in {"", way.ending}


def _sees(aim: Aim, at: _At, way: Way) -> bool:
    return at.seen or (isinstance(way, Answer) and aim.cause in way.finds)
