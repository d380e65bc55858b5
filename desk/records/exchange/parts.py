"""The catalogue of parts from a CSV file, and out to one."""

from __future__ import annotations

import re
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
from desk.records.journal.journal import unit_of_work
from desk.records.office.office import Office
from desk.records.tables import Part, StockMovement
from desk.trade.charging.money import cents_typed, read_cents

COLUMNS = Columns(
    "parts",
    (
        CsvColumn(
            "number",
            "Number",
            message("The part's number in the catalogue."),
            ("no", "partnumber", "partno", "sku", "itemnumber"),
        ),
        CsvColumn(
            "name",
            "Name",
            message("What the part is."),
            ("part", "description", "partname", "item", "itemname"),
        ),
        CsvColumn(
            "price",
            "Price",
            message("The price of one, such as 12.50."),
            ("unitprice", "listprice", "sellingprice"),
        ),
        CsvColumn(
            "keep_at_least",
            "Keep at least",
            message("How many pieces the shop means to have."),
            ("minimum", "reorderpoint", "reorderlevel", "minstock"),
        ),
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
_PRICE = re.compile(r"[^\d\s.,-]?\s*(?P<whole>\d{1,3}(,\d{3})+|\d{1,9})([.,](?P<cents>\d{1,2}))?")
_MOST_PIECES = 1_000_000


@dataclass(frozen=True, slots=True)
class _New:
    """A part to write, as its columns; ``key`` where it was taken back and comes again."""

    values: Mapping[str, object]
    shelf: int
    key: uuid.UUID | None


def import_parts(
    office: Office, path: Path, matches: Mapping[str, str] | None = None, *, dry_run: bool = False
) -> Imported:
    """Take in the parts of a CSV file in one deed; see `intake.take_in`.

    Raises:
        InputError, OutageError: nothing of it was kept.
    """
    return take_in(office, path, KIND, matches, dry_run=dry_run)


def _sort(session: Session, entries: Sequence[ImportRow], _occasion: Occasion) -> Sorted[_New]:
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
        price = written.text("price")
        values = {
            "number": number,
            "name": written.text("name"),
            "price_cents": read_cents(price, field="price"),
            "keep_at_least": int(written.text("keep_at_least") or 0),
        }
        return _New(values, int(written.text("shelf") or 0), key)

    return sort_each(entries, Sorted(), sort_one)


def _written(entry: ImportRow) -> ImportRow:
    """Return a row in our own way of writing.

    Raises:
        InputError: number or name is missing, or a price or a count cannot be read.
    """
    values = dict(entry.values)
    for field, why in (
        ("number", message("it has no number")),
        ("name", message("it has no name")),
    ):
        if not values[field]:
            raise InputError(why)
    if price := values.get("price"):
        values["price"] = _price(price)
    for field in ("keep_at_least", "shelf"):
        if text := values.get(field):
            values[field] = _pieces(text)
    return ImportRow(entry.line, values)


def _price(text: str) -> str:
    read = _PRICE.fullmatch(text)
    if read is None:
        raise InputError(message("“{text}” is no price; write one such as 12.50", text=text[:40]))
    cents = (read["cents"] or "").ljust(2, "0")
    return f"{int(read['whole'].replace(',', ''))}.{cents}"


def _pieces(text: str) -> str:
    plain = text.removesuffix(".0").removesuffix(".00")
    if not (plain.isascii() and plain.isdigit()) or int(plain) > _MOST_PIECES:
        raise InputError(
            message("“{text}” is no number of pieces; write one from 0", text=text[:40])
        )
    return str(int(plain))


def _write(session: Session, new: Sequence[_New]) -> None:
    deed = unit_of_work(session)
    keys = [each.key or deed.new_key() for each in new]
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
            {"part_id": key, "kind": "counted", "pieces": each.shelf, "at": deed.now()}
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
        sa.select(Part.number, Part.name, Part.price_cents, Part.keep_at_least, shelf)
        .where(Part.withdrawn_at.is_(None))
        .order_by(Part.id)
    )
    return [
        {
            "number": number,
            "name": name,
            "price": cents_typed(cents),
            "keep_at_least": str(least),
            "shelf": str(pieces),
        }
        for number, name, cents, least, pieces in found
    ]


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
