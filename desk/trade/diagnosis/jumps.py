"""Where the list is entered by whoever knows a cause: what readies the check first, then that."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.prerequisites import prerequisites_of
from desk.trade.diagnosis.stop_rule import repair_of
from desk.trade.reference.sensing_kinds import NOT_KNOWN


def check_to_confirm(
    checklist: Checklist, cause: str, answers: Mapping[str, str], sensing_kind: str
) -> str:
    """Return the check that confirms a cause.

    Of the checks that can find the cause it is the one that most probably does so where the cause
    holds, and of those alike the one that takes the fewest minutes with all that readies it.

    Args:
        checklist: the visit's.
        cause: one of its causes.
        answers: the answers that count, check id to answer id.
        sensing_kind: as it is known now; a check that such an appliance never comes to is none.

    Returns:
        "" where every check that could find the cause is answered or forbidden, or there is none.
    """
    ways = []
    fitting = reachable(checklist, sensing_kind, kind_is_sure=sensing_kind != NOT_KNOWN)
    for key, check in checklist.checks.items():
        if key in answers or key not in fitting:
            continue
        row = check.chances(cause) or (1.0,) * len(check.answers)
        tells = sum(
            chance
            for chance, answer in zip(row, check.answers, strict=True)
            if cause in answer.finds
        )
        before = prerequisites_of(checklist, key, answers)
        if tells and before.refused_by is None:
            minutes = sum(checklist.checks[one].minutes for one in (*before.missing, key))
            ways.append((-tells, minutes, key))
    return min(ways)[-1] if ways else ""


def check_on_the_way(
    checklist: Checklist, to: str, answers: Mapping[str, str], causes: Collection[str] = ()
) -> str:
    """Return the check to do now on the way to another, with all its cautions.

    Args:
        checklist: the visit's.
        to: the check that is wanted.
        answers: the answers that count, check id to answer id.
        causes: what is to be mended there, where it is a repair.

    Returns:
        The first check that readies it and is not answered, else itself; "" where an answer forbids
        it, or where it was done already.

    Raises:
        InputError: the checklist has no such check.
    """
    if to in answers:
        return ""
    before = prerequisites_of(checklist, to, answers, causes=causes)
    if before.refused_by is not None:
        return ""
    return before.missing[0] if before.missing else to


def check_to_enter(
    checklist: Checklist, cause: str, answers: Mapping[str, str], sensing_kind: str
) -> str:
    """Return the check to do now on the way to the repair of a cause, with all its cautions.

    Args:
        checklist: the visit's.
        cause: one of its causes.
        answers: the answers that count, check id to answer id.
        sensing_kind: as it is known now.

    Returns:
        The first check that readies the repair and is not answered, else the repair; "" where an
        answer forbids it, where it was done already, or where the list has none for the cause.
    """
    repair = repair_of(checklist, cause, sensing_kind)
    return "" if repair is None else check_on_the_way(checklist, repair, answers, (cause,))
