"""What a newcomer reads first: its commands are there, and its links lead somewhere."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from desk.cli import drawoff

TOP = Path(__file__).parents[2]
READ = [*TOP.glob("*.md"), *TOP.glob("docs/**/*.md")]
COMMANDS = ("README.md", "docs/command-line.md")


def _commands() -> Iterator[list[str]]:
    """Give every command that the documents show, without the program's name."""
    for name in COMMANDS:
        told = (TOP / name).read_text().replace("\\\n", " ")
        for line in re.findall(r"^    (?:\.venv/bin/)?drawoff (.+)$", told, re.MULTILINE):
            yield shlex.split(line, comments=True)


def test_every_command_that_is_shown_takes_what_is_shown() -> None:
    shown = list(_commands())
    assert len(shown) > 20
    context = click.Context(drawoff)
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
