"""Where a visit stands in its checklist, derived from the answers given so far.

Nothing here is stored: the path, what comes next and what was put aside all follow from the
latest answer to each check, and to what was undone and done again from the latest of each time
(:mod:`desk.trade.diagnosis.rounds`). To go back is simply to give another answer.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import COULD_NOT, Caution, Ending
from desk.trade.diagnosis.rounds import BEFORE_ALL, Given, Rounds, in_no_order
from desk.trade.diagnosis.walker import Walker

__all__ = [
    "COULD_NOT",
    "Given",
    "Step",
    "Walk",
    "WalkChange",
    "cautions_for",
    "check_answer",
    "compare",
    "walk",
    "walk_said",
]


@dataclass(frozen=True, slots=True)
class Step:
    """One check on the path, with its answer; ``at`` is its place among all that were given."""

    check: str
    answer: str
    at: int = field(default=BEFORE_ALL, compare=False)


@dataclass(frozen=True, slots=True)
class Walk:
    """Where the answers have led.

    Attributes:
        path: the answered checks that follow from one another, from the start; one that was
            undone and done again stands there each time.
        next: the check to do now; None where the list has ended.
        ending: how the list ended; None while it goes on.
        aside: answered checks that no longer follow; kept and shown greyed.
        ahead: checks answered by suggestion that the list has not come to.
        sensing_kind: the appliance's, or the one that an answer on the path found.
        found: causes that answers on the path point to, the latest last.
        to_mend: what the latest finding points to: what a repair now is about.
        answers: what counts now, check id to answer id: neither aside nor undone.
        towards: the check that the list has come to; ``next`` or what that readies.
        in_vain: causes that were mended, which did not help.
    """

    path: tuple[Step, ...]
    next: str | None
    ending: Ending | None
    aside: tuple[str, ...]
    ahead: tuple[str, ...]
    sensing_kind: str
    found: tuple[str, ...]
    to_mend: tuple[str, ...] = ()
    answers: Mapping[str, str] = field(default_factory=dict)
    towards: str | None = None
    in_vain: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WalkChange:
    """What another answer did to the answers that were there before."""

    put_aside: tuple[str, ...]
    brought_back: tuple[str, ...]


def walk(checklist: Checklist, given: Mapping[str, Given] | Rounds, sensing_kind: str) -> Walk:
    """Follow the answers from the start of a checklist.

    What readies a check is asked before it, whichever way the list comes to it, and a check whose
    prerequisite was answered otherwise is passed by (:mod:`desk.trade.content.prerequisites`). A
    repair that was done ahead of the list, at once and by its suggestion, is gone on from where the
    list would ask something else; when it did not help, the list goes on there. One that the list
    came to and that did not help lets it go on as if the check that found its cause had not.

    Args:
        checklist: a sound checklist: no way goes round in a circle.
        given: what was done (:func:`desk.trade.diagnosis.rounds.rounds_of`); or the latest answer
            to each answered check, in any order, of which none undoes another.
        sensing_kind: what the office knows of the appliance.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    rounds = given if isinstance(given, Rounds) else in_no_order(given)
    for answered, times in rounds.done.items():
        checklist.check(answered).way(times[-1].given.answer)  # off the path too
    walker = Walker(checklist, rounds, sensing_kind)
    following = walker.to_the_end()
    off_path = {
        check: times[-1].given
        for check, times in rounds.done.items()
        if (check, len(times) - 1) not in walker.path
    }
    aside = tuple(check for check, latest in off_path.items() if not latest.by_suggestion)
    return Walk(
        path=tuple(Step(key[0], done.given.answer, done.at) for key, done in walker.path.items()),
        next=following,
        ending=walker.ending,
        aside=aside,
        ahead=tuple(check for check, latest in off_path.items() if latest.by_suggestion),
        sensing_kind=walker.sensing_kind,
        found=tuple(walker.found),
        to_mend=walker.to_mend,
        answers={check: said for check, said in rounds.standing.items() if check not in aside},
        towards=walker.towards,
        in_vain=tuple(walker.in_vain),
    )


def walk_said(checklist: Checklist, answers: Mapping[str, str], sensing_kind: str) -> Walk:
    """Follow answers of which nothing but what was said is known.

    Args:
        checklist: a sound checklist.
        answers: check id to answer id.
        sensing_kind: what the office knows of the appliance.

    Raises:
        InputError: a check or an answer is not in the checklist.
    """
    return walk(checklist, {check: Given(said) for check, said in answers.items()}, sensing_kind)


def check_answer(checklist: Checklist, check_id: str, given: Given) -> None:
    """Make sure that an answer may be recorded.

    Args:
        checklist: the visit's list.
        check_id: which check was answered.
        given: the answer, with the reason where the check could not be done.

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


_ALWAYS_OPENED = frozenset({"chemicals"})
"""No check opens it by itself: acid is at hand wherever its caution stands."""


def to_acknowledge(
    checklist: Checklist, check_id: str, causes: Collection[str] = ()
) -> tuple[Caution, ...]:
    """Return the cautions to read in full and acknowledge before a check is answered.

    Those are the serious ones that guard what the check opens: read where a hand first goes in,
    and once. Everywhere else they are shown and ask for nothing, so that what has to be
    acknowledged is read.

    Args:
        checklist: holds the check and its cautions.
        check_id: the check.
        causes: what is to be mended there.

    Raises:
        InputError: the checklist has no such check.
    """
    opened = _ALWAYS_OPENED.union(checklist.check(check_id).opens)
    return tuple(
        caution
        for caution in cautions_for(checklist, check_id, causes)
        if caution.serious and opened.intersection(caution.guards)
    )


def compare(before: Walk, after: Walk) -> WalkChange:
    """Say which answers a change put aside and which it brought back onto the path."""
    return WalkChange(
        put_aside=tuple(check for check in after.aside if check not in before.aside),
        brought_back=tuple(
            step.check for step in after.path if step.check in (*before.aside, *before.ahead)
        ),
    )
