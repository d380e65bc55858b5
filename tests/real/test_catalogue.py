"""Every look of the door: looked, written, looked again, each in a process of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.real.catalogue import COMMANDS, QUERIES, alone, door, on_a_copy, sample_office

__all__ = ["alone", "on_a_copy", "sample_office"]


def test_every_command_and_look_of_the_door_has_an_example() -> None:
    assert sorted(door().keys() - COMMANDS.keys() - QUERIES.keys()) == []


def test_every_example_is_of_something_that_the_door_has() -> None:
    assert sorted((COMMANDS.keys() | QUERIES.keys()) - door().keys()) == []


def test_what_has_a_name_for_history_is_a_command() -> None:
    assert {name for name, one in door().items() if hasattr(one, "what")} == COMMANDS.keys()


@pytest.mark.parametrize("name", QUERIES)
def test_a_look_looks_again_after_a_command(name: str, on_a_copy: Callable[[str], None]) -> None:
    on_a_copy(name)
