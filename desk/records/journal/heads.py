"""The head of the journal, in an office and beside it, and whether file, log and both heads agree.

After each change set the head is written beside the office, by a rename and without waiting for the
disk. A missing head, or a journal that goes further than the one beside, is what a killed program
leaves. A head that goes further than the journal, or that the journal never had, says that
change sets were lost or that a file is another; and so does a write-ahead log that did not begin
where the file stands.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
import uuid
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from desk.base.errors import UnsoundOffice
from desk.base.office_files import has_log
from desk.base.texts import Message, message
from desk.records.database.engine import (
    CORRUPT,
    NOT_A_DATABASE,
    STILL,
    file_uri,
    is_emptied,
    result_code,
    sqlite_driver,
)
from desk.records.journal.chain import NOTHING

FOREIGN_LOG, OTHER, BEHIND, DIFFERS = "foreign log", "other", "behind", "differs"
NO_OFFICE, HALF_FOLDED = "no office", "half folded back"
"""Kinds of what does not agree. A file alone cannot be read while its log is folded back, nor
where that was not finished; what can be compared with the log then has to do."""
_TRIES, _AGAIN_S = 4, 0.05
"""The files are read one after the other, and somebody may fold the log back in between."""


@dataclass(frozen=True, slots=True)
class Head:
    """What a journal comes to.

    Attributes:
        generation: of the office (`Here.generation`).
        sets: how many change sets it has.
        head: what they come to, 32 bytes.
    """

    generation: uuid.UUID
    sets: int
    head: bytes


@dataclass(frozen=True, slots=True)
class _Seen:
    """What an office file says of itself; the head is None before it had one."""

    schema: int
    head: Head | None
    log_began: int = 0


def beside(path: Path) -> Path:
    """Return the file that holds an office's head beside it, hidden."""
    office = path.resolve()
    return office.with_name(f".{office.name}.head")


