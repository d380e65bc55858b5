"""Finds the door's classes, makes the office that cases work on, and runs a case by itself."""

from __future__ import annotations

import inspect
import json
import os
import pkgutil
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path

import pytest

import desk.records.actions
from desk.records.office.protocol import CommandKind, MadeQuery, QueryKind
from tests.real.one_command import COMMANDS, QUERIES
from tests.real.sample_office import make_sample_office
from tests.samples import made_once

__all__ = ["COMMANDS", "QUERIES", "alone", "door", "keys_of", "on_a_copy", "sample_office"]
ROOT = Path(__file__).parents[2]

type Alone = Callable[[str, str | Path, Path], None]
"""Plays a case in a fresh process: its name, its office, and the keys of that."""


def door() -> dict[str, object]:
    """Return every kind of command and query that can be handed in, by ``module.Name``.

    It is made of a function, or is a class. Protocols are handed in by nobody.
    """
    return {
        f"{module.name}.{name}": one
        for module in pkgutil.iter_modules(desk.records.actions.__path__)
        for name, one in vars(
            import_module(f"{desk.records.actions.__name__}.{module.name}")
        ).items()
        if not name.startswith("_") and _is_handed_in(one, f".actions.{module.name}")
    }


def _is_handed_in(one: object, module: str) -> bool:
    if isinstance(one, CommandKind | QueryKind):
        return True
    return (
        inspect.isclass(one)
        and one.__module__.endswith(module)
        and callable(getattr(one, "run", None))
        and not issubclass(one, MadeQuery)  # of which kinds are made
    )


@pytest.fixture(scope="session")
def sample_office(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The closed sample office with its keys beside it, made once for all workers of a run."""

    def make(keys: Path) -> None:
        make_sample_office(keys.with_suffix(".drawoff"))

    return made_once(tmp_path_factory, "catalogue.json", make).with_suffix(".drawoff")


def keys_of(place: Path) -> Path:
    """Return the file in which the keys of a sample office stand."""
    return place.with_suffix(".json")


@pytest.fixture(scope="session")
def alone() -> Iterator[Alone]:
    """What plays a case in a fresh process, which has to end well and to print nothing."""
    environment = os.environ | {
        "OPENBLAS_NUM_THREADS": "1",  # a process that is copied has one thread
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # what was compiled is kept
    with subprocess.Popen(
        [sys.executable, "-W", "error", "-m", "tests.real.fresh"],
        cwd=ROOT, env=environment, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as copied:  # fmt: skip
        asked, answered = copied.stdin, copied.stdout
        assert asked is not None
        assert answered is not None

        def play(name: str, place: str | Path, keys: Path) -> None:
            asked.write(json.dumps((name, str(place), str(keys))) + "\n")
            asked.flush()
            status, said, warned = json.loads(answered.readline())
            assert (status, said, warned) == (0, "", ""), warned[-4000:]

        yield play


@pytest.fixture
def on_a_copy(sample_office: Path, alone: Alone, tmp_path: Path) -> Callable[[str], None]:
    """What plays a case on a copy of the sample office."""

    def play(name: str) -> None:
        place = tmp_path / "office.drawoff"
        shutil.copyfile(sample_office, place)
        alone(name, place, keys_of(sample_office))

    return play
