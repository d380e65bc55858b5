"""Killed in the middle of writing: what is left is swept by the next run, and nothing else goes."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from desk.base import paths
from tests.samples import FEW, own_office

PATIENCE_S = 60.0
COMMAND = "import sys; from desk.cli import main; sys.exit(main())"


def _hidden(folder: Path) -> list[str]:
    return [one.name for one in folder.iterdir() if one.name.startswith(".drawoff-")]


def _killed_while_writing(folder: Path, chance: random.Random, *arguments: str) -> bool:
    """Run a command, kill it soon after it began to write; return whether it left anything."""
    environment = os.environ | {"PYTHONPATH": str(paths.bundled())}
    with subprocess.Popen([sys.executable, "-c", COMMAND, *arguments], env=environment) as writer:
        end = time.monotonic() + PATIENCE_S
        while not _hidden(folder) and writer.poll() is None and time.monotonic() < end:
            time.sleep(0.001)
        time.sleep(chance.uniform(0, 0.02))
        writer.send_signal(signal.SIGKILL)
    return bool(_hidden(folder))


@pytest.mark.fault
def test_what_killed_exports_and_samples_leave_is_swept(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    office = str(own_office(tmp_path_factory, FEW))
    chance = random.Random(2026)
    (tmp_path / "letter.txt").write_text("somebody's")
    export = ("export", "everything", str(tmp_path / "all.jsonl"), "--office", office)
    sample = ("sample", "--visits", "60", "--out", str(tmp_path / "new.drawoff"))
    left = 0
    for arguments in (export, sample) * 12:
        left += _killed_while_writing(tmp_path, chance, *arguments)
        assert len(_hidden(tmp_path)) <= 1, "the run before last was swept"
        (tmp_path / "new.drawoff").unlink(missing_ok=True)
    assert left > 12
    environment = os.environ | {"PYTHONPATH": str(paths.bundled())}
    subprocess.run([sys.executable, "-c", COMMAND, *export], env=environment, check=True)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["all.jsonl", "letter.txt"]
