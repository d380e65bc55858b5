"""The chain of the journal: the place of each change set, and what all those before it come to.

What the first ``n`` change sets come to is SHA-256 of what those before came to, followed by the
canonical bytes of the last: its change set and its lines. A change set carries what it *follows*;
what all come to stands at the *head* (`Here`). Two journals with the same head are the same.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Generator, Sequence
from datetime import UTC, date, datetime
from itertools import groupby
from typing import Any

import sqlalchemy as sa

from desk.base.text_folding import kept_text
from desk.records.database.column_types import Instant, Key

NOTHING = bytes(32)
"""What no change sets at all come to."""
_WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_SET = sa.table(
    "change_set",
    sa.column("place", _WHOLE),
    sa.column("id", Key()),
    sa.column("device_id", Key()),
    sa.column("number", _WHOLE),
    sa.column("clock", _WHOLE),
    sa.column("person_id", Key()),
    sa.column("at", Instant()),
    sa.column("zone", sa.Text()),
    sa.column("deed", sa.Text()),
    sa.column("undoes_id", Key()),
    sa.column("desk", sa.Text()),
)
_LINE = sa.table(
    "change",
    sa.column("position", _WHOLE),
    sa.column("table_name", sa.Text()),
    sa.column("row_id", Key()),
    sa.column("field", sa.Text()),
    sa.column("before", sa.Text()),
    sa.column("after", sa.Text()),
)
SET_FIELDS, LINE_FIELDS = (tuple(table.columns.keys()) for table in (_SET, _LINE))
"""What is told of a change set and of a line, in this order; it never changes, or every journal
would."""
_SETS_AT_ONCE = 1_000


def canonical(values: Sequence[object]) -> bytes:
    """Return the bytes that stand for a change set, or for one of its lines."""
    told = [kept_text(one) if isinstance(one := plain(value), str) else one for value in values]
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def plain(value: object) -> object:
    """Return a field's value as JSON takes it, the same on both engines."""
    if isinstance(value, uuid.UUID):
        return value.hex
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()  # as it is read back, whatever zone it came in
    if isinstance(value, date):
        return value.isoformat()
    return value


def follow(before: bytes, change_set: bytes) -> bytes:
    """Return what all change sets come to with one more.

    Args:
        before: what those before it come to, 32 bytes.
        change_set: its canonical bytes: those of its change set, then those of its lines in their
            order.
    """
    return hashlib.sha256(before + change_set).digest()


def heads(
    connection: sa.Connection,
) -> Generator[tuple[int, uuid.UUID, bytes, bytes], None, None]:
    """Give every change set in its place, as it stands in the tables.

    Yields:
        The place, the key of the change set, what it follows by the tables before it, and what
        all come to with it. An import of a hundred thousand lines is held as its bytes alone.
    """
    told = (
        sa.select(_SET, _LINE)
        .select_from(_SET.outerjoin(_LINE, sa.literal_column("change.change_set_id") == _SET.c.id))
        .order_by(_SET.c.place, _LINE.c.position)
    )
    before, last = NOTHING, len(SET_FIELDS)
    with connection.execute(told, execution_options={"yield_per": 4_000}) as rows:
        for of_set, of_lines in groupby(rows, lambda row: tuple(row[:last])):
            digest = hashlib.sha256(before + canonical(of_set))
            for row in of_lines:
                if row[last] is not None:
                    digest.update(canonical(row[last:]))
            yield of_set[0], of_set[1], before, digest.digest()
            before = digest.digest()


def fill(connection: sa.Connection) -> None:
    """Write what every change set follows, and the head, where the places stand already.

    For what was written past the sessions that keep the chain: an upgrade, an invented history.
    """
    place, head = 0, NOTHING
    lot: list[dict[str, Any]] = []
    known = list(heads(connection))  # read before it is written: the same table
    write = (
        sa.text("UPDATE change_set SET follows = :follows WHERE id = :key")
        .bindparams(sa.bindparam("follows", type_=sa.LargeBinary()))
        .bindparams(sa.bindparam("key", type_=Key()))
    )
    for place, key, before, head in known:  # noqa: B007 - the last ones are the head
        lot.append({"follows": before, "key": key})
        if len(lot) == _SETS_AT_ONCE:
            connection.execute(write, lot)
            lot = []
    if lot:
        connection.execute(write, lot)
    connection.execute(
        sa.text("UPDATE here SET sets = :place, head = :head").bindparams(
            sa.bindparam("head", type_=sa.LargeBinary())
        ),
        {"place": place, "head": head},
    )
