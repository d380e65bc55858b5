"""Every command of the door: looked at, done, taken back, each in a process of its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.real.catalogue import COMMANDS, Alone, alone, keys_of, sample_office

__all__ = ["alone", "sample_office"]


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_seen_and_taken_back(
    name: str, sample_office: Path, alone: Alone, tmp_path: Path
) -> None:
    place = tmp_path / "office.drawoff"
    shutil.copyfile(sample_office, place)
    alone(name, place, keys_of(sample_office))
