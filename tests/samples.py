"""The invented office that tests share: built once a run, whoever asks first, and copied."""

from __future__ import annotations

import fcntl
import os
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from sample_db.build import build

AS_OF = date(2026, 11, 24)
VISITS, FEW = 600, 60
"""Enough for every grouping and second look of what comes back to tell; and for the rest."""


def made_once(
    tmp_path_factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]
) -> Path:
    """Return a file that all workers of a run share; whoever asks first makes it."""
    root = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        root = root.parent
    place = root / name
    with (root / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # the others wait until it is whole
        if not place.exists():
            make(place)
    return place


def shared_office(tmp_path_factory: pytest.TempPathFactory, visits: int = VISITS) -> Path:
    """Return the one sample office of a size for all workers of a run; nobody writes to it."""
    return made_once(
        tmp_path_factory,
        f"sample-of-{visits}.drawoff",
        lambda place: build(place, visits=visits, as_of=AS_OF),
    )


def own_office(tmp_path_factory: pytest.TempPathFactory, visits: int = VISITS) -> Path:
    """Return a copy of the sample office of one's own."""
    own = tmp_path_factory.mktemp("sample") / "sample.drawoff"
    return Path(shutil.copyfile(shared_office(tmp_path_factory, visits), own))
