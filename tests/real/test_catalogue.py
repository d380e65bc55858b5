"""Every look of the door: looked, written, looked again, each in a process of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.real.catalogue import COMMANDS, QUERIES, Alone, alone, door, keys_of, sample_office

__all__ = ["alone", "sample_office"]


def test_every_command_and_look_of_the_door_has_an_example() -> None:
    assert sorted(door().keys() - COMMANDS.keys() - QUERIES.keys()) == []


def test_every_example_is_of_something_that_the_door_has() -> None:
    assert sorted((COMMANDS.keys() | QUERIES.keys()) - door().keys()) == []


def test_what_has_a_name_for_history_is_a_command() -> None:
    assert {name for name, one in door().items() if hasattr(one, "what")} == COMMANDS.keys()


@pytest.mark.parametrize("name", QUERIES)
def test_a_look_looks_again_after_a_command(
    name: str, sample_office: Path, alone: Alone, tmp_path: Path
) -> None:
    place = tmp_path / "office.drawoff"
    shutil.copyfile(sample_office, place)
    alone(name, place, keys_of(sample_office))
