"""``drawoff export``: what is in an office, for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from desk.commands.options import FILE, office_option, open_office
from desk.files import STANDARD_OUTPUT
from desk.records.export import export_everything, export_visits
from desk.wording import _, plural

_KINDS = {"everything": export_everything, "visits": export_visits}


@click.command(
    help=_("Write everything (JSON lines) or the visits (CSV) to a file; - is standard output.")
)
@click.argument("kind", type=click.Choice(sorted(_KINDS)))
@click.argument("file", type=FILE)
@office_option
def export(kind: str, file: Path, office: str | None) -> None:
    """Write an export and say how much it was."""
    with open_office(office) as opened:
        count = _KINDS[kind](opened, file)
    if file != STANDARD_OUTPUT:
        rows = plural("{count} row", "{count} rows", count)
        click.echo(_("{rows} written to {file}.", rows=rows, file=file))
