"""The check-up of an office: looks through all of it, changes nothing, and says what is wrong.

It finds damage, accidents and careless changes. Without a key it proves nothing against somebody
who knows the program and changes rows, journal and fingerprints together; and SQLite's own check
saw only about a quarter of single flipped bits in a measurement of ours.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import DeskError, NewerOffice, NotAnOffice, OutageError
from desk.base.office_location import is_url
from desk.base.texts import Message, message
from desk.records import tables
from desk.records.check_up import file, journal
from desk.records.check_up.findings import Finding, Tell, at_most
from desk.records.check_up.sealed import sealed_and_rows
from desk.records.check_up.stock import stock_and_fitted
from desk.records.database.engine import as_outage, make_engine
from desk.records.database.open_checks import SCHEMA, check_server
from desk.records.documents.kept_bytes import not_intact
from desk.records.journal import heads

type Watch = Callable[[Message, int, int], None]
"""Told what is looked through, how much of it is done, and of how much."""

LIMITS = message(
    "A check-up finds damage, accidents and careless changes. It cannot see every flipped bit, "
    "and it is no proof against somebody who changes records and fingerprints together: "
    "keep safety copies in another place."
)

log = logging.getLogger(__name__)

_DAMAGE = (
    DeskError,
    sa.exc.SQLAlchemyError,
    ArithmeticError,
    LookupError,
    TypeError,
    ValueError,
)
"""What reading a damaged office may raise; anything may stand where something else should."""


@dataclass(frozen=True, slots=True)
class _Part:
    """One part of the check-up: its name, what it looks through, and how."""

    name: str
    what: Message
    look: Callable[[Session, Tell], Iterator[Message]]


def _quiet(
    look: Callable[[Session], Iterator[Message]],
) -> Callable[[Session, Tell], Iterator[Message]]:
    """Give a look that cannot say how far it is the form of one that can."""
    return lambda session, _tell: look(session)


_PARTS = (
    _Part("file", message("the file"), _quiet(file.damage)),
    _Part("links", message("links between records"), _quiet(file.broken_links)),
    _Part("journal", message("running numbers"), _quiet(journal.missing_deeds)),
    _Part("journal", message("the deeds' lines"), _quiet(journal.missing_lines)),
    _Part("journal", message("the chain of the deeds"), _quiet(journal.broken_chain)),
    _Part("journal", message("changed rows"), _quiet(journal.changed_without_lines)),
    _Part("journal", message("the journal"), journal.rows_and_journal),
    _Part("pictures", message("pictures and fingerprints"), lambda s, _t: iter(not_intact(s))),
    _Part("sealed", message("sealed visits"), sealed_and_rows),
    _Part("stock", message("the stock"), _quiet(stock_and_fitted)),
)
_OF_FILE = _PARTS[:2]
"""What is looked through in a file whose tables are older than this program's."""


def check_up(
    place: str | Path, *, now: Callable[[], datetime], watch: Watch = lambda *_: None
) -> Iterator[Finding]:
    """Look through an office and give what is wrong with it, one after the other.

    Nothing of it is changed, nor of the folder that it lies in.

    Args:
        place: path of a file, or a server's URL.
        now: the clock.
        watch: told how far it is; what it raises stops the check-up.

    Raises:
        InputError: there is no such file or database.
        OutageError: it cannot be reached, or was written while it was read.
    """
    tables.map_all()
    if is_url(place):
        yield from _of_server(str(place), watch)
        return
    path = Path(place)
    wrong = file.first_look(path)
    if wrong is not None:
        yield Finding("file", wrong)
        return
    if file.can_be_compared(path) and (kind := heads.wrong(path)) is not None:
        yield Finding("file", heads.sentence(kind, path))
    with file.readable(path) as engine:
        yield from _of_file(path, engine, now, watch)


def _of_file(
    path: Path, engine: sa.Engine, now: Callable[[], datetime], watch: Watch
) -> Iterator[Finding]:
    try:
        number, wrong = file.schema_of(engine, path)
    except _DAMAGE as error:
        number, wrong = 0, _unreadable(message("the file"), error)
    if wrong is not None:
        yield Finding("file", wrong)
        return
    if number == SCHEMA:
        yield from _each(engine, _PARTS, watch)
        return
    damaged = False
    for found in _each(engine, _OF_FILE, watch):
        damaged = True
        yield found
    if not damaged:
        yield from _upgraded(path, now, watch)


def _upgraded(path: Path, now: Callable[[], datetime], watch: Watch) -> Iterator[Finding]:
    """Look through an older office as it will be when it is opened: an upgraded copy of it."""
    from desk.records.office import migrate

    with file.copied(path) as copy:
        try:
            migrate.upgrade_file(copy, now=now)
        except OutageError as error:
            yield Finding("file", error.sentence)
            return
        engine = make_engine(copy)
        try:
            yield from _each(engine, _PARTS[len(_OF_FILE) :], watch)
        finally:
            engine.dispose()


def _of_server(url: str, watch: Watch) -> Iterator[Finding]:
    engine = make_engine(url).execution_options(postgresql_readonly=True)
    try:
        if check_server(engine) < SCHEMA:
            raise OutageError(
                message("This office is older than this Drawoff. Open it once, then check it.")
            )
        yield from _each(engine, _PARTS, watch)
    except (NotAnOffice, NewerOffice) as error:
        yield Finding("file", error.sentence)
    finally:
        engine.dispose()


def _each(engine: sa.Engine, parts: Sequence[_Part], watch: Watch) -> Iterator[Finding]:
    """Look through the parts, each in a transaction of its own, as one may end in damage."""
    for part in parts:
        watch(part.what, 0, 0)
        try:
            with Session(engine) as session, session.begin():
                yield from at_most(part.name, part.look(session, partial(watch, part.what)))
        except _DAMAGE as error:
            yield Finding(part.name, _unreadable(part.what, error))


def _unreadable(what: Message, error: Exception) -> Message:
    """Say that something cannot be read, and why where that is known."""
    log.info("unreadable: %r", error)
    known = as_outage(error.orig) if isinstance(error, sa.exc.DBAPIError) else None
    if known is not None:
        return known.sentence
    return message("What stands in {what} cannot be read; it is damaged.", what=what)
