"""The ways to start the program from outside, each in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import desk

SCRIPT = Path(sys.executable).with_name("drawoff")


@pytest.mark.parametrize(
    "program", [[str(SCRIPT)], [sys.executable, "-m", "desk"]], ids=["script", "module"]
)
def test_it_tells_its_version_and_nothing_else(program: list[str]) -> None:
    told = subprocess.run([*program, "--version"], capture_output=True, text=True, check=True)
    assert (told.stdout, told.stderr) == (f"drawoff {desk.__version__}\n", "")
