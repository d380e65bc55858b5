"""Appliances from a CSV file, each at the premises that its row names, and out to one."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.files import Output
from desk.base.texts import message, say
from desk.records.exchange import APPLIANCES_IMPORTED
from desk.records.exchange.premises_of_rows import ImportedSite, Sites, write_sites
from desk.records.exchange_kit.columns import Columns, CsvColumn
from desk.records.exchange_kit.csv_out import export_lines
from desk.records.exchange_kit.field_columns import (
    csv_columns,
    in_own_words,
    line_of,
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
from desk.records.exchange_kit.numbering import Numbers
from desk.records.fields.address_fields import Address
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.journal.field_values import columns_of
from desk.records.journal.journal import unit_of_work
from desk.records.office.office import Office
from desk.records.search.matching_keys import serial_key
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from desk.records.tables.contacts import LINK_ROLES
from desk.records.tables.sequence import in_sequence

COLUMNS = Columns(
    "appliances",
    (
        CsvColumn(
            "number",
            "Number",
            message(
                "The number that the office knows it by; a new one is given where it is empty."
            ),
            ("no", "appliance", "appliancenumber"),
        ),
        CsvColumn(
            "customer",
            "Customer",
            message("The name of whoever has it, as the office has it."),
            ("owner", "customername", "client"),
        ),
        *csv_columns(Address),
        *csv_columns(ApplianceDetails),
    ),
    (("customer", "street"),),
)
_DETAILS = tuple(column.field for column in csv_columns(ApplianceDetails))


@dataclass(frozen=True, slots=True)
class _New:
    """An appliance to write; ``key`` where it was taken back and comes again."""

    number: str
    site: ImportedSite
    values: Mapping[str, object]
    key: uuid.UUID | None


def import_appliances(
    office: Office, path: Path, matches: Mapping[str, str] | None = None, *, dry_run: bool = False
) -> Imported:
    """Take in the appliances of a CSV file in one unit of work; see `intake.take_in`.

    Customers have to be there; premises that are not are entered with the appliance.

    Args:
        office: open.
        path: the file.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.

    Raises:
        InputError, OutageError: nothing of it was kept.
    """
    return take_in(office, path, KIND, matches, dry_run=dry_run)


class _Known:
    """The appliances of the office, and those of the rows that were sorted already."""

    def __init__(self, session: Session, sites: Sites) -> None:
        self._by_number: dict[str, Mapping[str, str]] = {}
        self._by_serial: dict[str, list[Mapping[str, str]]] = {}
        self._at: dict[ImportedSite, list[Mapping[str, str]]] = {}
        for premises_id, line in _lines(session):
            self.add(line, sites.by_key[premises_id])
        self.gone = {
            number: key
            for key, number in session.execute(
                sa.select(Appliance.id, Appliance.number).where(Appliance.withdrawn_at.is_not(None))
            )
        }
        self.again = set(made_and_taken_back(session, Appliance, APPLIANCES_IMPORTED))

    def add(self, line: Mapping[str, str], site: ImportedSite) -> None:
        """Remember one."""
        if line.get("number"):
            self._by_number[line["number"]] = line
        if line.get("serial"):
            self._by_serial.setdefault(serial_key(line["serial"]), []).append(line)
        self._at.setdefault(site, []).append(line)

    def is_there(self, entry: ImportRow, site: ImportedSite) -> bool:
        """Return whether one stands there of which everything that a row says is so."""
        said = {field: text for field in _DETAILS if (text := entry.text(field))}
        return any(
            all(line.get(field, "") == text for field, text in said.items())
            for line in self._at.get(site, ())
        )

    def of(self, entry: ImportRow) -> Mapping[str, str] | None:
        """Return the one that a row means by its number, else by its serial and its maker."""
        if number := entry.text("number"):
            there = self._by_number.get(number)
            if there is not None:
                return there
        found = self._by_serial.get(serial_key(entry.text("serial")), ())
        maker = entry.text("maker").casefold()
        return next(
            (line for line in found if not maker or line.get("maker", "").casefold() == maker),
            None,
        )


def _sort(session: Session, entries: Sequence[ImportRow], occasion: Occasion) -> Sorted[_New]:
    sites = Sites(session)
    known = _Known(session, sites)
    today = occasion.now.astimezone(occasion.zone).date()

    def sort_one(entry: ImportRow) -> _New | None:
        written = _written(entry)
        details = columns_of(
            replace(ApplianceDetails("other"), **said_in(ApplianceDetails, written)), today
        )
        there = known.of(written)
        if there is not None:
            name = say(message("Appliance {number}", number=there.get("number") or there["serial"]))
            check_same(COLUMNS, written, there, name)
            return None
        number = written.text("number")
        key = known.gone.get(number)
        if key is not None and key not in known.again:
            raise InputError(message("appliance {number} was withdrawn here", number=number))
        site = sites.of(written)
        if not number and known.is_there(written, site):
            return None
        known.add(written.values, site)
        return _New(number, site, details, key)

    return sort_each(entries, Sorted(), sort_one)


def _written(entry: ImportRow) -> ImportRow:
    """Return a row in our own way of writing.

    Raises:
        InputError: a kind is none that we know, or a day cannot be read.
    """
    values = in_own_words(ApplianceDetails, entry.values)
    if number := values.get("number"):
        values["number"] = number.upper()
    return ImportRow(entry.line, values)


def _write(session: Session, new: Sequence[_New]) -> None:
    work = unit_of_work(session)
    write_sites(session, [each.site for each in new])
    numbers = Numbers(session, "appliances_made", [each.number for each in new])
    rows = []
    for each in new:
        number = each.number or numbers.next()
        values = {"number": number, "premises_id": each.site.key, **each.values}
        if each.key is None:
            rows.append({"id": work.new_key(), **values})
        else:
            bring_back(session, Appliance, each.key, values)
    write_rows(session, Appliance, rows)


def _lines(session: Session) -> list[tuple[uuid.UUID, dict[str, str]]]:
    """Return the appliances in our own way of writing, each after the key of its premises."""
    tied = _tied(session)
    found = session.execute(
        sa.select(Appliance, Premises)
        .join(Premises, Premises.id == Appliance.premises_id)
        .where(Appliance.withdrawn_at.is_(None))
        .order_by(Appliance.id)
    )
    return [
        (premises.id, _line(appliance, premises, tied.get(premises.id, "")))
        for appliance, premises in found
    ]


def _line(appliance: Appliance, premises: Premises, customer: str) -> dict[str, str]:
    line = {"number": appliance.number, "customer": customer}
    return line | line_of(Address, premises) | line_of(ApplianceDetails, appliance)


def _tied(session: Session) -> dict[uuid.UUID, str]:
    """Return whose the premises are, by name: the owner before occupant and agent."""
    found = session.execute(
        sa.select(PremisesLink.premises_id, PremisesLink.role, Customer.name)
        .join(Customer, Customer.id == PremisesLink.customer_id)
        .where(
            PremisesLink.withdrawn_at.is_(None),
            PremisesLink.until.is_(None),
            Customer.withdrawn_at.is_(None),
        )
        .order_by(*in_sequence(PremisesLink))
    ).all()
    last_first = sorted(found, key=lambda row: LINK_ROLES.index(row.role), reverse=True)
    return {premises_id: name for premises_id, _role, name in last_first}


def export_appliances(office: Office, path: Output) -> int:
    """Write one line an appliance as CSV, with where it stands and whose it is.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many appliances were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """

    def lines_of(session: Session) -> Iterator[Mapping[str, str]]:
        return (line for _key, line in _lines(session))

    return export_lines(office, path, COLUMNS, lines_of)


KIND = ImportKind(COLUMNS, APPLIANCES_IMPORTED, _sort, _write)
