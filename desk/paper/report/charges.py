"""What was charged: every line, the tax and how it is reckoned, and the total."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.colors import white
from reportlab.platypus import Flowable, TableStyle

from desk.base import texts
from desk.base.texts import _
from desk.paper.kit.page import BODY, FINE, INK, column_width, section
from desk.paper.kit.tables import Cell, ruled_table
from desk.paper.kit.text import Markup, aside, escape, join, lines, paragraph, strong
from desk.records.views.parties import PaperSize
from desk.records.views.report import ChargeLine, Charges, TaxLine, VisitReport
from desk.trade.charging.money import show_amount, show_money, show_percent

_WIDTHS = (0.08, 0.52, 0.2, 0.2)
_MINUTES_AN_HOUR = 60
_LONGEST_KEPT = 300
"""A last line with more letters than these may part from the total: it could fill a page."""


def charges(report: VisitReport, paper: PaperSize) -> list[Flowable]:
    """Set what the visit was charged; nothing where nothing was.

    The total goes overleaf with the last line before it, so that it never stands alone there.
    """
    charged = report.charges
    if charged is None:
        return []
    if not charged.lines:
        nothing = paragraph(escape(_("Nothing is charged for this visit so far.")), BODY)
        return section(_("Charges"), [nothing, paragraph(_below(charged), FINE)])
    return section(_("Charges"), [_table(charged, column_width(paper))])


def _table(charged: Charges, width: float) -> Flowable:
    sums = _sums(charged)
    rows: list[Sequence[Cell]] = [_row(charged, line) for line in charged.lines]
    rows += [[label, escape(""), escape(""), amount] for label, amount in sums]
    rows.append([paragraph(_below(charged), FINE), escape(""), escape(""), escape("")])
    head = _("Amount, {currency}", currency=charged.currency)
    if charged.with_tax:
        head = _("With tax, {currency}", currency=charged.currency)
    table = ruled_table(
        ["", _("What for"), _("Each"), head],
        rows,
        [width * share for share in _WIDTHS],
        numbers=(2, 3),
    )
    last = charged.lines[-1]
    kept = len(sums) + 1 + (len(last.words) <= _LONGEST_KEPT)
    table.setStyle(
        TableStyle(
            [
                *(("SPAN", (0, -place), (2, -place)) for place in range(2, len(sums) + 2)),
                ("SPAN", (0, -1), (-1, -1)),
                ("LINEABOVE", (0, -len(sums) - 1), (-1, -len(sums) - 1), 0.7, INK),
                ("LINEABOVE", (0, -2), (-1, -2), 0.7, INK),
                ("LINEBELOW", (0, -2), (-1, -2), 0.7, INK),
                ("LINEBELOW", (0, -1), (-1, -1), 2, white),  # the sentences end no row
                ("BOTTOMPADDING", (0, -1), (-1, -1), 4),
                ("NOSPLIT", (0, -kept), (-1, -1)),
            ]
        )
    )
    return table


def _row(charged: Charges, line: ChargeLine) -> list[Markup]:
    pieces = f"{line.pieces} ×" if line.kind == "part" else ""
    free = "" if line.is_taxed else _("no tax")
    amount = _amount(charged, line.cents)
    if line.kind == "part" and line.each_cents is None:
        amount = _("not charged")
    return [
        escape(pieces),
        join(escape(_what(line)), aside(free)),
        escape(_each(charged, line)),
        escape(amount),
    ]


def _what(line: ChargeLine) -> str:
    if line.kind == "labour":
        return _("Labour, {time}", time=_time(line.minutes))
    return _("Call-out") if line.kind == "call_out" else line.words


def _time(minutes: int) -> str:
    hours, rest = divmod(minutes, _MINUTES_AN_HOUR)
    if not hours:
        return _("{minutes} min", minutes=rest)
    if not rest:
        return _("{hours} h", hours=hours)
    return _("{hours} h {minutes} min", hours=hours, minutes=rest)


def _each(charged: Charges, line: ChargeLine) -> str:
    if line.kind == "labour" and line.hourly_cents is not None:
        return _("{amount} an hour", amount=_amount(charged, line.hourly_cents))
    if line.kind != "part" or line.each_cents is None:
        return ""
    return _amount(charged, line.each_cents)


def _sums(charged: Charges) -> list[tuple[Markup, Markup]]:
    total = show_money(charged.total_cents, charged.currency, texts.language())
    sums = [(strong(_("Total")), strong(total))]
    if not charged.taxes:
        return sums
    before = (escape(_("Before tax")), escape(_amount(charged, charged.net_cents)))
    taxes = [(_tax(charged, tax), escape(_amount(charged, tax.cents))) for tax in charged.taxes]
    return [before, *taxes, *sums]


def _tax(charged: Charges, tax: TaxLine) -> Markup:
    rate = show_percent(tax.millionths, charged.currency, texts.language())
    said = escape(_("{name}, {rate}", name=tax.name or _("Tax"), rate=rate))
    if tax.on_cents == charged.net_cents:
        return said
    return join(said, aside(_("on {amount}", amount=_amount(charged, tax.on_cents))))


def _below(charged: Charges) -> Markup:
    return lines(
        escape(charged.rule),
        *(escape(note) for note in charged.notes),
        escape(
            _(
                "This says what the visit is charged at. It is no tax invoice and no receipt, "
                "unless local rules let it serve as one."
            )
        ),
    )


def _amount(charged: Charges, cents: int) -> str:
    return show_amount(cents, charged.currency, texts.language())
