"""How often each check of a visit was done, from its answers in the order in which they were given.

What a check undoes (:attr:`desk.trade.content.model.Check.undoes`) is asked anew: the appliance was
put back into operation, and what had readied the work no longer holds. A repair that did not help
is undone with the rest of the work, and done again for the next finding. Until a check is undone,
another answer to it takes the place of the one before, and of what that one undid.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import AFTER_THE_WORK, Answer, Check


@dataclass(frozen=True, slots=True)
class Given:
    """The latest answer to a check.

    Attributes:
        answer: an answer's id, or :data:`desk.trade.content.model.COULD_NOT`.
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
class Done:
    """A check that was done.

    Attributes:
        given: the answer that stands for it.
        at: the place of that answer among all.
        begun: the place of the first one that was given to it: when it was done.
    """

    given: Given
    at: int
    begun: int


BEFORE_ALL = -1
"""The place of answers of which no order is known: nothing undoes them."""


@dataclass(frozen=True)
class Rounds:
    """What was done on a visit, each check as often as it was.

    Attributes:
        done: check id to what stands for each time that it was done.
        undone: check id to the places of the answers that undid it; the first undid the first of
            ``done``, and so on.
    """

    done: Mapping[str, Sequence[Done]]
    undone: Mapping[str, Sequence[int]]

    @cached_property
    def standing(self) -> dict[str, str]:
        """Check id to answer id, for what was not undone, in the order of their first answers."""
        return {
            check: times[-1].given.answer for check, times in self.done.items() if self.holds(check)
        }

    def holds(self, check: str) -> bool:
        """Return whether a check was done and not undone since."""
        return len(self.done.get(check, ())) > len(self.undone.get(check, ()))

    def after(self, check: str, place: int) -> int:
        """Return which time, from 0, a check is come to after the answer at a place."""
        return bisect_right(self.undone.get(check, ()), place)

    def before(self, check: str, place: int | None) -> int:
        """Return which time counts for the answer at a place; None is now."""
        undone = self.undone.get(check, ())
        return len(undone) if place is None else bisect_left(undone, place)

    def at(self, check: str, time: int) -> Done | None:
        """Return what was done that time; None where it was not done yet."""
        times = self.done.get(check, ())
        return times[time] if time < len(times) else None

    def said_for_another(self, check: str) -> Mapping[str, str]:
        """Return what counts for an answer that takes the place of the one that stands for a check.

        What that one undid counts: a slip of the hand is put right where it was made.
        """
        if not self.holds(check):
            return self.standing
        done = self.done[check][-1]
        back = {
            other: self.done[other][-1].given.answer
            for other, places in self.undone.items()
            if places and places[-1] in (done.begun, done.at) and not self.holds(other)
        }
        return self.standing | back

    def said_before(self, place: int | None) -> Mapping[str, str]:
        """Return check id to answer id as they counted for the answer at a place; None is now."""
        return self.standing if place is None or not self.undone else _SaidBefore(self, place)


@dataclass(frozen=True, slots=True)
class _SaidBefore(Mapping[str, str]):
    """The answers that counted for one answer; looked up, since few of them are asked for."""

    rounds: Rounds
    place: int

    def _of(self, check: str) -> Done | None:
        return self.rounds.at(check, self.rounds.before(check, self.place))

    def __getitem__(self, check: str) -> str:
        done = self._of(check)
        if done is None:
            raise KeyError(check)
        return done.given.answer

    def __contains__(self, check: object) -> bool:
        return isinstance(check, str) and self._of(check) is not None

    def __iter__(self) -> Iterator[str]:
        return (check for check in self.rounds.done if check in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def rounds_of(checklist: Checklist, answered: Iterable[tuple[str, Given]]) -> Rounds:
    """Return what was done on a visit.

    Args:
        checklist: the one that it is worked by; in one kept from before nothing undoes anything.
        answered: check id and answer, in the order of the office's own sequence.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    done: dict[str, list[Done]] = {}
    undone: dict[str, list[int]] = {}
    for place, (check_id, given) in enumerate(answered):
        times, begun = done.setdefault(check_id, []), place
        if len(times) > len(undone.get(check_id, ())):
            begun = times[-1].begun
            _take_back(done, undone, times.pop())
        times.append(Done(given, place, begun))
        check = checklist.check(check_id)
        if check.undoes or check.mends:
            for other in _undone_by(checklist, check, given, done):
                before: Sequence[Done] = done.get(other, ())
                if len(before) > len(undone.get(other, ())):
                    is_older = before[-1].at < begun
                    undone.setdefault(other, []).append(begun if is_older else place)
    return Rounds(done, undone)


def in_no_order(given: Mapping[str, Given]) -> Rounds:
    """Return answers that all stand, whatever order they were given in."""
    return Rounds(
        {check: (Done(latest, BEFORE_ALL, BEFORE_ALL),) for check, latest in given.items()}, {}
    )


def _take_back(
    done: Mapping[str, Sequence[Done]], undone: Mapping[str, list[int]], before: Done
) -> None:
    """Let stand again what an answer undid that another takes the place of."""
    for check, places in undone.items():
        is_by_it = places and places[-1] in (before.begun, before.at)
        if is_by_it and len(done[check]) == len(places):
            places.pop()


def _undone_by(
    checklist: Checklist, check: Check, given: Given, done: Mapping[str, Sequence[Done]]
) -> Iterator[str]:
    """Give the checks that are asked anew after an answer."""
    yield from check.undoes
    if _in_vain(check, given.answer) or (check.mends and _any_in_vain(checklist, done)):
        for other in done:
            if other != check.id and checklist.checks[other].stage in AFTER_THE_WORK:
                yield other


def _any_in_vain(checklist: Checklist, done: Mapping[str, Sequence[Done]]) -> bool:
    return any(
        _in_vain(checklist.checks[check], times[-1].given.answer) for check, times in done.items()
    )


def _in_vain(check: Check, answer_id: str) -> bool:
    """Say whether a retest says that the repair did not help, so that the work is done again."""
    way = check.way(answer_id) if check.undoes and check.stage in AFTER_THE_WORK else None
    return isinstance(way, Answer) and way.goes_on
