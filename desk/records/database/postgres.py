"""A server's office: how PostgreSQL is connected to, and what its errors mean to a person."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

import sqlalchemy as sa
from sqlalchemy import event

from desk.base.errors import ConflictError, InputError, OutageError
from desk.base.office_location import ADDRESS_FORM
from desk.base.texts import Message, message
from desk.records.database.options import APPLICATION_ID, BUSY_MS, WRITES

CONNECT_S = 5
"""How long a server may take to answer the first time."""


def server_engine(url: str, options: Mapping[str, object], *, migrating: bool = False) -> sa.Engine:
    """Return the engine of a server's office; a look is of one moment, as on SQLite.

    Args:
        url: ``postgresql+psycopg://…``.
        options: execution options of every connection.
        migrating: every statement sees what others committed, so that an upgrade that waited
            for another desk's finds it done.

    Raises:
        InputError: it is no address, or asks for what PostgreSQL does not know.
    """
    engine = sa.create_engine(
        _known_address(url),
        isolation_level="READ COMMITTED" if migrating else "REPEATABLE READ",
        pool_pre_ping=True,
        execution_options=dict(options),
        connect_args={
            "connect_timeout": CONNECT_S,
            # A plan made for any word is no good for one: some stand everywhere, most nowhere.
            "options": f"-c timezone=UTC -c lock_timeout={BUSY_MS}"
            " -c plan_cache_mode=force_custom_plan",
        },
    )
    event.listen(engine, "begin", _lock_migrations if migrating else _lock_writers)
    return engine


def _known_address(url: str) -> sa.URL:
    """Return an address whose every part the driver knows; a name is looked for later."""
    import psycopg
    from psycopg.conninfo import make_conninfo
    from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg

    try:
        address = sa.make_url(url)
        # SQLAlchemy's own dialects are not annotated.
        dialect = PGDialect_psycopg()  # type: ignore[no-untyped-call]
        _none, named = dialect.create_connect_args(address)  # type: ignore[no-untyped-call]
        make_conninfo(**named)
    except (ValueError, sa.exc.ArgumentError, psycopg.ProgrammingError) as error:
        raise InputError(_UNKNOWN_PART, field="office", cause=type(error).__name__) from error
    if "\0" in url or not (address.database or address.query):
        raise InputError(
            message("This address names no database; write {form}.", form=ADDRESS_FORM),
            field="office",
        )
    return address


def _lock_writers(connection: sa.Connection) -> None:
    """Let one desk write at a time, as SQLite does.

    LOCK TABLE takes no snapshot, so what is then read is what the last writer left; without
    it every two at once would fail on the running number that both take.
    """
    if connection.get_execution_options().get(WRITES, False):
        connection.exec_driver_sql("LOCK TABLE device IN SHARE ROW EXCLUSIVE MODE")


def _lock_migrations(connection: sa.Connection) -> None:
    """Let one desk upgrade the tables; the others then find it done."""
    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({APPLICATION_ID})")


_SILENT = message("The office's server does not answer. Check the network.")
_OVERTAKEN = "40"
"""Transaction rollback: serialization failures and deadlocks; the same may be tried again."""
_BY_STATE = {
    "55P03": message("Another desk has been writing for long. Wait and repeat it."),
    _OVERTAKEN: message("Another desk wrote at the same time. Nothing was kept; repeat it."),
    "42501": message("The office's server does not let this account do that."),
    "28": message("The office's server does not know this name and password."),
    "3D000": message("The office's server has no such database."),
    "53100": message("The server's disk is full. Nothing was lost; make room and repeat it."),
    "53": message("The office's server has too much to do. Wait and repeat it."),
    "57P": message("The office's server is stopping. Nothing was lost; try later."),
    "58": message("The server's disk fails. Nothing half done was kept."),
    "08": _SILENT,
    "25006": message("The office's server takes no changes now. Wait, or ask who keeps it."),
    "XX001": message("The server's files are damaged. Restore the last backup."),
    "XX002": message("The server's files are damaged. Restore the last backup."),
}
"""What error codes mean, by how they begin (PostgreSQL 15 documentation, appendix A)."""
_UNKNOWN_PART = message("The server's address asks for something that PostgreSQL does not know.")
_BEFORE = "(?:connection is bad: |connection failed: )?(?:connection to server .* failed: )?"
_REFUSED = (
    (r'FATAL:  password authentication failed for user ".*"', _BY_STATE["28"]),
    (r'FATAL:  \S+ authentication failed for user ".*"', _BY_STATE["28"]),
    (r'FATAL:  role ".*" (does not exist|is not permitted to log in)', _BY_STATE["28"]),
    (r"FATAL:  no pg_hba\.conf entry for .*", _BY_STATE["28"]),
    (r"fe_sendauth: no password supplied", _BY_STATE["28"]),
    (r'FATAL:  database ".*" does not exist', _BY_STATE["3D000"]),
    (r"FATAL:  (sorry, too many|too many connections|remaining connection) .*", _BY_STATE["53"]),
    (r"FATAL:  the database system is .*", _BY_STATE["57P"]),
    (r'invalid (\S+ )?value.*', _UNKNOWN_PART),
    (r"failed to resolve host '.*': .*",
     message("The office's server is not found. Check its name.")),
)  # fmt: skip
"""How psycopg says that a connection was not made: of a refusal libpq keeps the server's words and
no SQLSTATE, so these are whole lines of PostgreSQL's own, with any name between quotes. Of a server
that speaks another language it is said that it does not answer."""


def server_outage(error: BaseException | None) -> OutageError | ConflictError | None:
    """Return what an error of psycopg stands for to a person, or None where it is a bug."""
    import psycopg

    if not isinstance(error, psycopg.Error):
        return None
    sentence = _sentence(error.sqlstate, str(error), isinstance(error, psycopg.OperationalError))
    if sentence is None:
        return None
    kind = ConflictError if (error.sqlstate or "").startswith(_OVERTAKEN) else OutageError
    return kind(sentence, cause=str(error), code=error.sqlstate)


@contextmanager
def server_outages() -> Iterator[None]:
    """Turn what a bare connection of psycopg raises into our own errors.

    Raises:
        OutageError: as :func:`server_outage` tells them apart.
    """
    import psycopg

    try:
        yield
    except psycopg.Error as error:
        known = server_outage(error)
        if known is None:
            raise
        raise known from error


def _sentence(code: str | None, text: str, operational: bool) -> Message | None:
    if code is not None:
        return next((said for begin, said in _BY_STATE.items() if code.startswith(begin)), None)
    if not operational:
        return None
    refused = (
        said for words, said in _REFUSED if re.search(f"^{_BEFORE}{words}$", text, re.MULTILINE)
    )
    return next(refused, _SILENT)
