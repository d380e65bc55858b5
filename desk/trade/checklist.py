"""Where a visit stands in its checklist, derived from the answers given so far.

Nothing here is stored: the path, what comes next and what was put aside all follow from the
latest answer to each check. To go back is simply to give another answer.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache

from desk.errors import InputError
from desk.trade.content import (
    BEFORE_THE_REPAIR,
    COULD_NOT,
    Answer,
    Caution,
    Checklist,
    Ending,
    Way,
)
from desk.trade.prerequisites import prerequisites_of
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
        cause: what was mended, where this answers a repair that was done at once, ahead of the
            list.
    """

    answer: str
    reason: str = ""
    by_suggestion: bool = False
    cause: str = ""


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
        to_mend: what the latest finding points to: what a repair now is about.
    """

    path: tuple[Step, ...]
    next: str | None
    ending: Ending | None
    aside: tuple[str, ...]
    ahead: tuple[str, ...]
    sensing_kind: str
    found: tuple[str, ...]
    to_mend: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """What another answer did to the answers that were there before."""

    put_aside: tuple[str, ...]
    brought_back: tuple[str, ...]


def walk(checklist: Checklist, given: Mapping[str, Given], sensing_kind: str) -> Walk:
    """Follow the answers from the start of a checklist.

    What readies a check is asked before it, whichever way the list comes to it, and a check whose
    prerequisite was answered otherwise is passed by (:mod:`desk.trade.prerequisites`). A repair
    that was done ahead of the list, at once and by its suggestion, is gone on from where the list
    would ask something else; when it did not help, the list goes on there.

    Args:
        checklist: a sound checklist: no way goes round in a circle.
        given: the latest answer to each answered check, in any order.
        sensing_kind: what the office knows of the appliance.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    for answered, latest in given.items():
        checklist.check(answered).way(latest.answer)  # off the path too
    walker = _Walker(checklist, given, sensing_kind)
    following = walker.to_the_end()
    on_path = set(walker.path)
    off_path = [other for other in given if other not in on_path]
    return Walk(
        path=tuple(Step(check, given[check].answer) for check in walker.path),
        next=following,
        ending=walker.ending,
        aside=tuple(other for other in off_path if not given[other].by_suggestion),
        ahead=tuple(other for other in off_path if given[other].by_suggestion),
        sensing_kind=walker.sensing_kind,
        found=tuple(walker.found),
        to_mend=walker.to_mend,
    )


class _Walker:
    """Follows the answers of one visit."""

    def __init__(self, checklist: Checklist, given: Mapping[str, Given], sensing_kind: str) -> None:
        self._checklist, self._given, self.sensing_kind = checklist, given, sensing_kind
        self._said = {check: latest.answer for check, latest in given.items()}
        self.path: dict[str, None] = {}
        self.found: dict[str, None] = {}
        self.to_mend: tuple[str, ...] = ()
        self.ending: Ending | None = None
        self._stood_at: str | None = None

    def to_the_end(self) -> str | None:
        """Follow the answers, and return the check to do now; None where the list has ended."""
        at: str | None = self._checklist.start
        while at is not None:
            before = prerequisites_of(self._checklist, at, self._said, causes=self.to_mend)
            asked = next(iter(before.missing), None)
            for one in before.all[: before.all.index(asked) if asked else None]:
                self._take(one)
            self.ending = None
            if asked is None and before.refused_by is not None:
                at = self._pass_by(at, before.refused_by)
            elif asked is None and at in self._given:
                at = self._take(at)
            else:
                ahead = self._mended_ahead(at)
                if ahead is None:
                    return asked or at
                self._stood_at, at = at, ahead
        return None

    def _pass_by(self, check_id: str, refused_by: str) -> str | None:
        """Return where the list goes on when a check may not be done, as told by another."""
        way = self._checklist.checks[refused_by].way(self._said[refused_by])
        if way.ending is None:  # one that ends the work ends it from here too
            way = self._checklist.checks[check_id].could_not
        self.ending = way.ending
        return way.leads_to(self.sensing_kind)

    def _take(self, check_id: str) -> str | None:
        """Put a check on the path, and return where its answer leads."""
        way = self._checklist.checks[check_id].way(self._said[check_id])
        if isinstance(way, Answer):
            self.sensing_kind = way.sets_sensing or self.sensing_kind
            if check_id not in self.path and way.finds:
                self._find(way.finds)
        self.path[check_id] = None
        self.ending = way.ending
        if isinstance(way, Answer) and way.goes_on and self._stood_at is not None:
            stood_at, self._stood_at = self._stood_at, None
            return stood_at
        return way.leads_to(self.sensing_kind)

    def _find(self, causes: tuple[str, ...]) -> None:
        for cause in causes:
            self.found.pop(cause, None)
            self.found[cause] = None
        self.to_mend = causes

    def _mended_ahead(self, at: str) -> str | None:
        """Return a repair that was done at once, ahead of what the list asks at this check."""
        if self._checklist.checks[at].stage not in BEFORE_THE_REPAIR:
            return None
        for check_id in self._checklist.checks:  # in their order, whenever they were answered
            latest = self._given.get(check_id)
            if latest is None or not latest.by_suggestion or check_id in self.path:
                continue
            causes = (latest.cause,) if latest.cause in self._checklist.causes else ()
            before = prerequisites_of(self._checklist, check_id, self._said, causes=causes)
            if self._checklist.checks[check_id].mends and before.refused_by is None:
                self._find(causes)
                return check_id
        return None


def reachable(
    checklist: Checklist, *sensing_kinds: str, kind_is_sure: bool = False, without: str = ""
) -> set[str]:
    """Return the ids of the checks that an appliance of one of these sensing kinds can lead to.

    Args:
        checklist: a checklist whose ways all lead somewhere.
        sensing_kinds: what may be known at the start.
        kind_is_sure: leave out the answers that would find another kind on site.
        without: a check that no way is followed through; it is not among those that are reached.
    """
    todo = {(checklist.start, kind) for kind in sensing_kinds if checklist.start != without}
    seen: set[tuple[str, str]] = set()
    while todo:
        state = todo.pop()
        seen.add(state)
        for then in checklist.next_from(*state):
            leaves_it = then[0] == without or (kind_is_sure and then[1] != state[1])
            if not leaves_it and then not in seen:
                todo.add(then)
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


def cautions_for(
    checklist: Checklist, check_id: str, causes: Collection[str] = ()
) -> tuple[Caution, ...]:
    """Return the cautions to show before a check, the serious ones first.

    Args:
        checklist: holds the check and its cautions.
        check_id: the check.
        causes: what is to be mended there; a repair shows only the cautions of that.

    Raises:
        InputError: the checklist has no such check.
    """
    check = checklist.check(check_id)
    repairs = checklist.repairs_at(check, causes)
    cautions = [
        checklist.cautions[key]
        for key in check.cautions
        if repairs is None or any(key in each.cautions for each in repairs)
    ]
    return tuple(sorted(cautions, key=lambda caution: not caution.serious))


def compare(before: Walk, after: Walk) -> Change:
    """Say which answers a change put aside and which it brought back onto the path."""
    return Change(
        put_aside=tuple(check for check in after.aside if check not in before.aside),
        brought_back=tuple(
            step.check for step in after.path if step.check in (*before.aside, *before.ahead)
        ),
    )
