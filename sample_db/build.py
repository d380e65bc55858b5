"""Builds an invented office of any size: the same size and day give the same rows."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from desk.base.errors import InputError, OutageError
from desk.base.files import put_new
from desk.base.texts import message
from desk.base.unfinished_files import folder_beside
from desk.records.database import open_checks
from desk.records.database.engine import make_engine, outages
from desk.records.database.options import WRITES
from desk.records.journal import heads
from desk.records.search.indexed_words import rebuild
from sample_db.history import History, Told
from sample_db.sealed import LARGEST_SEALED, seal_newest

MOST_VISITS = 5_000_000
FIRST_YEAR, LAST_YEAR = 2000, 2099


def build(
    path: Path,
    *,
    visits: int,
    as_of: date,
    progress: Callable[[int, int], None] | None = None,
) -> Told:
    """Build an invented office in a new file.

    It is built in a folder of its own beside its place and moved there when it is whole; a run
    that fails leaves nothing.

    Args:
        path: where the office is to lie; nothing may be there yet.
        visits: exactly how many visits it has.
        as_of: the day on which its history ends and its day list stands.
        progress: told now and then how many visits of how many are done.

    Returns:
        What was built.

    Raises:
        InputError: the number or the day cannot be meant, something is there already, or the
            folder is missing.
        OutageError: the disk is full or does not let us write.
    """
    _check(visits, as_of)
    open_checks.check_new_file(path)
    try:
        with folder_beside(path) as beside, outages():
            made = beside / "office"
            history = History(visits, as_of, progress)
            told = history.tell(made)
            if visits <= LARGEST_SEALED:
                seal_newest(made, as_of, history.rng)
            _fill_the_search(made)
            _see_that_it_is_whole(made)
            heads.forget(path)  # of an office that was there before
            put_new(made, path)
    except OSError as error:
        raise OutageError(
            message("The folder of {file} does not let us write.", file=path.name),
            cause=str(error),
        ) from error
    return told


def _fill_the_search(made: Path) -> None:
    """Compute what the box on top looks through; the rows were written straight."""
    engine = make_engine(made)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        rebuild(connection)
    engine.dispose()


def _see_that_it_is_whole(made: Path) -> None:
    """See that closing folded the write-ahead log back; where it could not, the log stays."""
    if made.with_name(made.name + "-wal").exists():
        raise OutageError(message("The disk is full. Nothing was lost; make room and repeat it."))


def _check(visits: int, as_of: date) -> None:
    if not 1 <= visits <= MOST_VISITS:
        raise InputError(
            message("Type how many visits, from 1 to {most}.", most=MOST_VISITS), field="visits"
        )
    if not FIRST_YEAR <= as_of.year <= LAST_YEAR:
        raise InputError(
            message(
                "{day} cannot be meant here; type a day from {first} to {last}.",
                day=as_of.isoformat(),
                first=FIRST_YEAR,
                last=LAST_YEAR,
            ),
            field="as_of",
        )
