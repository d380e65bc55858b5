"""``drawoff history``: an appliance over its life."""

from __future__ import annotations

import click

from desk.base.errors import InputError
from desk.base.files import Target, write_file
from desk.base.texts import _, message
from desk.cli.kit.options import (
    OUTPUT,
    count_to_output,
    json_option,
    office_option,
    open_office,
    replace_option,
)
from desk.cli.papers.day import PAPERS, paper_named
from desk.records.histories.appliance_history import appliance_by_number, appliance_history


@click.command(help=_("Print the history of an appliance, by its number: every visit to it."))
@click.argument("appliance")
@click.option("--pdf", "pdf", type=OUTPUT, help=_("The file to write."))
@click.option("--paper", type=click.Choice(PAPERS), help=_("The shop's paper unless given."))
@replace_option
@json_option
@office_option
def history(
    appliance: str, *, pdf: Target | None, paper: str | None, as_json: bool, office: str | None
) -> None:
    """Write the history, or answer it in JSON.

    Args:
        appliance: its number.
        pdf: what is printed to; None for none.
        paper: size of the paper; None for the shop's.
        as_json: answer in JSON.
        office: which office; None as in :func:`open_office`.

    Raises:
        InputError: neither a file nor JSON is asked for, both would go to standard output, or there
            is no such appliance.
    """
    if pdf is None and not as_json:
        raise InputError(message("Say where to write the history: --pdf FILE."), field="pdf")
    if as_json and count_to_output(pdf):
        raise InputError(message("Only one answer fits on standard output; name a file."))
    with open_office(office) as opened, opened.read() as session:
        life = appliance_history(session, appliance_by_number(session, appliance))
    if pdf is not None:
        from desk.paper.documents.appliance_history import appliance_history as pages

        write_file(pdf, pages(life, paper=paper_named(paper)))
    if as_json:
        from desk.cli.kit.as_json import as_json as said

        click.echo(said(life))
    elif pdf is not None and not pdf.is_standard_output:
        click.echo(
            _("History of appliance {number} written to {file}.",
              number=life.appliance.number, file=pdf)
        )  # fmt: skip
