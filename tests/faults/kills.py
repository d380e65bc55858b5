"""A copy of this process that works until it is killed, and what its kills must not lose."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from desk.base import paths

MANY = 300
"""So many in the long proofs, which say what came of them."""


def killed(work: Callable[[int], None], seconds: float) -> set[str]:
    """Fork a process that works, kill it so long after its first word, and return what it told.

    Args:
        work: given the descriptor on which it tells a line for each thing that is kept.
        seconds: how long it goes on.
    """
    heard, told = os.pipe()
    child = os.fork()
    if not child:
        os.close(heard)
        try:
            work(told)
        finally:
            os._exit(1)
    os.close(told)
    with os.fdopen(heard, "rb") as said:
        first = said.readline()  # it is under way once it has said something
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        lines = first + said.read()
    return {line.decode() for line in lines.splitlines()}


def see_none_lost(
    killer: Path, place: Path, kills: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """Have a program kill so often, and see that nothing was lost and no office refused."""
    done = subprocess.run(
        [sys.executable, str(killer), str(place), str(kills)],
        env=os.environ | {"PYTHONPATH": str(paths.bundled())},
        capture_output=True,
        text=True,
        check=True,
    )
    told = json.loads(done.stdout)
    if kills == MANY:
        with capsys.disabled():
            sys.stdout.write(f"\n{killer.stem}: kills: {kills}; {told}\n")
    assert told["acknowledged"] >= kills
    assert (told["lost"], told["refused"]) == (0, 0)
