"""Files of offices: which files are one or belong to one, and who may read them.

A file that this process has open is never opened here, not even to look: closing such a handle
would drop SQLite's locks on it ("How to corrupt an SQLite database file", section 2.2).
"""

from __future__ import annotations

import contextlib
import math
import os
import re
import stat
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from weakref import WeakKeyDictionary

OFFICE_MARK = 0x44524157
"""``DRAW`` in ASCII: the number that names an office file (PRAGMA application_id)."""
ENDING = ".drawoff"
"""How a person's offices are called; whatever is called so is left alone."""
CHECKS = ".checks"
"""How the folder of a shop's own checks is called, behind the name of its office."""
PRIVATE = 0o600
"""Mode of a new office: it holds addresses and door codes, and is its owner's alone."""

_SQLITE, _MARK_AT, _PAGE = b"SQLite format 3\0", 68, 4096
"""What an SQLite file begins with, where its application's number stands (sqlite.org/fileformat),
and the size of an encrypted one's pages."""
_ENCRYPTED_BITS = 7.93
"""Bits a byte: 4,096 bytes of good encryption have 7.94 to 7.97, of a compressed picture less."""
_LIVE = ("-wal", "-shm", "-journal")
_BESIDE = re.compile(
    rf"(?P<office>.+?)(?:{'|'.join(_LIVE)}|\.before-upgrade-.+|\.upgrading|\.copying"
    rf"|{re.escape(CHECKS)})"
    r"|\.(?P<hidden>.+)\.(?:lock|head)",
    re.IGNORECASE,
)
_open: WeakKeyDictionary[object, Path] = WeakKeyDictionary()


def stands_open(path: Path, by: object) -> None:
    """Know that this process has an office open for as long as ``by`` lives."""
    _open[by] = path.resolve()


def office_harmed(target: Path) -> Path | None:
    """Return the office that would be harmed if a file were written over; None where none would.

    It is the file itself, or the one to which it belongs: its log, lock, safety copy, own checks.

    Args:
        target: without links; nothing needs to be there.

    Raises:
        OSError: what lies there cannot be read, so that nobody knows what it is.
    """
    for office in set(_open.values()):
        if any(_is_same(target, one) for one in (office, *_live_files(office))):
            return office
    for owner in _named_owners(target):
        if is_office(owner):
            return owner
    return target if is_office(target) else None


def is_office(path: Path) -> bool:
    """Return whether a file is an office, of whatever schema, or may be an encrypted one.

    Raises:
        OSError: it cannot be read.
    """
    if any(_is_same(path, office) for office in set(_open.values())):
        return True
    if not path.is_file():
        return False
    if path.name.lower().endswith(ENDING):
        return True
    with path.open("rb") as stream:
        begins = stream.read(_PAGE)
    mark = begins[_MARK_AT : _MARK_AT + 4]
    if begins.startswith(_SQLITE):
        return mark == OFFICE_MARK.to_bytes(4)
    return _may_be_encrypted(begins, path.stat().st_size)


def _may_be_encrypted(begins: bytes, size: int) -> bool:
    """Return whether a file is whole pages and looks as random as only encryption does."""
    if len(begins) < _PAGE or size % _PAGE:
        return False
    shares = (count / _PAGE for count in Counter(begins).values())
    return -sum(share * math.log2(share) for share in shares) > _ENCRYPTED_BITS


def _named_owners(target: Path) -> Iterator[Path]:
    """Give the files that have a part of a path as one of their own, going by its names."""
    for part in (target, *target.parents):
        named = _BESIDE.fullmatch(part.name)
        if named is not None and (part is target or part.name.lower().endswith(CHECKS)):
            yield part.with_name(named["office"] or named["hidden"])


def beside(office: Path, ending: str) -> Path:
    """Return a file that SQLite keeps beside an office: ``-wal``, ``-shm``; a link is followed."""
    path = office.resolve()
    return path.with_name(path.name + ending)


def size_of(path: Path) -> int:
    """Return how many bytes a file has; none where it is not there."""
    try:
        return path.stat().st_size
    except OSError:
        return 0


def has_log(office: Path) -> bool:
    """Return whether a write-ahead log with something in it lies beside an office."""
    return size_of(beside(office, "-wal")) > 0


def file_numbers(path: Path) -> tuple[int, int] | None:
    """Return the disk's numbers of itself and of a file on it; None where it is not there."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _live_files(office: Path) -> tuple[Path, ...]:
    names = (f".{office.name}.lock", *(f"{office.name}{ending}" for ending in _LIVE))
    return tuple(map(office.with_name, names))


def _is_same(one: Path, other: Path) -> bool:
    """Return whether two paths name one file, through hard links and in any spelling."""
    if one == other:
        return True
    try:
        return one.samefile(other)
    except OSError:
        return False


def office_of_checks(folder: Path) -> Path:
    """Return the office beside which a folder of own checks lies; a server's is no file."""
    return folder.with_name(folder.name.removesuffix(CHECKS))


def is_untouched(office: Path) -> bool:
    """Return whether an office has nothing beside it: nobody has it open, or added to it."""
    beside = (*_live_files(office), office.with_name(office.name + CHECKS))
    return not any(one.exists() for one in beside)


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
    _make_empty(path, mode_of(office))


def mode_of(path: Path) -> int:
    """Return who may read and write a file.

    Raises:
        OSError: it is not there.
    """
    return stat.S_IMODE(path.stat().st_mode)


def is_open_to_others(office: Path) -> bool:
    """Return whether everybody on this machine can read an office: it and all folders above."""
    if os.name == "nt":
        return False  # its modes say nothing of who may read
    try:
        path = office.resolve()
        passes = all(mode_of(folder) & stat.S_IXOTH for folder in path.parents)
        return passes and bool(mode_of(path) & stat.S_IROTH)
    except OSError:
        return False


def _make_empty(path: Path, mode: int) -> None:
    with contextlib.suppress(OSError):
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE & mode)
        try:
            if os.name != "nt":
                os.fchmod(handle, mode)  # whatever the umask takes away
        finally:
            os.close(handle)
