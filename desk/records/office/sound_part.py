"""Going on with the sound part of an office whose file, log and head do not belong together."""

from __future__ import annotations

import shutil
import uuid
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from desk.base.errors import OutageError
from desk.base.files import write_failure
from desk.base.office_files import beside
from desk.base.texts import message
from desk.records.database.column_types import Key
from desk.records.database.engine import STILL, make_engine, outages, refuse_emptied
from desk.records.database.options import WRITES
from desk.records.journal import chain, heads
from desk.records.office.guard import Guard
from desk.records.office.migrate import free_name, is_whole

_PARTS = ("", "-wal")
"""The endings of the files that are copied aside: the office, and its log."""


def keep_sound_part(path: Path, *, now: Callable[[], datetime]) -> Path | None:
    """Copy an office and its log aside, and leave the sound part of it under its name.

    A log that is not of this file is left out; change sets that are lost stay lost. What is left is
    a generation of its own, so that it is not taken for the office that it was.

    Args:
        path: of the office.
        now: the clock, for the name of the copy.

    Returns:
        The copy; None where there was nothing wrong.

    Raises:
        OfficeHeld: another program has the office open.
        OutageError: the file by itself is damaged, or the disk does not let us; nothing is lost.
    """
    path = path.resolve()
    with closing(Guard(path)) as guard:
        guard.alone()
        kind = heads.wrong(path)
        if kind is None:
            return None
        try:
            aside = _copy_aside(path, now().strftime("%Y%m%dT%H%M%SZ"))
        except OSError as error:
            raise write_failure(path, error) from error
        with outages():
            if kind == heads.FOREIGN_LOG:
                _see_that_it_is_whole(path, STILL)
                for ending in ("-wal", "-shm"):
                    beside(path, ending).unlink(missing_ok=True)
            _see_that_it_is_whole(path, "rw")
            _begin_anew(path)
        heads.forget(path)
        return aside


def _copy_aside(path: Path, stamp: str) -> Path:
    """Copy file, log and head as they lie; nobody has them open."""
    aside = free_name(path.with_name(f"{path.name}.aside-{stamp}"))
    for ending in _PARTS:
        part = beside(path, ending)
        if part.exists():
            shutil.copy2(part, beside(aside, ending))
    if heads.beside(path).exists():
        shutil.copy2(heads.beside(path), heads.beside(aside))
    return aside


def _see_that_it_is_whole(path: Path, mode: str) -> None:
    refuse_emptied(path)
    if not is_whole(path, mode):
        raise OutageError(
            message("{file} is damaged by itself. Restore the last backup.", file=path.name)
        )


def _begin_anew(path: Path) -> None:
    """Give the office another generation, and see that its head is what its change sets come to."""
    engine = make_engine(path)
    try:
        with engine.execution_options(**{WRITES: True}).begin() as connection:
            columns = {column["name"] for column in sa.inspect(connection).get_columns("here")}
            if "generation" not in columns:
                return  # of an older program: its upgrade makes the chain
            chain.fill(connection)
            connection.execute(
                sa.text("UPDATE here SET generation = :new, log_began = 0").bindparams(
                    sa.bindparam("new", type_=Key())
                ),
                {"new": uuid.uuid4()},
            )
    finally:
        engine.dispose()
