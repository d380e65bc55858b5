"""How long the list is expected to take from here to its end, in its own order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from math import fsum
from typing import NamedTuple

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Check, Way
from desk.trade.content.prerequisites import Prerequisites, prerequisites_of
from desk.trade.diagnosis.posterior import Suspect
from desk.trade.diagnosis.sensing_evidence import kind_answer, kind_check
from desk.trade.diagnosis.walk import COULD_NOT, Walk, walk_said
from desk.trade.reference.sensing_kinds import NOT_KNOWN

MOST_CAUSES = 12
"""The expectation is over this many of the likeliest causes, weighed up to one, since an answer has
to be on screen at once; on the way of a stuck float it stays within 7 % of that over all causes."""


def minutes_to_the_end(
    checklist: Checklist,
    answers: Mapping[str, str],
    suspects: Sequence[Suspect],
    *,
    sensing_kind: str = NOT_KNOWN,
    most_causes: int = MOST_CAUSES,
    stands: Walk | None = None,
) -> float:
    """Return the minutes that the list is expected to take still, repair and proof included.

    For each cause the minutes of every check are weighed with the chance of coming to it: answers
    are drawn from ``P(answer | cause)``, independent given the cause, as in
    :mod:`desk.trade.diagnosis.posterior`. In that model this is exact but for the causes left
    out. It is an approximation of a visit: nobody follows the suggestion, every check can be
    done, and a check whose answer says nothing of the causes is taken to be answered with its
    first answer (the usual one).

    Args:
        checklist: a sound checklist: no way goes round in a circle.
        answers: check id to answer id; what was answered ahead of the list takes no more time.
        suspects: the causes as they stand after the answers, likeliest first.
        sensing_kind: what the office knows of the appliance.
        most_causes: how many of the causes are looked at; at least one.
        stands: where the list stands, where that is known: an order of the answers may tell.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    stands = stands or walk_said(checklist, answers, sensing_kind)
    if stands.towards is None:
        return 0.0
    weighed = suspects[:most_causes]
    total = fsum(one.probability for one in weighed)
    place = (stands.towards, stands.sensing_kind)
    said = {**_kind_said(checklist, stands.sensing_kind), **answers}
    minutes = _minutes(checklist, answers, said, tuple(one.id for one in weighed), place)
    return fsum(one.probability * m for one, m in zip(weighed, minutes, strict=True)) / total


def _kind_said(checklist: Checklist, sensing_kind: str) -> dict[str, str]:
    """Return what will be said of a kind of sensing that is known; asking still takes its time."""
    check, answer = kind_check(checklist), kind_answer(checklist, sensing_kind)
    return {check.id: answer.id} if check is not None and answer is not None else {}


class _Alike(NamedTuple):
    """Causes for which the same is asked before a check: where they stand, and what follows it.

    ``ways`` holds the chance of each way for each of ``places``.
    """

    before: Prerequisites
    places: Sequence[int]
    ways: Sequence[tuple[Way, Sequence[float]]]


def _minutes(
    checklist: Checklist,
    answers: Mapping[str, str],
    said: Mapping[str, str],
    causes: Sequence[str],
    start: tuple[str, str],
) -> Sequence[float]:
    """Return the expected minutes from a check on for each cause, when it is the one.

    All causes go through the list together: it leads them by nearly the same checks.
    ``answers`` are given; ``said`` has besides them what is sure to be said.
    """
    known: dict[tuple[str, str, frozenset[str]], Sequence[float]] = {}

    @cache
    def alike_at(check_id: str) -> Sequence[_Alike]:
        return _alike_at(checklist, answers, said, causes, check_id)

    def left(check_id: str, kind: str, readied: frozenset[str]) -> Sequence[float]:
        here = check_id, kind, readied
        if here in known:
            return known[here]
        taken, check = [0.0] * len(causes), checklist.checks[check_id]
        for before, places, ways in alike_at(check_id):
            asked = [one for one in before.all if one not in readied]
            minutes = fsum(checklist.checks[one].minutes for one in asked)
            after = readied.union(asked, {check_id} & checklist.readying)
            is_done = check_id in (readied if check_id in checklist.readying else answers)
            if not is_done and before.refused_by is None:
                minutes += check.minutes
                after = after.difference(check.undoes)
            for place in places:
                taken[place] = minutes
            for way, chances in ways:
                kind_then = way.kind_after(kind)
                following = way.leads_to(kind_then)
                if following is not None:
                    further = left(following, kind_then, after)
                    for place, chance in zip(places, chances, strict=True):
                        taken[place] += chance * further[place]
        known[here] = taken
        return taken

    return left(*start, checklist.readying.intersection(answers))


def _alike_at(
    checklist: Checklist,
    answers: Mapping[str, str],
    said: Mapping[str, str],
    causes: Sequence[str],
    check_id: str,
) -> Sequence[_Alike]:
    """Return the causes sorted by what is asked before a check where they are the one."""
    places: dict[Prerequisites, list[int]] = {}
    for place, cause in enumerate(causes):
        before = prerequisites_of(checklist, check_id, answers, causes=(cause,))
        places.setdefault(before, []).append(place)
    check = checklist.checks[check_id]
    return [
        _Alike(before, at, _ways(check, before, [causes[i] for i in at], said.get(check_id)))
        for before, at in places.items()
    ]


def _ways(
    check: Check, before: Prerequisites, causes: Sequence[str], said: str | None
) -> Sequence[tuple[Way, Sequence[float]]]:
    """Return the ways that can be taken from a check, with the chance of each for each cause."""
    sure = [1.0] * len(causes)
    if before.refused_by is not None:
        return ((check.could_not, sure),)
    if said is not None and said != COULD_NOT:
        return ((check.answer(said), sure),)
    if not check.likelihood:
        return ((check.answers[0], sure),)
    chances = zip(*(check.chances(cause) for cause in causes), strict=True)
    return [pair for pair in zip(check.answers, chances, strict=True) if any(pair[1])]
