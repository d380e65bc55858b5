"""Customers from a CSV file or vCards, and out to one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file
from desk.base.progress import Watch, unwatched
from desk.base.texts import Message
from desk.records.database.keys import KeyMaker
from desk.records.exchange import CUSTOMERS_IMPORTED
from desk.records.exchange.customer_fields import (
    HEADINGS,
    SEVERAL,
    SINGLE,
    Checked,
    check_rows,
    field_of,
    matched,
)
from desk.records.exchange.customer_staging import Staged, outcome, stage, take_over
from desk.records.exchange.customers_known import customers_there
from desk.records.exchange.vcards import are_vcards, sheet_of_vcards, vcard_of
from desk.records.exchange_kit.csv_read import Sheet, read_text, sheet_of
from desk.records.exchange_kit.intake import Imported
from desk.records.office.office import Office


@dataclass(frozen=True, slots=True)
class StageCustomers:
    """Match the customers of a file with the office's; see `customer_staging.stage`."""

    checked: Checked
    new_key: KeyMaker
    watch: Watch = unwatched

    def run(self, session: Session) -> Staged:
        """Return the file made ready."""
        return stage(session, self.checked, self.new_key, self.watch)


@dataclass(frozen=True, slots=True)
class TakeCustomersOver:
    """Take over a file that was made ready; see `customer_staging.take_over`."""

    what: ClassVar[Message] = CUSTOMERS_IMPORTED
    staged: Staged
    watch: Watch = unwatched

    def run(self, session: Session) -> Imported:
        """Return what came in."""
        return take_over(session, self.staged, self.watch)


def read_customers(path: Path, watch: Watch = unwatched) -> Sheet:
    """Read a file of customers; what it is is known by what stands in it.

    Args:
        path: CSV (see :func:`desk.records.exchange_kit.csv_read.sheet_of`) or vCards.
        watch: told how far it is, where that takes its time.

    Raises:
        InputError: the file cannot be read, is empty, or is neither.
    """
    text = read_text(path)
    if are_vcards(text):
        return sheet_of_vcards(text, watch)
    return sheet_of(text, path, lambda heading: bool(field_of(heading)))


def import_customers(
    office: Office,
    path: Path,
    matches: Mapping[str, str] | None = None,
    *,
    dry_run: bool = False,
    watch: Watch = unwatched,
) -> Imported:
    """Take in the customers of a file in one unit of work, which is undone as one.

    Args:
        office: open.
        path: the file; see `read_customers`.
        matches: headings, each with the field it stands for, where it is not found out.
        dry_run: only say what would be done.
        watch: told how far it is; what it raises leaves the office as it was.

    Raises:
        InputError: the file is none that can be read, or no heading stands for the name.
        OutageError: nothing of it was kept.
    """
    sheet = read_customers(path, watch)
    checked = check_rows(sheet, matched(sheet.headings, matches or {}))
    staged = office.answer(StageCustomers(checked, KeyMaker(office.now), watch))
    if dry_run or not staged.ready:
        return outcome(staged, len(staged.ready))
    return office.carry_out(TakeCustomersOver(staged, watch))


def export_customers(office: Office, path: Output) -> int:
    """Write the customers as CSV, or as vCards where the file's name ends in ``.vcf``.

    In CSV a customer has one line, with as many columns for numbers as one of them has.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.

    Returns:
        How many customers were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with office.read() as session, whole_file(path) as stream:
        if path.name.lower().endswith(".vcf"):
            return sum(1 for each in customers_there(session) if stream.write(vcard_of(each)))
        most = dict.fromkeys(SEVERAL, 1)
        for values in customers_there(session):
            most = {field: max(most[field], len(values[field])) for field in SEVERAL}
        columns = [HEADINGS[field] for field in SINGLE]
        for field in SEVERAL:
            numbered = [f"{HEADINGS[field]} {n}" for n in range(2, most[field] + 1)]
            columns += [HEADINGS[field], *numbered]
        return write_csv(stream, columns, (_line(each, most) for each in customers_there(session)))


def _line(values: Mapping[str, tuple[str, ...]], most: Mapping[str, int]) -> list[str]:
    line = ["".join(values[field]) for field in SINGLE]
    for field in SEVERAL:
        line += [*values[field], *[""] * (most[field] - len(values[field]))]
    return line
