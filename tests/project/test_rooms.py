"""A stranger finds the room of any line: rooms are small, and none lies deep."""

from __future__ import annotations

from collections import Counter

from desk.base import paths

MOST_IN_A_ROOM = 15


def test_no_room_holds_more_than_fifteen_modules_and_none_lies_deeper_than_two_folders() -> None:
    top = paths.bundled("desk")
    modules = [module.relative_to(top) for module in top.rglob("*.py") if module.stem[0] != "_"]
    assert max(Counter(module.parent for module in modules).values()) <= MOST_IN_A_ROOM
    assert max(len(module.parents) for module in modules) == 3
