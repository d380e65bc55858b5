"""Every command of the door: looked at, done, taken back, each in a process of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.real.catalogue import COMMANDS, alone, on_a_copy, sample_office

__all__ = ["alone", "on_a_copy", "sample_office"]


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_seen_and_taken_back(name: str, on_a_copy: Callable[[str], None]) -> None:
    on_a_copy(name)
