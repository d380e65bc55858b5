"""What can be reached in a checklist, and by how many ways: questions about the graph alone."""

from __future__ import annotations

from functools import cache

from desk.trade.content.model import Checklist


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
            kind_then = way.kind_after(kind)
            following = way.leads_to(kind_then)
            total += count(following, kind_then) if following else 1
        return total

    return count(checklist.start, sensing_kind)
