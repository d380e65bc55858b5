"""Looking at an office file without changing it: what it is, and how it is best read."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, OutageError
from desk.base.office_files import beside
from desk.base.texts import Message, message
from desk.records.check_up.findings import MOST_ALIKE
from desk.records.database.engine import STILL, make_engine
from desk.records.database.open_checks import SCHEMA
from desk.records.database.options import APPLICATION_ID
from desk.records.office.guard import Guard

_MAGIC = b"SQLite format 3\0"
_HEADER = 100
"""How an SQLite file begins, and how long its header is (sqlite.org/fileformat2.html, 1.3)."""
_LARGEST_PAGE = 65_536


@dataclass(frozen=True, slots=True)
class Stamp:
    """How large a file is, and when it was last written; None where there is none."""

    size: int
    written_ns: int

    @classmethod
    def of(cls, path: Path) -> Stamp | None:
        """Look at a file."""
        try:
            found = path.stat()
        except FileNotFoundError:
            return None
        return cls(found.st_size, found.st_mtime_ns)


def first_look(path: Path) -> Message | None:
    """Say what is wrong with the beginning and the length of a file, or None.

    Raises:
        InputError: there is no such file.
        OutageError: it cannot be read.
    """
    if not path.is_file():
        raise InputError(message("There is no office at {file}.", file=str(path)), field="office")
    try:
        with path.open("rb") as stream:
            header = stream.read(_HEADER)
        size = path.stat().st_size
    except OSError as error:
        raise OutageError(
            message("{file} cannot be read.", file=path.name), cause=str(error)
        ) from error
    if not header:
        return message("{file} is empty.", file=path.name)
    if not header.startswith(_MAGIC):
        return _no_database(path, header)
    if len(header) < _HEADER or _size_by_header(header) > size:
        # With a log beside it the file may rightly be behind its own header.
        return None if beside(path, "-wal").exists() else _cut_off(path)
    return None


def can_be_compared(path: Path) -> bool:
    """Return whether file and log can be read together without a file being made beside them."""
    return beside(path, "-shm").exists() or not beside(path, "-wal").exists()


def _no_database(path: Path, header: bytes) -> Message:
    if header.lstrip().lower().startswith((b"<!doctype html", b"<html")):
        return message("{file} is a web page and no office.", file=path.name)
    if header[: len(_MAGIC)].strip(b"\0") == b"":
        return message("The beginning of {file} was wiped out.", file=path.name)
    return message("{file} is no database, or its beginning was written over.", file=path.name)


def _size_by_header(header: bytes) -> int:
    """Return the bytes that the header says there are; 0 where it does not know."""
    page = int.from_bytes(header[16:18])
    changed, valid_for = header[24:28], header[92:96]
    if changed != valid_for:  # an old writer leaves the number of pages as it was
        return 0
    return (_LARGEST_PAGE if page == 1 else page) * int.from_bytes(header[28:32])


def _cut_off(path: Path) -> Message:
    return message("{file} is cut off: its end is missing.", file=path.name)


@contextmanager
def readable(path: Path) -> Iterator[sa.Engine]:
    """Open an office so that neither it nor its folder is changed.

    What nobody has open is read as it lies. What somebody writes is read through the log that is
    shared with them. What was left behind by a crash is read from a copy, as SQLite would mend it.

    It is held beside others meanwhile, so that nobody swaps it.

    Raises:
        OfficeHeld: another program works on the whole of it.
        OutageError: it was written while it was read, or there is no room for a copy.
    """
    guard = Guard(path)
    guard.share()
    try:
        yield from _as_it_lies(path)
    finally:
        guard.close()


def _as_it_lies(path: Path) -> Iterator[sa.Engine]:
    log, shared, undo = (beside(path, ending) for ending in ("-wal", "-shm", "-journal"))
    if shared.exists() and log.exists() and not undo.exists():
        yield from _opened(path, "ro")
    elif log.exists() or undo.exists():
        with copied(path) as copy:
            yield from _opened(copy, "rw")
    else:
        before = Stamp.of(path)
        yield from _opened(path, STILL)
        if before != Stamp.of(path) or log.exists():
            raise OutageError(
                message("Somebody wrote in the office while it was checked. Check it again.")
            )


def _opened(path: Path, mode: str) -> Iterator[sa.Engine]:
    engine = make_engine(path, mode=mode)
    try:
        yield engine
    finally:
        engine.dispose()


@contextmanager
def copied(path: Path) -> Iterator[Path]:
    """Copy an office, with the log of what is not in it yet, into a folder that is taken away.

    Raises:
        OutageError: there is no room for it.
    """
    with tempfile.TemporaryDirectory(prefix="drawoff-check-up-") as folder:
        target = Path(folder) / path.name
        try:
            for ending in ("", "-wal", "-journal"):
                if beside(path, ending).exists():
                    shutil.copyfile(beside(path, ending), beside(target, ending))
        except OSError as error:
            raise OutageError(
                message("There is no room for the copy that is checked."), cause=str(error)
            ) from error
        yield target


def schema_of(engine: sa.Engine, path: Path) -> tuple[int, Message | None]:
    """Return the number of an office's tables, and what is wrong with it being an office."""
    with engine.connect() as connection:
        application, schema = (
            int(connection.exec_driver_sql(f"PRAGMA {name}").scalar_one())
            for name in ("application_id", "user_version")
        )
        if application != APPLICATION_ID:
            return 0, message("{file} is another program's database.", file=path.name)
        version = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    number = max(schema, int(str(version))) if str(version).isdecimal() else 0
    if number > SCHEMA:
        return number, message(
            "{file} was written by a newer Drawoff. Update this one; the file was not touched.",
            file=path.name,
        )
    if not number:
        return 0, message("{file} has lost the number of its tables.", file=path.name)
    return number, None


def damage(session: Session) -> Iterator[Message]:
    """Say what SQLite's own check finds; it sees damaged pages, and not every changed value."""
    if session.get_bind().dialect.name != "sqlite":
        return
    for (found,) in session.execute(sa.text(f"PRAGMA integrity_check({MOST_ALIKE})")).all():
        if found != "ok":
            yield message("The file is damaged: {what}.", what=" ".join(str(found).split()))


def broken_links(session: Session) -> Iterator[Message]:
    """Say which rows name another that is not there; a server sees to it by itself."""
    if session.get_bind().dialect.name != "sqlite":
        return
    counted = session.execute(
        sa.text('SELECT "table", "parent", count(*) FROM pragma_foreign_key_check GROUP BY 1, 2')
    ).all()
    for table, named, count in counted:
        yield message(
            "Rows of {table} name rows of {named} that are not there ({count}).",
            table=table,
            named=named,
            count=count,
        )
