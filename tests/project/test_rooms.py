"""A stranger finds the room of any line: rooms are small, and none lies deep."""

from __future__ import annotations

import ast
from collections import Counter

from desk.base import paths

MOST_IN_A_ROOM = 15
MOST_LINES_OF_A_MODULE = 400
MOST_LINES_OF_A_CLASS = 250


def test_no_room_holds_more_than_fifteen_modules_and_none_lies_deeper_than_two_folders() -> None:
    modules = [
        module.relative_to(paths.bundled())
        for name in ("desk", "sample_db")
        for module in paths.bundled(name).rglob("*.py")
        if module.stem[0] != "_"
    ]
    assert max(Counter(module.parent for module in modules).values()) <= MOST_IN_A_ROOM
    assert max(len(module.parents) for module in modules) == 4


def test_outside_the_windows_no_module_and_no_class_is_a_giant() -> None:
    top = paths.bundled("desk")
    giants = []
    for module in top.rglob("*.py"):
        name = module.relative_to(top)
        if name.parts[0] == "windows":
            continue
        text = module.read_text(encoding="utf-8")
        if text.count("\n") > MOST_LINES_OF_A_MODULE:
            giants.append(str(name))
        giants += [
            f"{name}: {one.name}"
            for one in ast.walk(ast.parse(text))
            if isinstance(one, ast.ClassDef)
            and (one.end_lineno or 0) - one.lineno >= MOST_LINES_OF_A_CLASS
        ]
    assert giants == []
