"""Pocket cards out of the visit sheet: the check on screen, or the whole list."""

from __future__ import annotations

from dataclasses import dataclass

from desk.base.files import Target, write_file
from desk.base.texts import _
from desk.records.views.parties import PaperSize
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.checklist import Checklist


@dataclass(frozen=True, slots=True)
class SavingCards:
    """Pocket cards on their way to a file.

    Attributes:
        target: the file to write.
        checklist: the edition that the visit is worked with.
        checks: which of its checks; the whole list if none is named.
        author: the shop.
        paper: the sheet they are cut from.
    """

    target: Target
    checklist: Checklist
    checks: tuple[str, ...]
    author: str
    paper: PaperSize

    def write(self) -> Target:
        """Print and write them whole, or not at all."""
        from desk.paper.documents.pocket_cards import pocket_cards  # only here: it brings ReportLab

        write_file(
            self.target,
            pocket_cards(self.checklist, self.checks, author=self.author, paper=self.paper),
        )
        return self.target


def offered_name(checklist: Checklist, check: str) -> str:
    """Return the name of the file to offer."""
    if check:
        number = [*checklist.checks].index(check) + 1
        return _("Pocket card {list} {number}.pdf", list=checklist.id, number=number)
    return _("Pocket cards {list}.pdf", list=checklist.id)


def saving_cards(
    target: Target, sheet: VisitSheet, checklist: Checklist, check: str
) -> SavingCards:
    """Return what saves the card of a check, or the whole list for an empty id.

    Args:
        target: the file that is written.
        sheet: the visit; its letterhead gives the shop's name and paper.
        checklist: the list.
        check: id of the check; "" for the whole list.
    """
    shop = sheet.report.letterhead
    return SavingCards(target, checklist, (check,) if check else (), shop.name, shop.paper)
