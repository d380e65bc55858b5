"""The one way to a database: one driver, one factory, for the program and its migrations.

SQLite comes through the ``sqlcipher3`` wheel, which brings an SQLite newer than the WAL-reset
bug (fixed in 3.51.3, sqlite.org/changes.html). Nothing else may open the live file: any other
road to it drops this process's POSIX locks ("How to corrupt an SQLite database file", 2.2).
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from types import ModuleType
from urllib.parse import quote

import sqlalchemy as sa
from sqlalchemy import event, exc
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.orm.exc import StaleDataError

from desk.base.errors import ConflictError, DeskError, OutageError
from desk.base.office_files import has_log, make_private, size_of, stands_open
from desk.base.office_location import own_checks_folder
from desk.base.texts import message
from desk.records.database.options import BUSY_MS, WRITES

log = logging.getLogger(__name__)

SQLITE_DRIVER = "sqlcipher3.dbapi2"
FIXED_WAL_RESET = (3, 51, 3)
STILL = "still"
"""Way of opening a file that nobody writes: read, and no file made beside it."""
OWN_CHECKS = "drawoff_own_checks"
"""Execution option that names the folder of the shop's own checks."""


def sqlite_driver() -> ModuleType:
    """Return the driver module that alone may open an office file."""
    import importlib

    return importlib.import_module(SQLITE_DRIVER)


def journal_mode() -> str:
    """Return WAL where the SQLite at hand is safe with it, else DELETE."""
    version = tuple(int(part) for part in sqlite_driver().sqlite_version.split("."))
    return "WAL" if version >= FIXED_WAL_RESET else "DELETE"


def pragmas() -> tuple[tuple[str, str | int], ...]:
    """Return what every connection is told, in this order, and answers when read back."""
    return (
        ("foreign_keys", 1),
        ("journal_mode", journal_mode().lower()),
        ("synchronous", 2),
        ("busy_timeout", BUSY_MS),
        ("trusted_schema", 0),
        ("cell_size_check", 1),
        ("mmap_size", 0),
        ("wal_autocheckpoint", 0),  # the log is folded back whole (fold_log), or not yet
    )


def file_uri(path: Path, mode: str) -> str:
    """Return SQLite's URI of a file; ``mode`` is ``ro``, ``rw``, ``rwc`` or :data:`STILL`."""
    asked = "ro&immutable=1" if mode == STILL else mode
    return f"file:{quote(str(path.resolve()))}?mode={asked}"


def make_engine(place: str | Path, *, mode: str = "rw", migrating: bool = False) -> sa.Engine:
    """Return the engine for an office: a path for SQLite, a URL for PostgreSQL.

    Args:
        place: path of the file, or ``postgresql+psycopg://…``.
        mode: SQLite's way of opening: ``ro``, ``rw``, ``rwc`` which also makes the file, or
            :data:`STILL`.
        migrating: leave foreign keys unenforced, as rebuilding tables on SQLite asks for.
    """
    options = {OWN_CHECKS: own_checks_folder(place)}
    if isinstance(place, str) and "://" in place:
        from desk.records.database.postgres import server_engine

        return server_engine(place, options, migrating=migrating)
    engine = sa.create_engine(
        "sqlite+pysqlite://",
        module=sqlite_driver(),
        creator=lambda: _connect(Path(place), mode, migrating=migrating),
        poolclass=sa.pool.QueuePool,
        execution_options=options,
    )
    event.listen(engine, "begin", _begin)
    stands_open(Path(place), engine)
    return engine


def is_emptied(path: Path) -> bool:
    """Return whether a file is empty and has its log beside it, as while a copy is laid over it.

    SQLite takes the log of an empty file away: whoever finds it so opens nothing.
    """
    return path.exists() and not size_of(path) and has_log(path)


def refuse_emptied(path: Path) -> None:
    """See that opening a file takes no log away.

    Raises:
        OutageError: the file is empty, and its log is all that there is.
    """
    if is_emptied(path):
        raise OutageError(
            message(
                "{file} is empty, and what was saved last lies in the log beside it; nothing was "
                "touched. Put the office or its backup back in its place.",
                file=path.name,
            )
        )


