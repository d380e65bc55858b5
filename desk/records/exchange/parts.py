"""The catalogue of parts from a CSV file, and out to one."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.files import Output
from desk.base.texts import message, say
from desk.records.exchange import PARTS_IMPORTED
from desk.records.exchange_kit.columns import Columns, CsvColumn
from desk.records.exchange_kit.csv_out import export_lines
from desk.records.exchange_kit.field_columns import (
    csv_columns,
    in_own_words,
    line_of,
    pieces,
    said_in,
)
from desk.records.exchange_kit.intake import (
    Imported,
    ImportKind,
    ImportRow,
    Occasion,
    Sorted,
    bring_back,
    check_same,
    made_and_taken_back,
    sort_each,
    take_in,
    write_rows,
)
from desk.records.fields.part_fields import PartDetails
from desk.records.journal.field_values import columns_of
from desk.records.journal.journal import unit_of_work
from desk.records.office.office import Office
from desk.records.tables import Part, StockMovement

COLUMNS = Columns(
    "parts",
    (
        *csv_columns(PartDetails),
        CsvColumn(
            "shelf",
            "On the shelf",
            message("How many pieces lie on the shelf."),
            ("stock", "quantity", "qty", "onhand", "quantityonhand"),
        ),
    ),
    (("number",), ("name",)),
    filled=("number", "name"),
)


@dataclass(frozen=True, slots=True)
class _New:
    """A part to write, as its columns; ``key`` where it was taken back and comes again."""

    values: Mapping[str, object]
    shelf: int
    key: uuid.UUID | None


def import_parts(
    office: Office, path: Path, matches: Mapping[str, str] | None = None, *, dry_run: bool = False
) -> Imported:
    """Take in the parts of a CSV file in one unit of work; see `intake.take_in`.

    Args:
        office: open.
        path: the file.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.

    Raises:
        InputError, OutageError: nothing of it was kept.
    """
    return take_in(office, path, KIND, matches, dry_run=dry_run)


def _sort(session: Session, entries: Sequence[ImportRow], occasion: Occasion) -> Sorted[_New]:
    today = occasion.now.astimezone(occasion.zone).date()
    there = {line["number"]: line for line in _lines(session)}
    again = set(made_and_taken_back(session, Part, PARTS_IMPORTED))
    gone = {
        number: key
        for key, number in session.execute(
            sa.select(Part.id, Part.number).where(Part.withdrawn_at.is_not(None))
        )
    }

    def sort_one(entry: ImportRow) -> _New | None:
        written = _written(entry)
        number = written.text("number")
        if number in there:
            check_same(
                COLUMNS, written, there[number], say(message("Part {number}", number=number))
            )
            return None
        key = gone.get(number)
        if key is not None and key not in again:
            raise InputError(message("part {number} was withdrawn here", number=number))
        there[number] = dict(written.values)
        values = columns_of(PartDetails(**said_in(PartDetails, written)), today)
        return _New(values, int(written.text("shelf") or 0), key)

    return sort_each(entries, Sorted(), sort_one)


def _written(entry: ImportRow) -> ImportRow:
    """Return a row in our own way of writing.

    Raises:
        InputError: number or name is missing, or a price or a count cannot be read.
    """
    for field, why in (
        ("number", message("it has no number")),
        ("name", message("it has no name")),
    ):
        if not entry.values[field]:
            raise InputError(why)
    values = in_own_words(PartDetails, entry.values)
    if shelf := values.get("shelf"):
        values["shelf"] = pieces(shelf)
    return ImportRow(entry.line, values)


def _write(session: Session, new: Sequence[_New]) -> None:
    work = unit_of_work(session)
    keys = [each.key or work.new_key() for each in new]
    for each in new:
        if each.key is not None:
            bring_back(session, Part, each.key, each.values)
    write_rows(
        session,
        Part,
        [
            {"id": key, **each.values}
            for key, each in zip(keys, new, strict=True)
            if each.key is None
        ],
    )
    write_rows(
        session,
        StockMovement,
        [
            {"part_id": key, "kind": "counted", "pieces": each.shelf, "at": work.now()}
            for key, each in zip(keys, new, strict=True)
            if each.shelf
        ],
    )


def _lines(session: Session) -> list[dict[str, str]]:
    """Return the catalogue in our own way of writing, by number."""
    shelf = (
        sa.select(sa.func.coalesce(sa.func.sum(StockMovement.pieces), 0))
        .where(StockMovement.part_id == Part.id, StockMovement.van_of_id.is_(None))
        .scalar_subquery()
    )
    found = session.execute(
        sa.select(Part, shelf).where(Part.withdrawn_at.is_(None)).order_by(Part.id)
    )
    return [line_of(PartDetails, part) | {"shelf": str(held)} for part, held in found]


def export_parts(office: Office, path: Output) -> int:
    """Write one line a part of the catalogue as CSV.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many parts were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    return export_lines(office, path, COLUMNS, _lines)


KIND = ImportKind(COLUMNS, PARTS_IMPORTED, _sort, _write)
