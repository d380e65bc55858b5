"""Where the list is entered to mend a cause at once: what readies its repair first, then that."""

from __future__ import annotations

from collections.abc import Mapping

from desk.trade.content.checklist import Checklist
from desk.trade.content.prerequisites import prerequisites_of
from desk.trade.diagnosis.stop_rule import repair_of


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
    if repair is None or repair in answers:
        return ""
    before = prerequisites_of(checklist, repair, answers, causes=(cause,))
    if before.refused_by is not None:
        return ""
    return before.missing[0] if before.missing else repair