def read(path: Path) -> Head | None:
    """Return the head beside an office; None where there is none that can be read."""
    try:
        told = json.loads(beside(path).read_bytes())
        return Head(uuid.UUID(told["generation"]), int(told["sets"]), bytes.fromhex(told["head"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def forget(path: Path) -> None:
    """Take away the head beside an office that is not there any more, or is made anew."""
    with contextlib.suppress(OSError):
        beside(path).unlink()


class Writer:
    """Writes the head of one open office beside it; several programs may do so at once."""

    def __init__(self, path: Path) -> None:
        self._target = beside(path)
        self._new = self._target.with_name(f"{self._target.name}-{os.getpid():x}-{id(self):x}")
        self._mode = path.stat().st_mode & 0o666

    def write(self, head: Head) -> None:
        """Write a head; where the disk does not let us the older one stays, which is sound."""
        told = {"generation": head.generation.hex, "sets": head.sets, "head": head.head.hex()}
        with contextlib.suppress(OSError):
            handle = os.open(self._new, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, self._mode)
            try:
                os.write(handle, json.dumps(told).encode())
            finally:
                os.close(handle)
            self._new.replace(self._target)


def sweep(path: Path) -> None:
    """Take away heads that killed programs were about to write; nobody else has the office."""
    target = beside(path)
    with contextlib.suppress(OSError), os.scandir(target.parent) as entries:
        for left in entries:
            if left.name.startswith(f"{target.name}-"):
                Path(left.path).unlink(missing_ok=True)


def check(path: Path) -> None:
    """See that an office file, its log, and the head beside it belong together; write nothing.

    Raises:
        UnsoundOffice: they do not.
    """
    found = wrong(path)
    if found is not None:
        raise UnsoundOffice(sentence(found, path), kind=found)


def wrong(path: Path, *, is_open: bool = False) -> str | None:
    """Return the kind of what does not agree, or None.

    Args:
        path: of the office.
        is_open: it was an office when it was opened; if not, what is no office is told elsewhere.
    """
    found = None
    for turn in range(_TRIES):
        if turn:
            time.sleep(_AGAIN_S)
        found = _compare(path)
        if found is None or (not is_open and found in {NO_OFFICE, HALF_FOLDED}):
            return None
    return found


def sentence(kind: str, path: Path) -> Message:
    """Say what does not agree."""
    name = path.name
    if kind == FOREIGN_LOG:
        return message(
            "Beside {file} lies the log of another copy of it; together they would be damaged, "
            "and nothing was written.",
            file=name,
        )
    if kind == BEHIND:
        return message(
            "{file} is older than what was last saved in it; nothing was written to it.", file=name
        )
    return message(
        "{file} is not the copy that was last saved in here; nothing was written to it.", file=name
    )


def _compare(path: Path) -> str | None:
    """Compare what stands beside, in the file alone, and in the file with its log."""
    emptied = is_emptied(path)
    told, alone = read(path), None if emptied else _seen_alone(path)
    if emptied or not has_log(path):
        return NO_OFFICE if alone is None else _with_head(path, told)
    try:
        with closing(_connected(path, "ro")) as connection:
            connection.execute("BEGIN").fetchall()
            whole = _seen(connection)
            if alone is None:
                return _head_fits(told, whole, connection) or HALF_FOLDED
            if not _fits(alone, whole, connection):
                return FOREIGN_LOG
            return _head_fits(told, whole, connection)
    except sqlite_driver().Error as error:
        if alone is None:
            return NO_OFFICE
        return FOREIGN_LOG if result_code(error) in {CORRUPT, NOT_A_DATABASE} else None


def _with_head(path: Path, told: Head | None) -> str | None:
    try:
        with closing(_connected(path, STILL)) as connection:
            return _head_fits(told, _seen(connection), connection)
    except sqlite_driver().Error:
        return None


def _seen_alone(path: Path) -> _Seen | None:
    """Return what the file says without its log; None where it cannot be read as an office."""
    try:
        with closing(_connected(path, STILL)) as connection:
            return _seen(connection)
    except sqlite_driver().Error:
        return None


def _connected(path: Path, mode: str) -> Any:  # noqa: ANN401 - the driver's own
    return sqlite_driver().connect(file_uri(path, mode), uri=True, isolation_level=None)


def _seen(connection: Any) -> _Seen:  # noqa: ANN401 - the driver's own
    (schema,) = connection.execute("PRAGMA user_version").fetchone()
    columns = {row[1] for row in connection.execute("PRAGMA table_info(here)")}
    if "log_began" not in columns:
        return _Seen(schema, None)
    row = connection.execute("SELECT generation, sets, head, log_began FROM here").fetchone()
    if row is None:
        return _Seen(schema, None)
    return _Seen(schema, Head(uuid.UUID(bytes=row[0]), row[1], row[2]), row[3])


def _fits(alone: _Seen, whole: _Seen, connection: Any) -> bool:  # noqa: ANN401
    """Return whether a log began where its file stood, or later in the same journal."""
    if alone.schema != whole.schema or (alone.head is not None and whole.head is None):
        return False
    if alone.head is None or whole.head is None:
        return whole.log_began == 0  # its first change set, or none yet, stands in the log alone
    return (
        alone.head.generation == whole.head.generation
        and whole.log_began <= alone.head.sets
        and _head_at(alone.head.sets, whole.head, connection) == alone.head.head
    )


def _head_fits(told: Head | None, whole: _Seen, connection: Any) -> str | None:  # noqa: ANN401
    """Return what is wrong with the head beside an office, or None."""
    if told is None:
        return None
    if whole.head is None or told.generation != whole.head.generation:
        return OTHER
    if told.sets > whole.head.sets:
        return BEHIND
    return None if _head_at(told.sets, whole.head, connection) == told.head else DIFFERS


def _head_at(sets: int, head: Head, connection: Any) -> bytes | None:  # noqa: ANN401
    """Return what the first change sets of a journal come to; None where it has not so many."""
    if sets == head.sets:
        return head.head
    if not sets:
        return NOTHING
    row = connection.execute("SELECT follows FROM change_set WHERE place = ?", (sets + 1,))
    found: tuple[bytes] | None = row.fetchone()
    return found and found[0]
