"""``drawoff day``: the sheets that a day's work is done from."""

from __future__ import annotations

from datetime import date

import click

from desk.base.files import Target, write_file
from desk.base.texts import _, plural
from desk.cli.kit.options import DAY, OUTPUT, office_option, open_office, replace_option
from desk.records.documents.day_sheet import day_sheet
from desk.records.views.parties import PaperSize

PAPERS = ("letter", "a4")


@click.command(help=_("Print the visits of a day for those who make them, to a PDF file."))
@click.argument("day", type=DAY, metavar="DATE")
@click.option("--pdf", "pdf", type=OUTPUT, required=True, help=_("The file to write."))
@click.option("--technician", default="", help=_("Whose; everybody's unless given."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@replace_option
@office_option
def day(day: date, pdf: Target, technician: str, paper: str | None, office: str | None) -> None:
    """Write the day sheets and say how many visits stand on them.

    Args:
        day: whose visits are printed.
        pdf: what is written.
        technician: whose visits, by the beginning of the name; "" for everybody's.
        paper: size of the paper; None for the shop's.
        office: which office; None as in :func:`open_office`.
    """
    from desk.paper.documents.day_sheet import day_sheet as pages

    with open_office(office) as opened, opened.read() as session:
        sheet = day_sheet(session, day, technician=technician)
    write_file(pdf, pages(sheet, paper=paper_named(paper)))
    if not pdf.is_standard_output:
        count = sum(len(one.visits) for one in sheet.technicians)
        visits = plural("{count} visit", "{count} visits", count)
        click.echo(_("Day sheet with {visits} written to {file}.", visits=visits, file=pdf))


def paper_named(name: str | None) -> PaperSize | None:
    """Return the paper that was named; None for the shop's own."""
    if name is None:
        return None
    return "letter" if name == "letter" else "a4"
