"""Stop and leave: what was found, in words, and whether it is water instead of gas.

The words are those of the answers that end a list; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist
from desk.trade.content.in_use import first_id
from desk.trade.content.model import COULD_NOT, Check

type StopKind = Literal["gas", "flooding"]

FINDINGS: Mapping[str, Message] = {
    "gas": message("A smell of gas"),
    "co": message("Carbon monoxide: an alarm or the monitor sounded"),
    "ill": message("Headache or dizziness"),
    "soot": message("Soot, scorching, or flame outside its case"),
    "water": message("Water stands near electrics"),
    "danger": message("A sign of danger: gas, carbon monoxide, soot or flame"),
    "not_sure": message("Danger could not be ruled out"),
}
"""What makes everybody leave."""

_TOLD_BY_ITSELF = frozenset({"co", "soot"})


def kind_of(check: Check) -> StopKind:
    """Return what a check makes people leave for: water where it warns of nothing else."""
    warns = {first_id(caution) for caution in check.cautions}
    return "flooding" if "flooding" in warns and "stop_and_leave" not in warns else "gas"


def way_out(checklist: Checklist) -> tuple[str, str] | None:
    """Return the question at the door and its answer by which everybody leaves.

    Where several do, it is the one that is not about water: what cannot be seen is left first.

    Args:
        checklist: the visit's.

    Returns:
        The ids of the check and of its answer; None for a list that has no such answer.
    """
    ways = [
        (kind_of(check) == "flooding", check.id, answer.id)
        for check in checklist.checks.values()
        if check.stage == "arrive"
        for answer in check.answers
        if answer.ending == "left"
    ]
    return min(ways, key=lambda way: way[0])[1:] if ways else None


def finding_of(check: Check, answer: str) -> str:
    """Return the id of the finding that an answer tells, a key of :data:`FINDINGS`.

    Args:
        check: the check that ended the list.
        answer: the answer that ended it, or ``COULD_NOT``.
    """
    if answer == COULD_NOT:
        return "not_sure"
    if kind_of(check) == "flooding":
        return "water"
    return answer if answer in _TOLD_BY_ITSELF else "danger"
