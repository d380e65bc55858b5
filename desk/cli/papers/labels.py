"""``drawoff labels``: labels with a QR code to stick on appliances."""

from __future__ import annotations

import click

from desk.base.files import Target, write_file
from desk.base.texts import _
from desk.cli.kit.options import OUTPUT, office_option, open_office, replace_option
from desk.records.documents.appliance_labels import labels_for
from desk.records.shop.snapshot_lines import letterhead_of


@click.command(
    help=_("Print labels for appliances, by their numbers; a scanned one opens in the find box.")
)
@click.argument("appliances", nargs=-1, required=True, metavar="APPLIANCE...")
@click.option("--pdf", "pdf", type=OUTPUT, required=True, help=_("The file to write."))
@click.option("--sheet", help=_("letter-30, letter-10, a4-24 or a4-21; by the shop's paper."))
@click.option("--used", default=0, help=_("Labels of the first sheet that are gone."))
@replace_option
@office_option
def labels(
    appliances: tuple[str, ...], pdf: Target, sheet: str | None, used: int, office: str | None
) -> None:
    """Write the sheets.

    Args:
        appliances: their numbers.
        pdf: what is written.
        sheet: name of the sheet of labels; None for the one usual on the shop's paper.
        used: how many labels of the first sheet are gone.
        office: which office; None as in :func:`open_office`.
    """
    from desk.paper.documents.appliance_labels import USUAL_SHEETS, appliance_labels

    with open_office(office) as opened, opened.read() as session:
        found = labels_for(session, appliances)
        usual = USUAL_SHEETS[letterhead_of(session).paper]
    write_file(pdf, appliance_labels(found, sheet or usual, used=used))
    if not pdf.is_standard_output:
        click.echo(
            _("Labels for {count} appliances written to {file}.", count=len(found), file=pdf)
        )
