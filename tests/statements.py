"""Statements are compiled once a run: every test opens an office, and so an engine, of its own.

SQLAlchemy keeps what it compiled by the engine's dialect object. Dialects of one class that write
parameters alike compile alike, so here they count as one and their engines share what is kept.
"""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.util import LRUCache

_MOST = 2000
_make_engine = sa.create_engine


def share() -> None:
    """Let all engines that are made from now on share their compiled statements."""
    for dialect in (PGDialect_psycopg, SQLiteDialect_pysqlite):
        dialect.__hash__ = _hash_of  # type: ignore[method-assign]
        dialect.__eq__ = _is_alike  # type: ignore[assignment,method-assign]
    sa.create_engine = _sharing


_KEPT: LRUCache[Any, Any] = LRUCache(_MOST)


def _sharing(*args: Any, **named: Any) -> sa.Engine:
    options = {"compiled_cache": _KEPT} | dict(named.pop("execution_options", {}))
    return _make_engine(*args, execution_options=options, **named)


def _hash_of(dialect: Any) -> int:
    return hash((type(dialect), dialect.paramstyle))


def _is_alike(one: Any, other: object) -> bool:
    return type(one) is type(other) and one.paramstyle == getattr(other, "paramstyle", None)
