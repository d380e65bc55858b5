"""Invented reports with charges: a usual one, and one that goes to every limit."""

from __future__ import annotations

from dataclasses import replace

from desk.base.texts import fixed
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import ChargeLine, Charges, TaxLine, VisitReport
from desk.trade.charging.charges import (
    ChargeItem,
    ChargingRule,
    Tax,
    labour_items,
    reckon,
    rule_words,
    step_words,
)
from tests.paper.snapshots import extreme_report, full_report

USUAL = ChargingRule(9600, 15, 4900, (Tax("HST", 130_000),))
EXTREME = ChargingRule(
    99_999_999,
    1,
    99_999_999,
    (Tax("Goods <b>&</b> services " * 4, 50_000), Tax("Податок", 99_750)),
    prices_with_tax=True,
    labour_taxed=False,
    rounded_on="line",
)
FITTED = (
    ChargeItem("part", "Inlet screen, brass, 3/4 in", 2, 1235),
    ChargeItem("part", "Sealing washer", 4, None),
    ChargeItem("other", "Permit, as paid", 1, 3500, is_taxed=False),
    ChargeItem("other", "Discount", 1, -1500),
)


def charges_by(rule: ChargingRule, items: list[ChargeItem], currency: str = "CAD") -> Charges:
    """Return what items come to under a rule, as a report holds it."""
    reckoned = reckon(items, rule)
    return Charges(
        currency,
        tuple(
            ChargeLine(
                item.kind, item.words, item.pieces, item.each_cents, item.amount_cents,
                item.is_taxed, item.minutes, rule.hourly_cents if item.minutes else None,
            )
            for item in items
        ),
        reckoned.net_cents,
        tuple(
            TaxLine(one.tax.name, one.tax.millionths, one.on_cents, one.cents)
            for one in reckoned.taxes
        ),
        reckoned.total_cents,
        rule.prices_with_tax,
        fixed(rule_words(rule, currency, "en")),
        tuple(fixed(note) for note in (step_words(rule),) if note is not None),
    )  # fmt: skip


def usual_charges(system: UnitSystem = "us", paper: PaperSize = "letter") -> VisitReport:
    """Return a usual report with labour, parts, a fee without tax and a discount."""
    items = [*labour_items(USUAL, 70), *FITTED]
    return replace(full_report(system, paper), charges=charges_by(USUAL, items))


def many_charges(parts: int = 60, rule: ChargingRule = USUAL) -> VisitReport:
    """Return a usual report with very many parts."""
    fitted = [
        ChargeItem("part", f"Fitting {number}, elbow", 1, 1000) for number in range(1, parts + 1)
    ]
    return replace(full_report(), charges=charges_by(rule, [*labour_items(rule, 70), *fitted]))


def extreme_charges() -> VisitReport:
    """Return a report at its limits: the largest amounts, text that is no markup, long words."""
    items = [
        *labour_items(EXTREME, 6000),
        ChargeItem("part", "<img src=x> {} & \u202e" + "W" * 300, 10**9, 99_999_999),
        ChargeItem("part", "Ζήνων · Зоя · Łucja · Đỗ Thị Ánh", 1, 0),
        ChargeItem("other", "Very long words. " * 400, 1, -99_999_999),
    ]
    return replace(extreme_report(), charges=charges_by(EXTREME, items, "EUR"))
