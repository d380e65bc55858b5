"""Column types that keep the same values on both engines, in STRICT tables on SQLite."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime
from typing import Any

import sqlalchemy as sa
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator, TypeEngine

from desk.base.text_folding import kept_text


class Written(TypeDecorator[str]):
    """Text, as :func:`kept_text` leaves it."""

    impl = sa.Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Turn text into what both engines keep."""
        return value and kept_text(value)


class Key(TypeDecorator[uuid.UUID]):
    """A UUID: 16 bytes on SQLite, ``uuid`` on PostgreSQL."""

    impl = sa.LargeBinary
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Choose the engine's own type."""
        if dialect.name == "postgresql":
            return dialect.type_descriptor(sa.Uuid())
        return dialect.type_descriptor(sa.LargeBinary(16))

    def process_bind_param(self, value: uuid.UUID | None, dialect: Dialect) -> Any:
        """Turn a UUID into what the engine keeps."""
        if value is None or dialect.name == "postgresql":
            return value
        return value.bytes

    def process_result_value(self, value: Any, dialect: Dialect) -> uuid.UUID | None:
        """Turn what the engine keeps into a UUID."""
        if value is None or isinstance(value, uuid.UUID):
            return value
        return uuid.UUID(bytes=value)


class Instant(TypeDecorator[datetime]):
    """An aware time, kept as UTC to the microsecond; ISO text on SQLite, so that it sorts."""

    impl = sa.Text
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Choose the engine's own type."""
        if dialect.name == "postgresql":
            return dialect.type_descriptor(sa.DateTime(timezone=True))
        return dialect.type_descriptor(sa.Text())

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """Refuse a time without a zone; keep the others as UTC.

        Raises:
            ValueError: the time has no zone.
        """
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without a zone cannot be kept")
        utc = value.astimezone(UTC)
        return utc if dialect.name == "postgresql" else utc.isoformat(timespec="microseconds")

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Return an aware UTC time."""
        if value is None:
            return None
        when = value if isinstance(value, datetime) else datetime.fromisoformat(value)
        return when.astimezone(UTC)


class Day(TypeDecorator[date]):
    """A calendar day; ISO text on SQLite."""

    impl = sa.Text
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Choose the engine's own type."""
        chosen = sa.Date() if dialect.name == "postgresql" else sa.Text()
        return dialect.type_descriptor(chosen)

    def process_bind_param(self, value: date | None, dialect: Dialect) -> Any:
        """Turn a day into what the engine keeps."""
        if value is None or dialect.name == "postgresql":
            return value
        return value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """Return a day."""
        if value is None or isinstance(value, date):
            return value
        return date.fromisoformat(value)


class Flag(TypeDecorator[bool]):
    """Yes or no; 0 or 1 on SQLite."""

    impl = sa.Integer
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        """Choose the engine's own type."""
        chosen = sa.Boolean() if dialect.name == "postgresql" else sa.Integer()
        return dialect.type_descriptor(chosen)

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> Any:
        """Turn a flag into what the engine keeps."""
        if value is None or dialect.name == "postgresql":
            return value
        return int(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        """Return a flag."""
        return None if value is None else bool(value)


REAL: sa.Double[float] = sa.Double().with_variant(sa.REAL(), "sqlite")
"""A double-precision number on both engines."""
