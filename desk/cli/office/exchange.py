"""``drawoff export`` and ``import``: what goes out for other programs and comes in from them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from desk.base.errors import InputError
from desk.base.files import Target
from desk.base.texts import _, message, plural, say
from desk.cli.kit.options import (
    DAY,
    FILE,
    OUTPUT,
    office_option,
    open_office,
    place_named,
    replace_option,
)
from desk.records.exchange.appliances import export_appliances, import_appliances
from desk.records.exchange.customers import export_customers, import_customers
from desk.records.exchange.icalendar_out import export_day
from desk.records.exchange.parts import export_parts, import_parts
from desk.records.exchange.visits import import_visits
from desk.records.exchange.visits_out import export_visits
from desk.records.exchange_kit.intake import Imported
from desk.records.whole_office.dump import export_everything

_KINDS = {
    "appliances": export_appliances,
    "customers": export_customers,
    "everything": export_everything,
    "parts": export_parts,
    "visits": export_visits,
}
_TAKEN_IN = {
    "appliances": import_appliances,
    "customers": import_customers,
    "parts": import_parts,
    "visits": import_visits,
}


@click.command(
    help=_(
        "Write everything (JSON lines), the appliances, customers, parts or visits (CSV) or the"
        " day list (iCalendar) to a file; - is standard output."
    )
)
@click.argument("kind", type=click.Choice(sorted((*_KINDS, "day"))))
@click.argument("file", type=OUTPUT)
@click.option("--date", "day", type=DAY, help=_("Of the day list; today unless given."))
@click.option("--technician", help=_("Whose day list; everybody's unless given."))
@replace_option
@office_option
def export(
    kind: str, file: Target, day: date | None, technician: str | None, office: str | None
) -> None:
    """Write an export and say how much it was.

    Args:
        kind: what goes out: one of the exports, or ``day`` for the day list.
        file: what is written.
        day: of the day list; None for today by the office's clock.
        technician: whose day list, by name in any capitals; None for everybody's.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: a day or a technician is named for another export than the day list.
    """
    if kind != "day" and (day is not None or technician is not None):
        raise InputError(message("A date and a technician belong to the day list."), field="date")
    with open_office(office) as opened:
        if kind == "day":
            today = opened.now().astimezone(ZoneInfo(opened.zone)).date()
            count = export_day(opened, file, day or today, technician=technician or "")
        else:
            count = _KINDS[kind](opened, file)
    if not file.is_standard_output:
        rows = plural("{count} row", "{count} rows", count)
        click.echo(_("{rows} written to {file}.", rows=rows, file=file))


@click.command(
    name="import",
    help=_(
        "Take in appliances, customers, parts or finished visits from a CSV file, customers also"
        " from vCards, or everything that was exported into a new office."
    ),
)
@click.argument("kind", type=click.Choice(sorted((*_TAKEN_IN, "everything"))))
@click.argument("file", type=FILE)
@click.option(
    "--match", "matches", multiple=True, metavar="HEADING=FIELD", help=_("What a heading means.")
)
@click.option("--dry-run", is_flag=True, help=_("Only say what would be done."))
@office_option
def import_(
    kind: str,
    file: Path,
    matches: tuple[str, ...],
    dry_run: bool,
    office: str | None,
) -> None:
    """Take in a file and say how many came in, were already there or were refused, and why.

    Args:
        kind: what comes in: one of the imports, or ``everything`` into a new office.
        file: what is read.
        matches: what headings mean, each as ``HEADING=FIELD``.
        dry_run: nothing is changed; it is only said what would be.
        office: which office; None as in :func:`open_office`.
    """
    if kind == "everything":
        _take_everything(file, office, matches=matches, dry_run=dry_run)
        return
    matched = dict(_match(text) for text in matches)
    with _garbage_left_lying(), open_office(office, writes=not dry_run) as opened:
        done = _TAKEN_IN[kind](opened, file, matched, dry_run=dry_run)
    if dry_run:
        click.echo(_("Nothing was changed. This is what would be done:"))
    _tell(done)


def _take_everything(
    file: Path, office: str | None, *, matches: tuple[str, ...], dry_run: bool
) -> None:
    """Take a whole office in, or only read the file to its end, and say how much it was."""
    from desk.records.whole_office.load import check_everything, import_everything

    if matches:
        raise InputError(message("Headings belong to a CSV file."), field="match")
    count = check_everything(file) if dry_run else import_everything(place_named(office), file)
    if dry_run:
        click.echo(_("Nothing was changed. This is what would be done:"))
    click.echo(_("Came in: {count}", count=plural("{count} row", "{count} rows", count)))


@contextmanager
def _garbage_left_lying() -> Iterator[None]:
    """Look for no garbage meanwhile: what is read is kept to the end, and the looking adds up."""
    looked_for = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looked_for:
            gc.enable()


def _match(text: str) -> tuple[str, str]:
    heading, sign, field = text.rpartition("=")
    if not sign:
        raise InputError(message("“{text}” is no HEADING=FIELD.", text=text), field="match")
    return heading, field.strip().lower()


def _tell(done: Imported) -> None:
    click.echo(_("Came in: {count}", count=done.came_in))
    click.echo(_("Already there: {count}", count=done.already_there))
    click.echo(_("Refused: {count}", count=len(done.refused)))
    for refusal in done.refused:
        click.echo(_("Line {line}: {why}.", line=refusal.line, why=say(refusal.why)))
    if done.unused:
        click.echo(_("Columns not used: {headings}", headings=", ".join(done.unused)))
