"""Finds the door's classes, makes the office that cases work on, and runs a case by itself."""

from __future__ import annotations

import fcntl
import inspect
import pkgutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import desk.records.deeds
from tests.real.one_command import DEEDS, LOOKS
from tests.real.sample_office import make_sample_office

__all__ = ["DEEDS", "LOOKS", "door", "keys_of", "run_alone", "sample_office"]
ROOT = Path(__file__).parents[2]
_PATIENCE_S = 240
"""A case takes a second or two; this much only where the machine stands still."""


def door() -> dict[str, type]:
    """Return every deed and look that can be handed in, by ``module.Class``.

    Protocols, and forms from which others are derived, are handed in by nobody.
    """
    found = {
        f"{module.name}.{one.__name__}": one
        for module in pkgutil.iter_modules(desk.records.deeds.__path__)
        for one in vars(import_module(f"{desk.records.deeds.__name__}.{module.name}")).values()
        if inspect.isclass(one)
        and one.__module__.endswith(f".deeds.{module.name}")
        and callable(getattr(one, "run", None))
        and not getattr(one, "_is_protocol", False)
    }
    forms = {base for one in found.values() for base in one.__mro__[1:]}
    return {name: one for name, one in found.items() if one not in forms}


@pytest.fixture(scope="session")
def sample_office(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The closed sample office with its keys beside it, made once for all workers of a run."""
    folder = tmp_path_factory.getbasetemp()
    if worker_id != "master":
        folder = folder.parent
    place = folder / "catalogue.drawoff"
    with (folder / "catalogue.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # the other worker waits until it is whole
        if not keys_of(place).exists():
            make_sample_office(place)
    return place


def keys_of(place: Path) -> Path:
    """Return the file in which the keys of a sample office stand."""
    return place.with_suffix(".json")


def run_alone(name: str, place: str | Path, keys: Path) -> None:
    """Play a case in a fresh process, which has to end well and to print nothing."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "tests.real.one_command", name, place, keys],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=_PATIENCE_S,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (0, "", ""), done.stderr[-4000:]
