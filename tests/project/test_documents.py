"""What a newcomer reads first: its commands are there, and its links lead somewhere."""

from __future__ import annotations

import re
import shlex
import tomllib
from collections.abc import Iterator
from functools import cache
from itertools import chain
from pathlib import Path

import click
import pytest

from desk.cli import drawoff

TOP = Path(__file__).parents[2]
READ = [*TOP.glob("*.md"), *TOP.glob("docs/**/*.md")]
COMMANDS = ("README.md", "docs/command-line.md")
OF_THE_CODE = [TOP / "DEVELOPERS.md", TOP / "docs/rooms.md", *TOP.glob("docs/recipes/*.md")]
FOLDERS = (".ci", "desk", "docs", "migrations", "resources", "sample_db", "shared", "tests")
MADE = {"out", "earlier", "NNNN_what.py", "licenses", "sboms"}
"""What a path may name that is not in the repository: it is made, or stands for another name."""
PATH = re.compile(r"[\w.*-]+(?:/[\w.*-]+)*(?:/|\.(?:py|toml|md|json|svg|txt))")
MODULE = re.compile(r"(?:desk|sample_db|tests)(?:\.\w+)+")
NAME = re.compile(r"[A-Za-z]\w*(?:\.\w+)*")


def _commands() -> Iterator[list[str]]:
    """Give every command that the documents show, without the program's name."""
    for name in COMMANDS:
        told = (TOP / name).read_text().replace("\\\n", " ")
        for line in re.findall(r"^    (?:\.venv/bin/)?drawoff (.+)$", told, re.MULTILINE):
            yield shlex.split(line, comments=True)


def test_every_command_that_is_shown_takes_what_is_shown() -> None:
    shown = list(_commands())
    assert len(shown) > 20
    context = click.Context(drawoff, **drawoff.context_settings)
    for name, *rest in shown:
        command = drawoff.get_command(context, name)
        assert command is not None, name
        takers = [command]
        if isinstance(command, click.Group):
            inner = command.get_command(context, rest[0])
            assert inner is not None, (name, rest[0])
            takers.append(inner)
        options = {option for one in takers for param in one.params for option in param.opts}
        assert {word for word in rest if word.startswith("--")} <= options, name


def test_every_command_is_told_of() -> None:
    told = (TOP / "docs/command-line.md").read_text()
    names = drawoff.list_commands(click.Context(drawoff))
    assert [name for name in names if not re.search(rf"\b{name}\b", told)] == []


@pytest.mark.parametrize("document", READ, ids=lambda path: str(path.relative_to(TOP)))
def test_links_and_targets_of_make_are_there(document: Path) -> None:
    told = document.read_text()
    for link in re.findall(r"\]\(([^)#:]+)\)", told):
        assert (document.parent / link).exists(), link
    targets = re.findall(r"^([a-z-]+):", (TOP / "Makefile").read_text(), re.MULTILINE)
    for target in re.findall(r"`make ([a-z-]+)`", told):
        assert target in targets


def test_the_changes_begin_with_what_is_unreleased_and_end_with_this_version() -> None:
    import desk

    heads = re.findall(r"^## (\S+)", (TOP / "CHANGELOG.md").read_text(), re.MULTILINE)
    assert heads[:2] == ["Unreleased", desk.__version__]


@cache
def _places() -> frozenset[str]:
    """Return every file and folder of the repository, as it may be named: the end of its path."""
    found = [*TOP.glob("*"), *chain.from_iterable((TOP / name).rglob("*") for name in FOLDERS)]
    parts = [path.relative_to(TOP).parts for path in found]
    return frozenset("/".join(each[at:]) for each in parts for at in range(len(each)))


def _is_there(path: str) -> bool:
    bare = path.rstrip("/")
    if "*" in bare:
        return any(TOP.glob(bare)) or any((TOP / "desk").glob(bare))
    return bare in _places() or bool(MADE & set(bare.split("/")))


