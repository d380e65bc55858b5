"""``drawoff cards``: a checklist to carry, a check on a card."""

from __future__ import annotations

from collections.abc import Mapping

import click

from desk.base import paths
from desk.base.errors import InputError
from desk.base.files import Target, write_file
from desk.base.texts import _, message
from desk.cli.kit.options import OUTPUT, names_an_office, office_option, open_office, replace_option
from desk.records.learning.content_in_use import in_use
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.views.parties import PaperSize
from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content


@click.command(
    help=_(
        "Print a checklist as pocket cards, four to a sheet. The maker's instructions, local codes"
        " and the licensed person on site come first."
    )
)
@click.argument("checklist")
@click.option("--pdf", "pdf", type=OUTPUT, required=True, help=_("The file to write."))
@click.option(
    "--check", "checks", multiple=True, metavar="ID", help=_("Only this check; may be repeated.")
)
@replace_option
@office_option
def cards(checklist: str, pdf: Target, checks: tuple[str, ...], office: str | None) -> None:
    """Write the cards of a list as the office works it, its own checks among them.

    Args:
        checklist: id of the list.
        pdf: what is written.
        checks: ids of the checks that are printed; all of the list for none.
        office: whose lists are meant; None as in :func:`open_office`, the shipped ones where none
            is there.

    Raises:
        InputError: there is no such list.
    """
    from desk.paper.documents.pocket_cards import pocket_cards

    lists, author, paper = _lists(office)
    if checklist not in lists:
        raise InputError(
            message(
                "There is no checklist {checklist}; there are {lists}.",
                checklist=checklist[:40],
                lists=", ".join(lists),
            ),
            field="checklist",
        )
    write_file(pdf, pocket_cards(lists[checklist], checks, author=author, paper=paper))
    if not pdf.is_standard_output:
        click.echo(
            _("Pocket cards of {checklist} written to {file}.", checklist=checklist, file=pdf)
        )


def _lists(office: str | None) -> tuple[Mapping[str, Checklist], str, PaperSize]:
    """Return an office's lists, its name and paper; the shipped lists where there is none."""
    if not names_an_office(office) and not paths.own_office().exists():
        return load_content().checklists, "Drawoff", "letter"
    with open_office(office) as opened, opened.read() as session:
        shop = letterhead_of(session)
        return in_use(session).content.checklists, shop.name, shop.paper
