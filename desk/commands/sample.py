"""``drawoff sample``: an invented office of any size, the same every time."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path

import click

from desk import paths
from desk.errors import InputError
from desk.wording import _, message


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
@click.option("--as-of", "as_of", help=_("The day it ends on, such as 2026-11-24; today if none."))
def sample(visits: int, out: Path, as_of: str | None) -> None:
    """Build an invented office."""
    paths.offer_sample()
    from sample_db.build import build

    day = _today() if as_of is None else _day(as_of)
    told = build(out, visits=visits, as_of=day, progress=_show if sys.stderr.isatty() else None)
    click.echo(
        _(
            "{file}: {visits} visits, {appliances} appliances, {customers} customers,"
            " {first} to {last}; every name in it is invented.",
            file=out.name,
            visits=told.visits,
            appliances=told.appliances,
            customers=told.customers,
            first=told.first_day.isoformat(),
            last=told.as_of.isoformat(),
        )
    )


def _today() -> date:
    return datetime.now(UTC).astimezone().date()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise InputError(
            message("“{text}” is no day; type it like 2026-11-24.", text=text[:40]), field="as_of"
        ) from error


def _show(done: int, of: int) -> None:
    click.echo(_("{done} of {of} visits", done=done, of=of) + ("\n" if done == of else "\r"),
               nl=False, err=True)  # fmt: skip