def _connect(path: Path, mode: str, *, migrating: bool) -> DBAPIConnection:
    """Open the file with the driver in autocommit and tell it the pragmas."""
    if mode == "rwc":
        make_private(path)
    else:
        refuse_emptied(path)
    connection: DBAPIConnection = sqlite_driver().connect(
        file_uri(path, mode), uri=True, isolation_level=None, check_same_thread=False
    )
    try:
        cursor = connection.cursor()
        for name, value in pragmas():
            if (mode in {"ro", STILL} and name == "journal_mode") or (
                migrating and name == "foreign_keys"
            ):
                continue
            cursor.execute(f"PRAGMA {name}={value}")
            cursor.fetchall()
        cursor.close()
    except BaseException:
        connection.close()  # and with it the cursor; closing that again would hide the error
        raise
    return connection


LONGEST_LOG = 4_000_000
"""Bytes after which the write-ahead log is folded back into the file: SQLite's own 1000 pages."""


def fold_log(engine: sa.Engine) -> None:
    """Fold the write-ahead log back into the file and empty it, unless somebody is in the way.

    SQLite by itself would begin the log anew without emptying it; an empty log tells where the
    next one begins. What was committed stands in the log until then, also where the disk fails.
    """
    try:
        with closing(engine.raw_connection()) as connection:
            cursor = connection.cursor()
            try:
                for statement in ("PRAGMA busy_timeout=0", "PRAGMA wal_checkpoint(TRUNCATE)"):
                    cursor.execute(statement)
                    cursor.fetchall()
            finally:
                cursor.execute(f"PRAGMA busy_timeout={BUSY_MS}")
                cursor.close()
    except (sqlite_driver().Error, exc.DBAPIError) as error:
        log.info("the log was not folded back: %s", error)


def leave_log(engine: sa.Engine) -> None:
    """Have the connections of an engine leave the log as it lies when they are closed.

    A connection that was interrupted folds nothing back (``sqlite3_interrupt``; the option of
    SQLite for it, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, is not to be had through the driver).
    """
    event.listen(engine, "close", lambda connection, _record: connection.interrupt())


def _begin(connection: sa.Connection) -> None:
    """Begin explicitly: a read that turns into a write would meet SQLITE_BUSY at once."""
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def outages() -> Iterator[None]:
    """Turn what the disk, a lock or another desk did to us into our own errors.

    Raises:
        OutageError: disk full, locked, read-only, damaged or gone.
        ConflictError: the row was changed by somebody else since it was read.
    """
    try:
        yield
    except StaleDataError as error:
        raise ConflictError(
            message("Somebody else changed this in the meantime. Look again and repeat it."),
            error=str(error),
        ) from error
    except exc.DBAPIError as error:
        known = as_outage(error.orig)
        if known is None:
            raise
        raise known from error
    except sqlite_driver().Error as error:
        known = as_outage(error)
        if known is None:
            raise
        raise known from error


_HELD = message("Another program holds the office. Close it, or wait and repeat it.")
_READ_ONLY = message("The office is read-only here: this account may not write to it.")
BUSY, CORRUPT, NOT_A_DATABASE = 5, 11, 26
READ_ONLY_CODES = frozenset({3, 8, 14})
"""What SQLite says where it may not write or make a file: PERM, READONLY, CANTOPEN."""
_OUTAGES = {
    3: _READ_ONLY,  # SQLITE_PERM
    BUSY: _HELD,
    8: _READ_ONLY,  # SQLITE_READONLY
    10: message(  # SQLITE_IOERR
        "The disk is full, or it fails. Nothing half done was kept; make room and try again."
    ),
    CORRUPT: message("The office file is damaged. Restore the last backup."),
    13: message("The disk is full. Nothing was lost; make room and repeat it."),  # SQLITE_FULL
    14: message("The office cannot be opened: its folder is missing or closed."),  # CANTOPEN
    15: _HELD,  # SQLITE_PROTOCOL: too much is going on around the write-ahead log
    NOT_A_DATABASE: message("This file is no office, or it is damaged. Restore a backup."),
}
"""What primary result codes mean (sqlite.org/rescode.html). SQLITE_LOCKED is none of them: a
connection that is in its own way is a bug."""


def result_code(error: BaseException | None) -> int | None:
    """Return SQLite's primary result code of a driver's error; None where the driver gave none.

    An extended code holds the primary one in its lowest byte.
    """
    code = getattr(error, "sqlite_errorcode", None)
    return code & 0xFF if isinstance(code, int) else None


def as_outage(error: BaseException | None) -> DeskError | None:
    """Return the outage that a driver's error stands for, or None where it is a bug."""
    if type(error).__module__.startswith("psycopg"):
        from desk.records.database.postgres import server_outage

        return server_outage(error)
    code = result_code(error)
    sentence = _OUTAGES.get(code) if code is not None else None
    return None if sentence is None else OutageError(sentence, cause=str(error), code=code)
