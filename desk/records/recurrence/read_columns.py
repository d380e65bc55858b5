"""The one statement that reads the visits of an office into columns, for both engines."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from contextlib import closing
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, Session

from desk.base.progress import Watch
from desk.records.recurrence.groupings import Also
from desk.records.tables import Visit
from desk.trade.job_columns.visit_columns import (
    CALLED_OFF,
    LATER,
    LEFT,
    NEVER,
    NOBODY,
    WITHDRAWN,
    Coder,
    ReadPieces,
    VisitColumns,
    columns_of,
)

AT_ONCE = 2_000
"""Rows of a piece: as many as stay in a processor's cache."""


def read_visits(
    session: Session,
    also: Sequence[Also] = (),
    *,
    until_us: int,
    watch: Watch,
) -> VisitColumns:
    """Read the visits of an office.

    Args:
        session: looking.
        also: further columns.
        until_us: calls received at this time or later do not exist yet, in microseconds; they
            and the withdrawn visits are only counted.
        watch: told after each piece.
    """
    coders = [Coder(""), Coder(), *(Coder() for _column in also)]
    read = ReadPieces(words=[[] for _coder in coders])
    total = session.scalar(sa.select(sa.func.count()).select_from(Visit)) or 0
    done = 0
    with closing(_rows(session, also, until_us)) as pieces:  # also where somebody stops the work
        for rows in pieces:
            read.take(rows, coders)
            done += len(rows)
            watch(done, total)
    return columns_of(read, [coder.values for coder in coders], watch)


def _rows(
    session: Session, also: Sequence[Also], until_us: int
) -> Generator[Sequence[Sequence[Any]]]:
    """Give the rows in pieces; those of a file as its driver hands them out, which is faster."""
    connection = session.connection()
    on_server = connection.dialect.name == "postgresql"
    received = _micros(Visit.received_at, on_server=on_server)
    finished = _micros(Visit.finished_at, on_server=on_server)
    nobody = sa.literal(NOBODY, sa.LargeBinary)
    said = sa.select(
        key_bytes(Visit.id, on_server=on_server),
        key_bytes(Visit.continues_id, on_server=on_server),
        sa.func.coalesce(key_bytes(Visit.appliance_id, on_server=on_server), nobody),
        sa.case(
            (Visit.withdrawn_at.is_not(None), WITHDRAWN),
            (received >= until_us, LATER),
            (Visit.state == "called_off", CALLED_OFF),
            (Visit.ending == "left", LEFT),
            else_=0,
        ),
        received,
        sa.func.coalesce(finished, NEVER),
        Visit.complaint,
        Visit.cause,
        *(one.value for one in also),
    ).select_from(Visit)
    for table, condition in dict(join for one in also for join in one.joins).items():
        said = said.outerjoin(table, condition)
    if on_server:  # it keeps the rows and hands them out piece by piece
        with connection.execute(said, execution_options={"yield_per": AT_ONCE}) as found:
            yield from found.partitions()
        return
    with closing(connection.execute(said)) as found:
        while rows := found.cursor.fetchmany(AT_ONCE):
            yield rows


def key_bytes(column: InstrumentedAttribute[Any], *, on_server: bool) -> sa.ColumnElement[Any]:
    """Return a key as its sixteen bytes."""
    return sa.func.uuid_send(column) if on_server else sa.type_coerce(column, sa.types.NULLTYPE)


def _micros(column: InstrumentedAttribute[Any], *, on_server: bool) -> sa.ColumnElement[Any]:
    """Return a time as whole microseconds since 1970, UTC; SQLite keeps it as ISO text."""
    if on_server:
        return sa.cast(sa.extract("epoch", column) * 1_000_000, sa.BigInteger)
    text = sa.type_coerce(column, sa.Text)
    rest = sa.cast(sa.func.substr(text, 21, 6), sa.Integer)
    return sa.func.unixepoch(sa.func.substr(text, 1, 19)) * 1_000_000 + rest
