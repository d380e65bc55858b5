"""Files of offices: who may read them."""

from __future__ import annotations

import contextlib
import os
import stat
from pathlib import Path

PRIVATE = 0o600
"""Mode of a new office: it holds addresses and door codes, and is its owner's alone."""


def make_private(path: Path) -> None:
    """Make an empty file that its owner alone may read, where there is none.

    SQLite takes an empty file for a new database, and gives a database's mode to the files that it
    makes beside it. What the disk does not let us make it does not let SQLite make either, which
    says so.
    """
    _make_empty(path, PRIVATE)


def make_alike(path: Path, office: Path) -> None:
    """Make an empty file with the mode of an office, for a copy of that office.

    Raises:
        OSError: the office is not there.
    """
    _make_empty(path, stat.S_IMODE(office.stat().st_mode))


def _make_empty(path: Path, mode: int) -> None:
    with contextlib.suppress(OSError):
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE & mode)
        try:
            if os.name != "nt":
                os.fchmod(handle, mode)  # whatever the umask takes away
        finally:
            os.close(handle)