def _is_module(name: str) -> bool:
    """Say whether a dotted name is a module, or stands in one."""
    parts = name.split(".")
    for length in range(len(parts), 0, -1):
        place = TOP.joinpath(*parts[:length])
        module = place / "__init__.py" if place.is_dir() else place.with_suffix(".py")
        if module.exists():
            words = re.findall(r"\w+", module.read_text())
            return all(part in words for part in parts[length:])
    return False


@cache
def _words(folders: tuple[str, ...]) -> frozenset[str]:
    """Return every word of the code and of its data in some folders."""
    files = chain.from_iterable((TOP / name).rglob("*") for name in folders)
    texts = (file.read_text() for file in files if file.suffix in {".py", ".toml"})
    return frozenset(chain.from_iterable(re.findall(r"\w+", text) for text in texts))


def _is_said(name: str) -> bool:
    """Say whether the program has a name, or else its data and tests."""
    parts = set(name.split("."))
    return parts <= _words(("desk",)) or parts <= (
        _words(("desk",)) | _words(("migrations", "sample_db", "shared", "tests")) | _places()
    )


def _backticked(document: Path) -> Iterator[str]:
    """Give the words between backticks, those of a command one by one."""
    for quoted in re.findall(r"`+([^`]+)`+", document.read_text()):
        yield from quoted.split()


@pytest.mark.parametrize("document", READ, ids=lambda path: str(path.relative_to(TOP)))
def test_every_path_and_module_that_is_named_is_there(document: Path) -> None:
    told = list(_backticked(document))
    assert [word for word in told if PATH.fullmatch(word) and not _is_there(word)] == []
    assert [word for word in told if MODULE.fullmatch(word) and not _is_module(word)] == []


@pytest.mark.parametrize("document", OF_THE_CODE, ids=lambda path: path.stem)
def test_every_name_of_the_code_that_is_told_is_in_the_code(document: Path) -> None:
    quoted = re.findall(r"`([^`\n]+)`", document.read_text())
    names = [name for name in quoted if NAME.fullmatch(name) and not PATH.fullmatch(name)]
    assert names
    assert [name for name in names if not _is_said(name)] == []


def test_every_module_and_path_that_the_code_names_is_there() -> None:
    missing = []
    for file in (TOP / "desk").rglob("*.py"):
        for word in re.findall(r"`+~?([\w./]+)`+", file.read_text()):
            is_path = word.endswith(".py") or (word.count("/") > 0 and word.endswith("/"))
            if (is_path and not _is_there(word)) or (
                word.startswith("desk.") and not _is_module(word)
            ):
                missing.append(f"{file.relative_to(TOP)}: {word}")
    assert missing == []


def test_every_room_has_its_line_and_no_line_is_of_a_room_that_is_gone() -> None:
    of_the_code = (TOP / "docs/rooms.md").read_text().partition("\n## tests\n")[0]
    told = re.findall(r"^\* `([\w/]+)/`", of_the_code, re.MULTILINE)
    rooms = {
        str(room.parent.relative_to(TOP / "desk"))
        for room in (TOP / "desk").rglob("__init__.py")
        if len(list(room.parent.glob("*.py"))) > 1 or room.parent.name == "cli"
    } - {"."}
    assert sorted(told) == sorted(rooms)


def test_the_house_is_drawn_as_its_imports_are_held() -> None:
    drawing = (TOP / "DEVELOPERS.md").read_text().split("```")[1]
    drawn: dict[str, list[set[str]]] = {}
    storey = ""
    for line in drawing.splitlines():
        floor = re.fullmatch(r"(\w*) +(\w+(?: · \w+)*)(?: {3}.*)?", line)
        if floor is None:
            continue
        storey = floor[1] or storey
        drawn.setdefault(storey, []).append(set(floor[2].split(" · ")))
    contracts = tomllib.loads((TOP / "pyproject.toml").read_text())["tool"]["importlinter"]
    held = {
        contract["containers"][0].removeprefix("desk."): [
            set(layer.split(" | ")) for layer in contract["layers"]
        ]
        for contract in contracts["contracts"]
        if "containers" in contract
    }
    assert drawn == held
