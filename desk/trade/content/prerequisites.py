"""What must be done before a check is come to, whichever way: the list, a suggestion or a jump.

Some checks ready the work: they tell nothing of the causes, and their answer says whether what
follows may be done at all (the cover's seal, power off and proven dead). Where a check waits for
one of them, that binds every way in. The list asks it first, and passes by, as one that could not
be done, a check whose prerequisite has another answer. What a check waits for besides is the order
in which it makes sense, and binds the suggestion alone: the list leads by its own way. What runs
the appliance undoes what had readied the work (:mod:`desk.trade.diagnosis.rounds`); it is then
asked anew.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Answer, Way


@dataclass(frozen=True, slots=True)
class Prerequisites:
    """What stands between here and a check.

    Attributes:
        all: the checks that ready it, in the order in which they are asked; those that were
            asked where it is forbidden.
        missing: those of them that are not answered.
        refused_by: the first one whose answer forbids the check; None where none does.
    """

    all: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    refused_by: str | None = None

    @property
    def met(self) -> bool:
        """Whether the check may be done now."""
        return not self.missing and self.refused_by is None


NO_PREREQUISITES = Prerequisites()


def prerequisites_of(
    checklist: Checklist,
    check_id: str,
    answers: Mapping[str, str],
    *,
    causes: Collection[str] = (),
) -> Prerequisites:
    """Return what must be done before a check may be entered, whichever way it is come to.

    Args:
        checklist: one whose prerequisites bind; a list kept from before they did has none.
        check_id: the check to enter.
        answers: check id to answer id; "could not check" counts as answered.
        causes: what is to be mended there, where the check is the repair of a finding.

    Raises:
        InputError: the checklist has no such check.
    """
    check = checklist.check(check_id)
    if not checklist.binding or not check.after:
        return NO_PREREQUISITES
    if check.mends and "cabinet" not in checklist.opened_by(check, causes):
        return NO_PREREQUISITES
    wanted = checklist.readied_by[check_id]
    missing = tuple(one for one in wanted if one not in answers)
    for earlier, allowed in wanted.items():
        if earlier in answers and answers[earlier] not in allowed:
            asked = tuple(one for one in wanted if one in answers)
            return Prerequisites(asked, refused_by=earlier)  # the rest is not asked in vain
    return Prerequisites(tuple(wanted), missing)


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a list may stand, for going through all that it leads to.

    Attributes:
        check: the check to do.
        sensing_kind: the kind known there.
        finding: the causes that the latest finding points to.
        readied: what readies the work and was not undone, with the first of the answers alike to
            that so far.
        then: where the list goes on when the check is done on the way there; "" where by itself.
    """

    check: str
    sensing_kind: str
    finding: tuple[str, ...] = ()
    readied: frozenset[tuple[str, str]] = frozenset()
    then: str = ""


def onward(checklist: Checklist, stand: Stand, way: Way) -> Stand | None:
    """Return where a way leads from a check, what readies the work asked in between.

    Args:
        checklist: a sound checklist.
        stand: where it stands.
        way: one of the check's there.

    Returns:
        The check that is asked next; None where the list ends.
    """
    heading = heading_for(checklist, stand, way)
    return None if heading is None else asked_next(checklist, heading)


def heading_for(checklist: Checklist, stand: Stand, way: Way) -> Stand | None:
    """Return which check a way itself leads to, whatever is asked before it; None for an ending.

    Many ways head alike: whoever goes through all of a list works each heading out once.

    Args:
        checklist: a sound checklist.
        stand: where it stands.
        way: one of the check's there.
    """
    readied, kind = stand.readied, way.kind_after(stand.sensing_kind)
    finding = (way.finds if isinstance(way, Answer) else ()) or stand.finding
    following = stand.then or way.leads_to(kind)
    if following is None:
        return None
    undoes = checklist.checks[stand.check].undoes
    if undoes and readied:
        readied = frozenset(one for one in readied if one[0] not in undoes)
    if stand.check in checklist.readying:
        readied |= {(stand.check, checklist.alike[stand.check, way.said])}
    return Stand(following, kind, finding, readied)


def asked_next(checklist: Checklist, heading: Stand) -> Stand | None:
    """Return what is asked on the way to a check; None where the list ends."""
    readied, kind, finding = dict(heading.readied), heading.sensing_kind, heading.finding
    following: str | None = heading.check
    while following is not None:
        before = prerequisites_of(checklist, following, readied, causes=finding)
        asked = before.missing[0] if before.missing else following
        if asked not in readied and before.refused_by is None:
            then = following if asked != following else ""
            return Stand(asked, kind, finding, heading.readied, then)
        passed = checklist.checks[following]
        following = (
            passed.could_not if before.refused_by is not None else passed.way(readied[following])
        ).leads_to(kind)
    return None
