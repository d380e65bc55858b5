"""``drawoff sample``: an invented office of any size, the same every time."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path

import click

from desk.base import paths
from desk.base.errors import InputError
from desk.base.files import STANDARD_OUTPUT
from desk.base.texts import _, message, plural
from desk.cli.kit.options import DAY, spare_office_option


@click.command(
    help=_(
        "Build an invented office with so many visits. Its history ends on the day given, where"
        " its day list stands. The same size and day give the same rows."
    )
)
@click.option("--visits", type=int, required=True, help=_("How many visits, exactly."))
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, help=_("The new office's file.")
)
@click.option("--as-of", type=DAY, help=_("The day it ends on, such as 2026-11-24; today if none."))
@spare_office_option
def sample(visits: int, out: Path, as_of: date | None) -> None:
    """Build an invented office.

    Args:
        visits: how many visits it holds.
        out: the file that is made.
        as_of: the last day of its history; None for today in the invented town.

    Raises:
        InputError: ``out`` names no file.
    """
    paths.offer_sample()
    from sample_db.build import build
    from sample_db.town.workdays import local_day

    if not out.name or out == STANDARD_OUTPUT:
        raise InputError(message("Name a file for the sample office."), field="out")
    day = as_of or local_day(datetime.now(UTC))  # the town's day, as its own windows show it
    told = build(out, visits=visits, as_of=day, progress=_show if sys.stderr.isatty() else None)
    click.echo(
        _(
            "{file}: {visits}, {appliances}, {customers}, {first} to {last}; every name in it is"
            " invented.",
            file=out.name,
            visits=plural("{count} visit", "{count} visits", told.visits),
            appliances=plural("{count} appliance", "{count} appliances", told.appliances),
            customers=plural("{count} customer", "{count} customers", told.customers),
            first=told.first_day.isoformat(),
            last=told.as_of.isoformat(),
        )
    )


def _show(done: int, of: int) -> None:
    click.echo(_("{done} of {of} visits", done=done, of=of) + ("\n" if done == of else "\r"),
               nl=False, err=True)  # fmt: skip
