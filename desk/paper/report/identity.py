"""Who, where and which appliance: the three blocks under the title of a service report."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from desk.base.texts import _
from desk.paper.kit.date_text import show_date
from desk.paper.kit.id_words import APPLIANCE_KINDS, word
from desk.paper.kit.page import CELL, HEAD_CELL, full_width
from desk.paper.kit.tables import columns
from desk.paper.kit.text import Markup, escape, lines, paragraph, strong
from desk.records.views.parties import ApplianceLine, CustomerLine, PaperSize, PremisesLine
from desk.records.views.report import VisitReport


def identity(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set customer, premises and appliance side by side, those that are known."""
    blocks: list[list[Flowable]] = []
    if report.customer:
        blocks.append(_block(_("Customer"), _customer(report.customer)))
    if report.premises:
        blocks.append(_block(_("Where the work was done"), _premises(report.premises)))
    if report.appliance:
        blocks.append(_block(_("Appliance"), _appliance(report.appliance)))
    if not blocks:
        return []
    width = full_width(paper) / max(len(blocks), 2)
    return [columns(blocks, [width] * len(blocks)), Spacer(0, 8)]


def _block(head: str, content: Markup) -> list[Flowable]:
    return [paragraph(escape(head), HEAD_CELL), Spacer(0, 1.5), paragraph(content, CELL)]


def _customer(customer: CustomerLine) -> Markup:
    return lines(
        strong(customer.name),
        *(escape(line) for line in (*customer.address, *customer.phones, *customer.emails)),
    )


def _premises(premises: PremisesLine) -> Markup:
    supply = ", ".join(
        said
        for said in (
            premises.supply_area and _("supply area {name}", name=premises.supply_area),
            premises.water_source and _("water: {source}", source=premises.water_source),
            premises.fuel and _("fuel: {fuel}", fuel=premises.fuel),
        )
        if said
    )
    return lines(
        *(escape(line) for line in premises.address), escape(supply[:1].upper() + supply[1:])
    )


def _appliance(appliance: ApplianceLine) -> Markup:
    name = " ".join(part for part in (appliance.maker, appliance.model) if part)
    kind = word(APPLIANCE_KINDS, appliance.kind)
    facts = (
        appliance.number and _("No. {number}", number=appliance.number),
        appliance.serial and _("Serial {serial}", serial=appliance.serial),
        appliance.installed and _("Installed {date}", date=show_date(appliance.installed)),
    )
    return lines(
        strong(name or kind),
        escape(kind if name else ""),
        *(escape(fact) for fact in facts if fact),
    )
