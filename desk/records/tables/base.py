"""What every table shares: names of constraints, keys, the set that made a row, its version."""

import uuid
from datetime import date, datetime
from typing import Annotated, Any, ClassVar

import sqlalchemy as sa
from sqlalchemy.orm import DeclarativeBase, Mapped, MappedColumn, declared_attr, mapped_column
from sqlalchemy.types import TypeDecorator

from desk.records.database.column_types import REAL, Day, Flag, Instant, Key, Written

NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
}

Words = Annotated[str, mapped_column(Written, server_default=sa.text("''"), default="")]
"""Text that is empty until something is written."""


class Base(DeclarativeBase):
    """The office's tables; strict on SQLite, so that a wrong type is refused on both engines."""

    metadata = sa.MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        uuid.UUID: Key(),
        datetime: Instant(),
        date: Day(),
        bool: Flag(),
        float: REAL,
        int: sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
        str: Written(),
        bytes: sa.LargeBinary(),
    }

    @declared_attr.directive
    def __table_args__(cls) -> tuple[Any, ...]:  # noqa: N805 - SQLAlchemy passes the class
        return table_args()


def table_args(*parts: sa.schema.SchemaItem) -> tuple[Any, ...]:
    """Return a table's constraints and indexes with the options that all tables share."""
    return (*parts, {"sqlite_strict": True})


def link(
    target: str,
    kind: type[TypeDecorator[Any]] = Key,
    *,
    index: bool = False,
    primary_key: bool = False,
    use_alter: bool = False,
    sort_order: int = 0,
) -> MappedColumn[Any]:
    """Return a column that names a row by ``table.column``, checked when the transaction commits.

    Checking at commit lets rows that belong together arrive in any order. The type stands here:
    taken from the other table it would be unknown until that one is mapped, and a statement that
    was compiled meanwhile would be kept without it.

    Args:
        target: what is named.
        kind: the type of what is named.
        index: rows are found by it.
        primary_key: it belongs to the row's own key.
        use_alter: the rule is added after the tables, of which each names the other.
        sort_order: where it stands among the columns, as ``mapped_column`` takes it.
    """
    return mapped_column(
        kind(),
        sa.ForeignKey(
            target,
            ondelete="RESTRICT",
            deferrable=True,
            initially="DEFERRED",
            use_alter=use_alter,
        ),
        index=index,
        primary_key=primary_key,
        sort_order=sort_order,
    )


def one_of(column: str, allowed: tuple[str, ...]) -> sa.CheckConstraint:
    """Return the rule that ``column`` holds one of the words that the program knows."""
    words = ", ".join(f"'{word}'" for word in allowed)
    said = {"column": column, "words": allowed}
    return sa.CheckConstraint(f"{column} IN ({words})", name=column, info=said)


class Made:
    """A row with a key of its own that carries the change set that made it."""

    id: Mapped[uuid.UUID] = mapped_column(primary_key=True, sort_order=-1)

    @declared_attr
    def made_in(cls) -> Mapped[uuid.UUID]:  # noqa: N805 - SQLAlchemy passes the class
        """Return the key of the change set that made the row."""
        return link("change_set.id", index=True, sort_order=90)


class Changeable(Made):
    """A row whose fields may change: journalled, versioned, withdrawn and never deleted."""

    version: Mapped[int] = mapped_column(default=1, sort_order=91)
    withdrawn_at: Mapped[datetime | None] = mapped_column(sort_order=92)

    @declared_attr.directive
    def __mapper_args__(cls) -> dict[str, Any]:  # noqa: N805 - SQLAlchemy passes the class
        return {"version_id_col": cls.version}
