"""``drawoff parts-used``: which parts went into the work of some days."""

from __future__ import annotations

from datetime import date

import click

from desk.base.errors import InputError
from desk.base.files import Target, write_file
from desk.base.texts import _, message, plural
from desk.cli.kit.options import (
    DAY,
    OUTPUT,
    count_to_output,
    json_option,
    office_option,
    open_office,
    replace_option,
)
from desk.cli.papers.day import PAPERS, paper_named
from desk.records.stock.usage import parts_used as gathered
from desk.records.stock.usage import write_used
from desk.records.views.shop import PartsUsed
from desk.trade.scheduling.months import month_of


@click.command(
    name="parts-used",
    help=_("Say, print or write which parts were used; those of this month unless days are given."),
)
@click.option("--since", type=DAY, help=_("The first day; that of the last day's month if not."))
@click.option("--until", type=DAY, help=_("The last day; that of the first day's month if not."))
@click.option("--pdf", type=OUTPUT, help=_("Print them to this file."))
@click.option("--csv", type=OUTPUT, help=_("Write the lines to this file."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@replace_option
@json_option
@office_option
def parts_used(
    *,
    since: date | None,
    until: date | None,
    pdf: Target | None,
    csv: Target | None,
    paper: str | None,
    as_json: bool,
    office: str | None,
) -> None:
    """Gather the parts, and answer in every way that was asked for.

    Args:
        since: the first day; None for the first of the month of ``until``, or of this month.
        until: the last day; None for the last of the first day's month.
        pdf: what they are printed to; None for none.
        csv: what the lines are written to; None for none.
        paper: size of the paper; None for the shop's.
        as_json: answer in JSON.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: more than one answer would go to standard output.
    """
    to_output = count_to_output(csv, pdf)
    if to_output + as_json > 1:
        raise InputError(message("Only one answer fits on standard output; name a file."))
    with open_office(office) as opened, opened.read() as session:
        today = opened.calendar().today
        found = gathered(session, *_period(since, until, today))
    if csv is not None:
        write_used(csv, found)
    if pdf is not None:
        from desk.paper.documents.parts_used import parts_used as pages

        write_file(pdf, pages(found, paper=paper_named(paper)))
    if as_json:
        from desk.cli.kit.as_json import as_json as said

        click.echo(said(found))
    elif not to_output:
        click.echo(_as_text(found))


def _period(since: date | None, until: date | None, today: date) -> tuple[date, date]:
    """Return the days that are meant; what is left out is filled up to a whole month."""
    first = since or month_of(until or today)[0]
    return first, until or month_of(first)[1]


def _as_text(found: PartsUsed) -> str:
    lines = [
        _("Parts used, {since} to {until}:", since=found.since.isoformat(),
          until=found.until.isoformat())
    ]  # fmt: skip
    lines += [
        _("  {pieces} × {name} {number}", pieces=one.total.pieces, name=one.name, number=one.number)
        .rstrip()
        for one in found.by_part
    ]  # fmt: skip
    lines.append(plural("{count} piece", "{count} pieces", found.total.pieces))
    return "\n".join(lines)
