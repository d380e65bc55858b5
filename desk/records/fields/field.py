"""What a field of a record is: its words, how it is read, where it is kept, shown and exchanged.

The table of fields of a kind is a frozen dataclass, the value that its form hands in: each line is
one attribute and carries its :class:`RecordField`. Form, command, columns, CSV, join and what is
known of a model are made from these lines, so that a new one is written once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Literal, TypedDict, Unpack

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.charging.money import cents_typed
from desk.trade.quantities.typed_quantity import TypedQuantity, parse

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    from desk.trade.quantities.quantity_kinds import QuantityKind

type FieldType = Literal[
    "line", "text", "choice", "day", "quantity", "flag", "money", "count", "key"
]
type InForm = Literal["always", "new", "mended", "never"]
type WhenJoined = Literal["fill", "both", "stays"]
type InMetadata = Mapping[str, RecordField]

_FIELD = "field"
_KEPT_AS: Mapping[FieldType, str] = {"quantity": "_typed", "money": "_cents"}
WITH_UNIT = message("With its unit.")
YES, NO = "yes", "no"


@dataclass(frozen=True, slots=True)
class CsvHeading:
    """The column of a CSV file that holds a field.

    Attributes:
        heading: what stands above it in our own files.
        says: what stands in it.
        also: other headings that plainly mean it, as bare letters.
    """

    heading: str
    says: Message
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FieldQuantity:
    """What a quantity is of; the bounds are in the SI unit of its kind, None for common sense.

    ``column`` keeps it in SI, beside the column of what was typed.
    """

    kind: QuantityKind
    column: str
    lowest: float | None = None
    highest: float | None = None


class Options(TypedDict, total=False):
    """What may be said of any field, as in :class:`RecordField`."""

    hint: Message
    csv: CsvHeading
    in_form: InForm
    after: str
    when_joined: WhenJoined
    of_model: bool
    in_sentence: Message
    needed: Message
    kept_in: str
    folded_in: str


@dataclass(frozen=True, slots=True)
class RecordField:
    """One field of a kind of record.

    Attributes:
        label: what stands above it in a form and beside it on paper.
        type: how it is typed and read.
        name: of the attribute, of the line in the form and, where it has no other, the column.
        hint: what stands in its empty line.
        words: the ids of a choice with their words; ``""`` among them where none is a choice.
        quantity: what it is a quantity of.
        ahead_years: so far ahead a day may lie.
        csv: its column in a CSV file; None where it is not exchanged so.
        in_form: in which form it is typed: what enters a new one, what mends one, or both.
        after: the field that it follows in the form, where that is not the one before it.
        when_joined: of two rows that were the same thing, the one that stays takes it over where
            it says nothing, or both texts are kept, or it stays as it is.
        of_model: whether appliances of one model share it.
        in_sentence: what it is called within a sentence or a list.
        needed: what is said where nothing stands in it; None where it may stay empty.
        kept_in: its column, where that is not called by its name.
        folded_in: the column that keeps it folded beside it.
        is_assumed: whether an empty form says yes.
    """

    label: Message
    type: FieldType
    name: str = ""
    hint: Message | None = None
    words: Mapping[str, Message] = field(default_factory=dict)
    quantity: FieldQuantity | None = None
    ahead_years: int = 0
    csv: CsvHeading | None = None
    in_form: InForm = "always"
    after: str = ""
    when_joined: WhenJoined = "fill"
    of_model: bool = False
    in_sentence: Message | None = None
    needed: Message | None = None
    kept_in: str = ""
    folded_in: str = ""
    is_assumed: bool = False

    @property
    def column(self) -> str:
        """Return the column that keeps it as it was typed."""
        return self.kept_in or f"{self.name}{_KEPT_AS.get(self.type, '')}"

    @property
    def columns(self) -> tuple[str, ...]:
        """Return every column that is written with it."""
        beside = self.quantity.column if self.quantity else self.folded_in
        return (self.column, beside) if beside else (self.column,)

    @property
    def choices(self) -> tuple[str, ...]:
        """Return the ids that may be chosen."""
        return tuple(key for key in self.words if key)

    def as_typed(self, value: object) -> str:
        """Return what is kept of it as it would be typed."""
        if self.type == "money":
            return cents_typed(value if isinstance(value, int) else None)
        return as_typed(value)

    def check_choice(self, chosen: object) -> None:
        """See that an id is one of the choices.

        Raises:
            InputError: it is none.
        """
        if chosen not in self.words:
            allowed = ", ".join(self.choices)
            raise InputError(
                message("{value} is none of {allowed}.", value=chosen, allowed=allowed),
                field=self.name,
            )

    def read(self, text: str) -> TypedQuantity:
        """Return a quantity that was typed.

        Raises:
            InputError: it cannot be read, or cannot be meant.
            TypeError: the field is no quantity.
        """
        of = self.quantity
        if of is None:
            raise TypeError(self.name)
        return parse(text, of.kind, field=self.name, lowest=of.lowest, highest=of.highest)


def as_typed(value: object) -> str:
    """Return a value of a row as a text that could have been typed for it."""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, date):
        return value.isoformat()
    return "" if value is None else str(value)


def line(label: Message, **options: Unpack[Options]) -> InMetadata:
    """Return a field of one typed line."""
    return {_FIELD: RecordField(label, "line", **options)}


def text(label: Message, **options: Unpack[Options]) -> InMetadata:
    """Return a field of free text, of which both are kept where two rows are joined."""
    joined: Options = {"when_joined": "both", **options}
    return {_FIELD: RecordField(label, "text", **joined)}


def choice(label: Message, words: Mapping[str, Message], **options: Unpack[Options]) -> InMetadata:
    """Return a field that is one of the ids that have these words."""
    return {_FIELD: RecordField(label, "choice", words=words, **options)}


def day(label: Message, *, ahead_years: int = 0, **options: Unpack[Options]) -> InMetadata:
    """Return a field that is a day, not further ahead than so many years."""
    return {_FIELD: RecordField(label, "day", ahead_years=ahead_years, **options)}


def quantity(label: Message, of: FieldQuantity, **options: Unpack[Options]) -> InMetadata:
    """Return a field that is a quantity, kept as typed and in SI."""
    return {_FIELD: RecordField(label, "quantity", quantity=of, **options)}


def money(label: Message, **options: Unpack[Options]) -> InMetadata:
    """Return a field that is an amount of money in whole cents."""
    return {_FIELD: RecordField(label, "money", **options)}


def count(label: Message, **options: Unpack[Options]) -> InMetadata:
    """Return a field that is a number of things."""
    return {_FIELD: RecordField(label, "count", **options)}


def flag(label: Message, *, is_assumed: bool = False, **options: Unpack[Options]) -> InMetadata:
    """Return a field that is yes or no, and what an empty form says."""
    return {_FIELD: RecordField(label, "flag", is_assumed=is_assumed, **options)}


def key(label: Message) -> InMetadata:
    """Return a field that names another row."""
    return {_FIELD: RecordField(label, "key")}


def needed(of: InMetadata, why: Message) -> InMetadata:
    """Return a field that has to be filled in here, where elsewhere it may stay empty.

    Args:
        of: what it is there.
        why: said where it is empty.
    """
    return {_FIELD: replace(of[_FIELD], needed=why)}


@cache
def fields_of(kind: type[DataclassInstance]) -> tuple[RecordField, ...]:
    """Return the fields of a kind, in the order of its table."""
    return tuple(
        replace(one.metadata[_FIELD], name=one.name)
        for one in fields(kind)
        if _FIELD in one.metadata
    )


@cache
def as_in_form(kind: type[DataclassInstance]) -> tuple[RecordField, ...]:
    """Return the fields of a kind in the order of its form, with those that it does not have."""
    fields_ = fields_of(kind)
    ordered = [one for one in fields_ if not one.after]
    for one in fields_:
        if one.after:
            before = next(place for place, other in enumerate(ordered) if other.name == one.after)
            ordered.insert(before + 1, one)
    return tuple(ordered)


def names_of(kind: type[DataclassInstance]) -> tuple[str, ...]:
    """Return the names of the fields of a kind, in the order of its table."""
    return tuple(one.name for one in fields_of(kind))


def joined_columns(kind: type[DataclassInstance], when_joined: WhenJoined) -> tuple[str, ...]:
    """Return the columns that are joined in a way where two rows of a kind were the same thing."""
    return tuple(
        column
        for one in fields_of(kind)
        if one.when_joined == when_joined
        for column in one.columns
    )
