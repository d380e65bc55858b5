"""Where a visit stands in its checklist, derived from the answers given so far.

Nothing here is stored: the path, what comes next and what was put aside all follow from the
latest answer to each check. To go back is simply to give another answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from desk.errors import InputError
from desk.trade.content import COULD_NOT, Answer, Caution, Checklist, Ending, Way
from desk.wording import message

__all__ = [
    "COULD_NOT",
    "Change",
    "Given",
    "Step",
    "Walk",
    "cautions_for",
    "check_answer",
    "compare",
    "count_paths",
    "reachable",
    "walk",
]


@dataclass(frozen=True, slots=True)
class Given:
    """The latest answer to a check.

    Attributes:
        answer: an answer's id, or :data:`COULD_NOT`.
        reason: why it could not be checked; free words of the technician.
        by_suggestion: it followed the suggested check, perhaps ahead of the list.
    """

    answer: str
    reason: str = ""
    by_suggestion: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One check on the path, with its answer."""

    check: str
    answer: str


@dataclass(frozen=True, slots=True)
class Walk:
    """Where the answers have led.

    Attributes:
        path: the answered checks that follow from one another, from the start.
        next: the check to do now; None where the list has ended.
        ending: how the list ended; None while it goes on.
        aside: answered checks that no longer follow; kept and shown greyed.
        ahead: checks answered by suggestion that the list has not come to.
        sensing_kind: the appliance's, or the one that an answer on the path found.
        found: causes that answers on the path point to, the latest last.
    """

    path: tuple[Step, ...]
    next: str | None
    ending: Ending | None
    aside: tuple[str, ...]
    ahead: tuple[str, ...]
    sensing_kind: str
    found: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """What another answer did to the answers that were there before."""

    put_aside: tuple[str, ...]
    brought_back: tuple[str, ...]


def walk(checklist: Checklist, given: Mapping[str, Given], sensing_kind: str) -> Walk:
    """Follow the answers from the start of a checklist.

    Args:
        checklist: a sound checklist: no way goes round in a circle.
        given: the latest answer to each answered check, in any order.
        sensing_kind: what the office knows of the appliance.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    for answered, latest in given.items():
        checklist.check(answered).way(latest.answer)  # off the path too
    path: list[Step] = []
    found: dict[str, None] = {}
    check_id: str | None = checklist.start
    ending: Ending | None = None
    while check_id is not None and check_id in given:
        answer_id = given[check_id].answer
        way = checklist.checks[check_id].way(answer_id)
        path.append(Step(check_id, answer_id))
        sensing_kind = _kind_after(way, sensing_kind)
        for cause in way.finds if isinstance(way, Answer) else ():
            found.pop(cause, None)
            found[cause] = None
        ending = way.ending
        check_id = way.leads_to(sensing_kind)
    on_path = {step.check for step in path}
    off_path = [other for other in given if other not in on_path]
    return Walk(
        path=tuple(path),
        next=check_id,
        ending=ending,
        aside=tuple(other for other in off_path if not given[other].by_suggestion),
        ahead=tuple(other for other in off_path if given[other].by_suggestion),
        sensing_kind=sensing_kind,
        found=tuple(found),
    )


def reachable(checklist: Checklist, sensing_kind: str, *, kind_is_sure: bool = False) -> set[str]:
    """Return the ids of the checks that an appliance of this sensing kind can lead to.

    Args:
        checklist: a checklist whose ways all lead somewhere.
        sensing_kind: what is known at the start.
        kind_is_sure: leave out the answers that would find another kind on site.
    """
    seen: set[tuple[str, str]] = set()
    todo = [(checklist.start, sensing_kind)]
    while todo:
        state = todo.pop()
        if state in seen:
            continue
        seen.add(state)
        check, kind = state
        for way in checklist.checks[check].ways():
            kind_then = _kind_after(way, kind)
            following = way.leads_to(kind_then)
            if following and not (kind_is_sure and kind_then != sensing_kind):
                todo.append((following, kind_then))
    return {check for check, _ in seen}


def count_paths(checklist: Checklist, sensing_kind: str) -> int:
    """Count the different ways through a checklist, "could not check" counted as an answer."""

    @cache
    def count(check: str, kind: str) -> int:
        total = 0
        for way in checklist.checks[check].ways():
            kind_then = _kind_after(way, kind)
            following = way.leads_to(kind_then)
            total += count(following, kind_then) if following else 1
        return total

    return count(checklist.start, sensing_kind)


def _kind_after(way: Way, kind: str) -> str:
    return way.sets_sensing or kind if isinstance(way, Answer) else kind


def check_answer(checklist: Checklist, check_id: str, given: Given) -> None:
    """Make sure that an answer may be recorded.

    Raises:
        InputError: the check or the answer is not in the checklist, or "could not check" comes
            without a reason.
    """
    checklist.check(check_id).way(given.answer)
    if given.answer == COULD_NOT and not given.reason.strip():
        raise InputError(
            message("Say in a few words why this could not be checked."),
            field="reason",
            check=check_id,
        )


def cautions_for(checklist: Checklist, check_id: str) -> tuple[Caution, ...]:
    """Return the cautions to show before a check, the serious ones first.

    Raises:
        InputError: the checklist has no such check.
    """
    cautions = [checklist.cautions[key] for key in checklist.check(check_id).cautions]
    return tuple(sorted(cautions, key=lambda caution: not caution.serious))


def compare(before: Walk, after: Walk) -> Change:
    """Say which answers a change put aside and which it brought back onto the path."""
    return Change(
        put_aside=tuple(check for check in after.aside if check not in before.aside),
        brought_back=tuple(
            step.check for step in after.path if step.check in (*before.aside, *before.ahead)
        ),
    )
