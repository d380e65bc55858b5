"""``drawoff cards``: a checklist to carry, a check on a card."""

from __future__ import annotations

from pathlib import Path

import click

from desk.commands.options import FILE, office_option, open_office
from desk.errors import InputError
from desk.files import STANDARD_OUTPUT, write_file
from desk.records.own_checks import in_use
from desk.records.shop import the_shop
from desk.records.snapshots import PaperSize
from desk.wording import _, message


@click.command(
    help=_(
        "Print a checklist as pocket cards, four to a sheet. The maker's instructions, local codes"
        " and the licensed person on site come first."
    )
)
@click.argument("checklist")
@click.option("--pdf", "pdf", type=FILE, required=True, help=_("The file to write."))
@click.option(
    "--check", "checks", multiple=True, metavar="ID", help=_("Only this check; may be repeated.")
)
@office_option
def cards(checklist: str, pdf: Path, checks: tuple[str, ...], office: str | None) -> None:
    """Write the cards of a list as the office works it, its own checks among them."""
    from desk.paper.pocket_cards import pocket_cards

    with open_office(office) as opened, opened.look() as session:
        lists = in_use(session).content.checklists
        shop = the_shop(session)
        author = shop.name
        paper: PaperSize = "letter" if shop.paper == "letter" else "a4"
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
    if pdf != STANDARD_OUTPUT:
        click.echo(
            _("Pocket cards of {checklist} written to {file}.", checklist=checklist, file=pdf)
        )
