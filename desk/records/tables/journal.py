"""The journal: who did what, where, in which order, and what each field held before."""

import uuid
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, mapped_column

from desk.records.tables.base import Base, Words, link, one_of, table_args

DEVICE_KINDS = ("office", "laptop")


class Device(Base):
    """A machine that can make visits alone: its prefix and counters make numbers nobody else makes.

    The counters are bookkeeping and not journalled. ``clock`` is the highest that this device has
    seen on a change set, its own or one that a merge brought.
    """

    __tablename__ = "device"
    __table_args__ = table_args(sa.UniqueConstraint("prefix"), one_of("kind", DEVICE_KINDS))

    id: Mapped[uuid.UUID] = mapped_column(primary_key=True)
    name: Mapped[str]
    kind: Mapped[str] = mapped_column(default="office")
    prefix: Mapped[str]
    sets_made: Mapped[int] = mapped_column(default=0)
    clock: Mapped[int] = mapped_column(default=0, server_default=sa.text("0"))
    visits_made: Mapped[int] = mapped_column(default=0)
    appliances_made: Mapped[int] = mapped_column(default=0)


class Here(Base):
    """One row: the device that writes in this file, and the head of its journal.

    Attributes:
        generation: another one wherever the file was made anew from another: copied, upgraded,
            mended.
        sets: how many change sets the journal has.
        head: what they come to (:mod:`desk.records.journal.chain`).
        log_began: how many it had when the write-ahead log began that lies beside the file.
    """

    __tablename__ = "here"
    __table_args__ = table_args(sa.CheckConstraint("id = 1", name="only_one"))

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    device_id: Mapped[uuid.UUID] = link("device.id")
    generation: Mapped[uuid.UUID]
    sets: Mapped[int] = mapped_column(default=0, server_default=sa.text("0"))
    head: Mapped[bytes]
    log_began: Mapped[int] = mapped_column(default=0, server_default=sa.text("0"))


class ChangeSet(Base):
    """One act of a person: all its changes were committed together.

    ``number`` is the device's own running number. ``clock`` puts the change sets of all devices in
    order: one more than the highest that the device had seen (Lamport 1978, "Time, Clocks, and the
    Ordering of Events in a Distributed System"), ties going by device. ``at`` is only told.
    ``desk`` names the machine at which it was done: several share a server's device. ``place`` is
    where it stands in this office's journal, ``follows`` what all before it come to
    (:mod:`desk.records.journal.chain`).
    """

    __tablename__ = "change_set"
    __table_args__ = table_args(
        sa.UniqueConstraint("device_id", "number"),
        sa.UniqueConstraint("clock", "device_id"),
        sa.UniqueConstraint("place"),
    )

    id: Mapped[uuid.UUID] = mapped_column(primary_key=True)
    device_id: Mapped[uuid.UUID] = link("device.id")
    number: Mapped[int]
    clock: Mapped[int]
    person_id: Mapped[uuid.UUID | None] = link("person.id", use_alter=True)
    at: Mapped[datetime]
    zone: Mapped[str]
    deed: Mapped[str]
    undoes_id: Mapped[uuid.UUID | None] = link("change_set.id")
    desk: Mapped[Words]
    place: Mapped[int]
    follows: Mapped[bytes]


class Change(Base):
    """One field of one row: what it held before and after, as canonical JSON."""

    __tablename__ = "change"
    __table_args__ = table_args(sa.Index("ix_change_row", "row_id", "table_name"))

    change_set_id: Mapped[uuid.UUID] = link("change_set.id", primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    table_name: Mapped[str]
    row_id: Mapped[uuid.UUID]
    field: Mapped[str]
    before: Mapped[str]
    after: Mapped[str]


class Conflict(Base):
    """A field changed differently by office and laptop; the office's value stands until chosen."""

    __tablename__ = "conflict"

    id: Mapped[uuid.UUID] = mapped_column(primary_key=True)
    made_in: Mapped[uuid.UUID] = link("change_set.id")
    table_name: Mapped[str]
    row_id: Mapped[uuid.UUID]
    field: Mapped[str]
    base_value: Mapped[str]
    office_value: Mapped[str]
    laptop_value: Mapped[str]
    chosen: Mapped[Words]
    settled_in: Mapped[uuid.UUID | None] = link("change_set.id")
