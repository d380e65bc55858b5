"""A stranger can call any function from its docstring: what each argument is, what it refuses."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from desk.base import paths

MANY = 3
"""From so many arguments on each is told of; fewer speak by their names and the summary."""

SLIP = "AssertionError"
"""Raised where the program itself has slipped; no caller can provoke or handle it."""

_ENTRY = re.compile(r"^ {4}([*\w][\w.*, ]*):", re.MULTILINE)


type Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True)
class Told:
    """What is written down of a function; the tree of its module is not kept, as that is large.

    Attributes:
        place: where it stands.
        name: its name.
        bases: what the class inherits from that it is a method of; "" for none.
        takes: its arguments, without what takes the rest of them.
        rest: what takes that.
        arguments: those that it tells of, and its class where it is the initialiser.
        errors: those that it tells of.
        raised: those that it raises itself; "" for what it hands on or makes elsewhere.
    """

    place: str
    name: str
    bases: str
    takes: tuple[str, ...]
    rest: tuple[str, ...]
    arguments: tuple[str, ...]
    errors: frozenset[str]
    raised: frozenset[str]

    @property
    def is_public(self) -> bool:
        return not self.name.startswith("_")

    @property
    def promises(self) -> bool:
        return "Protocol" in self.bases

    @property
    def overrides_qt(self) -> bool:
        return bool(self.bases) and not self.name.islower()


def _entries(node: Function | ast.ClassDef, section: str) -> Iterator[str]:
    """Give the names under a head of a docstring, without stars; one entry may name several."""
    docstring = ast.get_docstring(node) or ""
    found = re.search(rf"^{section}:\n((?: {{4}}.*\n|\n)*)", f"{docstring}\n", re.MULTILINE)
    for entry in _ENTRY.findall(found[1]) if found else ():
        yield from (name.lstrip("*") for name in entry.split(", "))


def _raised(function: Function) -> Iterator[str]:
    inside: list[ast.AST] = list(function.body)
    while inside:
        node = inside.pop()
        if isinstance(node, ast.Raise):
            error = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            yield error.id if isinstance(error, ast.Name) and error.id[:1].isupper() else ""
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            inside += ast.iter_child_nodes(node)


def _told(place: str, one: Function, owner: ast.ClassDef | None, text: str) -> Told:
    given = one.args
    every = (*given.posonlyargs, *given.args, *given.kwonlyargs)
    arguments = [*_entries(one, "Args")] if "Args:" in text else []
    if owner and one.name == "__init__":
        arguments += _entries(owner, "Args")
    return Told(
        place=f"{place}:{one.lineno} {owner.name + '.' if owner else ''}{one.name}",
        name=one.name,
        bases=" ".join(ast.unparse(base) for base in owner.bases) if owner else "",
        takes=tuple(arg.arg for arg in every if arg.arg not in {"self", "cls"}),
        rest=tuple(arg.arg for arg in (given.vararg, given.kwarg) if arg),
        arguments=tuple(arguments),
        errors=frozenset(_entries(one, "Raises") if "Raises:" in text else ()),
        raised=frozenset(_raised(one) if "raise" in text else ()),
    )


def _read(place: str, text: str) -> Iterator[Told]:
    """Give the functions of a module, and the methods of its classes."""
    lines = text.splitlines()
    for node in ast.parse(text).body:
        owner = node if isinstance(node, ast.ClassDef) else None
        for one in (node,) if owner is None else owner.body:
            if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef):
                yield _told(place, one, owner, "\n".join(lines[one.lineno - 1 : one.end_lineno]))


@cache
def _desk() -> Sequence[Told]:
    top = paths.bundled("desk")
    return [
        told
        for module in sorted(top.rglob("*.py"))
        for told in _read(str(module.relative_to(top)), module.read_text(encoding="utf-8"))
    ]


def _untold_arguments(functions: Sequence[Told]) -> list[str]:
    """Give the arguments that are not told of where there are many.

    What overrides a method of Qt, which its camel case shows, Qt tells of; what keeps the promise
    of one of our protocols, that protocol.
    """
    kept = {
        (one.name, one.takes)
        for one in functions
        if one.promises and set(one.takes) <= set(one.arguments)
    }
    return [
        f"{one.place}: {name}"
        for one in functions
        if one.is_public and len(one.takes) >= MANY and not one.overrides_qt
        if one.promises or (one.name, one.takes) not in kept
        for name in one.takes
        if name not in one.arguments
    ]


def _untold_errors(functions: Sequence[Told]) -> list[str]:
    """Give what is raised and not told of; for what is handed on or made any entry will do."""
    return [
        f"{one.place}: {name or 'what it hands on'}"
        for one in functions
        if one.is_public
        for name in sorted(one.raised - one.errors - {SLIP})
        if name or not one.errors
    ]


def _invented_arguments(functions: Sequence[Told]) -> list[str]:
    """Give the entries of arguments that are not there; a class tells of its initialiser's."""
    return [
        f"{one.place}: {name}"
        for one in functions
        for name in one.arguments
        if name not in (*one.takes, *one.rest)
    ]


def test_a_public_function_of_three_arguments_or_more_says_what_each_of_them_is() -> None:
    assert _untold_arguments(_desk()) == []


def test_a_public_function_that_raises_says_what_and_when() -> None:
    assert _untold_errors(_desk()) == []


def test_no_docstring_tells_of_an_argument_that_is_not_there() -> None:
    assert _invented_arguments(_desk()) == []


def test_a_docstring_that_keeps_something_back_is_found() -> None:
    functions = list(
        _read(
            "sample.py",
            '''
class Asking(Protocol):
    def ask(self, title, name, kinds):
        """Ask.

        Args:
            title: told.
            name: told.
            kinds: told.
        """

class Dialog(QWidget):
    """Asks.

    Args:
        parent: not there.
    """

    def __init__(self, owner): ...
    def ask(self, title, name, kinds): ...
    def mouseMoveEvent(self, one, two, three): ...

def flow(volume, seconds, *fills, unit):
    """Compute.

    Args:
        volume: told.
        unit: told.
        fills: told.
        litres: not there.

    Raises:
        InputError: told.
    """
    def inner():
        raise ValueError
    if not seconds:
        raise InputError(volume) from None
    raise OutageError

def hand_on(error):
    raise
''',
        )
    )
    assert _untold_arguments(functions) == ["sample.py:23 flow: seconds"]
    assert _untold_errors(functions) == [
        "sample.py:23 flow: OutageError",
        "sample.py:41 hand_on: what it hands on",
    ]
    assert _invented_arguments(functions) == [
        "sample.py:19 Dialog.__init__: parent",
        "sample.py:23 flow: litres",
    ]
