"""A server's office: how PostgreSQL is connected to, and what its errors mean to a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

import sqlalchemy as sa
from sqlalchemy import event

from desk.errors import ConflictError, OutageError
from desk.records.engine import APPLICATION_ID, BUSY_MS, WRITES
from desk.wording import Message, message

CONNECT_S = 5
"""How long a server may take to answer the first time."""


def server_engine(url: str, options: Mapping[str, object], *, migrating: bool = False) -> sa.Engine:
    """Return the engine of a server's office; a look is of one moment, as on SQLite.

    Args:
        url: ``postgresql+psycopg://…``.
        options: execution options of every connection.
        migrating: every statement sees what others committed, so that an upgrade that waited
            for another desk's finds it done.
    """
    engine = sa.create_engine(
        url,
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


def _lock_writers(connection: sa.Connection) -> None:
    """Let one desk write at a time, as SQLite does.

    LOCK TABLE takes no snapshot, so what the deed then reads is what the last writer left; without
    it every two deeds at once would fail on the running number that both take.
    """
    if connection.get_execution_options().get(WRITES, False):
        connection.exec_driver_sql("LOCK TABLE device IN SHARE ROW EXCLUSIVE MODE")


def _lock_migrations(connection: sa.Connection) -> None:
    """Let one desk upgrade the tables; the others then find it done."""
    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({APPLICATION_ID})")


_SILENT = message("The office's server does not answer. Check the network.")
_OVERTAKEN = "40"
"""Transaction rollback: serialization failures and deadlocks; the same may be tried again."""
_BY_STATE = (
    ("55P03", message("Another desk has been writing for long. Wait and repeat it.")),
    (_OVERTAKEN, message("Another desk wrote at the same time. Nothing was kept; repeat it.")),
    ("42501", message("The office's server does not let this account do that.")),
    ("28", message("The office's server does not know this name and password.")),
    ("3D000", message("The office's server has no such database.")),
    ("53100", message("The server's disk is full. Nothing was lost; make room and repeat it.")),
    ("53", message("The office's server has too much to do. Wait and repeat it.")),
    ("57P", message("The office's server is stopping. Nothing was lost; try later.")),
    ("58", message("The server's disk fails. Nothing half done was kept.")),
    ("08", _SILENT),
)
"""What error codes mean, by how they begin (PostgreSQL 15 documentation, appendix A)."""
_BY_WORDS = (
    ("password", _BY_STATE[3][1]),
    ("authentication", _BY_STATE[3][1]),
    ("role", _BY_STATE[3][1]),
    ("database", _BY_STATE[4][1]),
    ("resolve", message("The office's server is not found. Check its name.")),
)
"""What an error without a code says: there was no connection yet."""


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
        return next((said for begin, said in _BY_STATE if code.startswith(begin)), None)
    if not operational:
        return None
    # A refused log-in names role or database after the last colon-parted "FATAL".
    fatal = text.rpartition("FATAL:")[2] if "FATAL:" in text else text
    named = (said for word, said in _BY_WORDS if word in fatal)
    return next(named, _SILENT)
