"""Opening an office: a file is held by the guard from the first look on; brought up to date."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from desk.base.errors import OutageError
from desk.base.office_files import beside
from desk.base.texts import message
from desk.records import tables
from desk.records.database import open_checks
from desk.records.database.engine import STILL, make_engine, outages
from desk.records.journal import heads
from desk.records.office.guard import PATIENCE_S, Guard


def open_file(path: Path, *, now: Callable[[], datetime]) -> tuple[sa.Engine, Guard]:
    """Open an office file beside everybody else who has it open.

    Args:
        path: of the file.
        now: the clock, for the name of a safety copy.

    Returns:
        The engine, and the hold on the file; the engine is disposed of before that is closed.

    Raises:
        InputError: there is no such file, or it is on a network share.
        NotAnOffice: the file is something else.
        NewerOffice: a newer program wrote it; it is left untouched.
        OfficeHeld: another program works on the whole of it, or it is to be upgraded and another
            has it open.
        UnsoundOffice: file, log and the head beside it do not belong together.
        OutageError: it cannot be read, or an upgrade failed.
    """
    open_checks.check_there(path)
    guard = Guard(path)
    guard.share()
    try:
        heads.check(path)
        mode = way_in(path)
        _bring_up_to_date(path, guard, mode, now)
        engine = make_engine(path, mode=mode)
        try:
            with outages():
                open_checks.check_tables(engine, path, tables.table_names())
        except BaseException:
            engine.dispose()
            raise
    except BaseException:
        guard.close()
        raise
    return engine, guard


def open_server(url: str) -> sa.Engine:
    """Open an office on a server, upgrading it first where its program was older.

    Raises:
        NotAnOffice, NewerOffice, OutageError: as :func:`open_file`.
    """
    engine = make_engine(url)
    try:
        if open_checks.check_server(engine) < open_checks.SCHEMA:
            from desk.records.office import migrate

            migrate.upgrade_server(url)
    except BaseException:
        engine.dispose()
        raise
    return engine


def hold_new(path: Path) -> Guard:
    """Hold alone the place at which an office is going to be made.

    Raises:
        InputError: something is there already, the folder is missing, or it is a share.
        OfficeHeld: another program is about to make one there, or has.
    """
    open_checks.check_new_file(path)
    guard = Guard(path)
    guard.alone()
    try:
        open_checks.check_new_file(path)  # somebody may have made it while we waited
        heads.forget(path)  # of an office that was there before
    except BaseException:
        guard.close()
        raise
    return guard


def way_in(path: Path) -> str:
    """Return how an office is opened where its folder is writable, and where it is only looked at.

    In a folder that takes no files SQLite cannot share a log; what lies there is read as it lies.
    """
    if os.access(path.resolve().parent, os.W_OK):
        return "rw"
    return "ro" if beside(path, "-wal").exists() else STILL


def _bring_up_to_date(path: Path, guard: Guard, mode: str, now: Callable[[], datetime]) -> None:
    """Upgrade an office of an older program while nobody else has it; end sharing it again.

    Whatever happened while nothing was held is seen: the file is looked at again after each time
    the hold is taken.
    """
    last = time.monotonic() + PATIENCE_S
    while open_checks.check_file(path, mode) < open_checks.SCHEMA:
        if mode != "rw":
            raise OutageError(
                message(
                    "{file} is of an older Drawoff, and its folder does not let it be upgraded.",
                    file=path.name,
                )
            )
        if guard.try_alone():
            if open_checks.check_file(path) < open_checks.SCHEMA:
                from desk.records.office import migrate

                migrate.upgrade_file(path, now=now)
        elif time.monotonic() > last:
            raise guard.held_by_others(PATIENCE_S)
        guard.share()
        heads.check(path)
