"""What the program wrote: a line for each file, by which it knows its own again.

The lines stand in the person's own data and not in the folders that are written to. There they
stay true: a line says that this program wrote just these bytes at just this place. A folder that
is moved or copied takes no claim with it, so that a copy which somebody put away counts as theirs;
another folder in the old place has other bytes; a folder that two people share, or a stick, holds
no hidden file of ours, and what one of them wrote is not the other's to write over. Where a line
is lost a file counts as foreign, and the person is asked. Paths stand as fingerprints: names of
files name customers.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path

from desk.base import paths
from desk.base.office_files import PRIVATE

LARGEST = 2_000_000
"""Bytes; a line has 130. The older half is then forgotten."""
_NAME, _TOLD = "written", "told"


def fingerprint_of(path: Path) -> str:
    """Return the SHA-256 of what a file holds.

    Raises:
        OSError: it cannot be read.
    """
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def note(path: Path, fingerprint: str) -> None:
    """Note that the program wrote a file with a content; what cannot be noted is foreign later."""
    with contextlib.suppress(OSError):
        _add(_NAME, f"{_key(path)} {fingerprint}")


def is_ours(path: Path) -> bool:
    """Return whether the program wrote a file just as it stands there.

    Raises:
        OSError: it cannot be read.
    """
    key = _key(path)
    noted = {line.removeprefix(key).strip() for line in _lines(_NAME) if line.startswith(key)}
    return bool(noted) and fingerprint_of(path) in noted


def is_first_time(path: Path) -> bool:
    """Return whether something is said of a file for the first time, and know it from now on."""
    key = _key(path)
    if key in _lines(_TOLD):
        return False
    try:
        _add(_TOLD, key)
    except OSError:
        return False  # what cannot be remembered would be said for ever
    return True


def _key(path: Path) -> str:
    return hashlib.sha256(os.fsencode(path.resolve())).hexdigest()


def _lines(name: str) -> list[str]:
    try:
        return (paths.own_folder() / name).read_text("ascii").splitlines()
    except (OSError, ValueError):
        return []


def _add(name: str, line: str) -> None:
    """Add a line in one write, so that two programs at once add two whole lines."""
    place = paths.own_folder() / name
    place.parent.mkdir(parents=True, exist_ok=True)
    if place.exists() and place.stat().st_size > LARGEST:
        lines = _lines(name)
        fresh = place.with_name(f"{name}.new")
        fresh.touch(PRIVATE)
        fresh.write_text("".join(f"{one}\n" for one in lines[len(lines) // 2 :]), "ascii")
        fresh.replace(place)
    handle = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_APPEND, PRIVATE)
    try:
        os.write(handle, f"{line}\n".encode("ascii"))
    finally:
        os.close(handle)
