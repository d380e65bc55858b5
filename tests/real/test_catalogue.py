"""Every look of the door: looked, written, looked again, each in a process of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.real.catalogue import DEEDS, LOOKS, Alone, alone, door, keys_of, sample_office

__all__ = ["alone", "sample_office"]


def test_every_deed_and_look_of_the_door_has_an_example() -> None:
    assert sorted(door().keys() - DEEDS.keys() - LOOKS.keys()) == []


def test_every_example_is_of_something_that_the_door_has() -> None:
    assert sorted((DEEDS.keys() | LOOKS.keys()) - door().keys()) == []


def test_what_has_a_name_for_history_is_a_deed() -> None:
    assert {name for name, one in door().items() if hasattr(one, "what")} == DEEDS.keys()


@pytest.mark.parametrize("name", LOOKS)
def test_a_look_looks_again_after_a_deed(
    name: str, sample_office: Path, alone: Alone, tmp_path: Path
) -> None:
    place = tmp_path / "office.drawoff"
    shutil.copyfile(sample_office, place)
    alone(name, place, keys_of(sample_office))
