"""Charges on the service report: every amount, the rule in words, and the total never alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.base.texts import say
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize
from desk.trade.charging.charges import ChargeItem, ChargingRule, Tax
from tests.every_day import every_day
from tests.paper.charged import (
    FITTED,
    USUAL,
    charges_by,
    extreme_charges,
    many_charges,
    usual_charges,
)
from tests.paper.reading_back import bare, fonts_of, outline_of, pages_of, text_of
from tests.paper.snapshots import full_report


def test_nothing_of_charges_is_printed_where_they_are_off() -> None:
    pdf = service_report(full_report())
    assert "Charges" not in [title for _level, title in outline_of(pdf)]
    for word in ("taxinvoice", "Beforetax", "Total"):
        assert word not in text_of(pdf)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_line_and_sum_is_on_the_page(paper: PaperSize) -> None:
    pdf = service_report(usual_charges(), paper=paper)
    assert (0, "Charges") in outline_of(pdf)
    (page,) = [page for page in pages_of(pdf) if "What for" in page]
    rows = [" ".join(row.split()) for row in page.splitlines()]
    for row in (
        "What for Each Amount, CAD",
        "Call-out 49.00",
        "Labour, 1 h 15 min 96.00 an hour 120.00",
        "2 × Inlet screen, brass, 3/4 in 12.35 24.70",
        "4 × Sealing washer not charged",
        "Permit, as paid no tax 35.00",
        "Discount -15.00",
        "Before tax 213.70",
        "HST, 13 % on 178.70 23.23",
        "Total $236.93",
    ):
        assert any(printed.endswith(row) for printed in rows), row


def test_the_rule_is_printed_and_that_it_is_no_tax_invoice() -> None:
    report = usual_charges()
    said = text_of(service_report(report))
    assert report.charges is not None
    assert bare(say(report.charges.rule)) in said
    assert bare("Labour is counted in steps of 15 minutes") in said
    assert bare("It is no tax invoice and no receipt, unless local rules") in said


def test_prices_with_the_tax_in_them_say_so_over_the_amounts() -> None:
    rule = replace(USUAL, prices_with_tax=True)
    charges = charges_by(rule, [ChargeItem("part", "Screen", 1, 11_300)])
    said = text_of(service_report(replace(full_report(), charges=charges)))
    for words in ("With tax, CAD", "Before tax100.00", "HST, 13 %13.00", "Total$113.00"):
        assert bare(words) in said


def test_two_taxes_have_a_line_each_and_none_has_no_line() -> None:
    two = ChargingRule(taxes=(Tax("GST", 50_000), Tax("QST", 99_750)))
    charges = charges_by(two, [ChargeItem("part", "Screen", 1, 10_000)])
    said = text_of(service_report(replace(full_report(), charges=charges)))
    for words in ("GST, 5 %5.00", "QST, 9.975 %9.98", "Total$114.98"):
        assert bare(words) in said
    none = charges_by(ChargingRule(), [ChargeItem("part", "Screen", 1, 10_000)])
    said = text_of(service_report(replace(full_report(), charges=none)))
    assert bare("Total$100.00") in said
    assert "Beforetax" not in said


def test_a_visit_with_nothing_to_charge_says_so() -> None:
    charges = charges_by(ChargingRule(), [])
    said = text_of(service_report(replace(full_report(), charges=charges)))
    assert bare("Nothing is charged for this visit so far.") in said


@pytest.mark.parametrize("parts", every_day([*range(16, 27), 60], [18, 22]))
def test_a_total_never_stands_alone_at_the_head_of_a_page(parts: int) -> None:
    pages = pages_of(service_report(many_charges(parts)))
    (total,) = [page for page in pages if "Total" in page]
    assert f"Fitting {parts}, elbow" in total
    assert "tax invoice" in total
    for page in pages:
        assert ("Fitting" in page) <= ("What for" in page or "Part fitted" in page)


def test_what_goes_to_every_limit_is_printed_as_text() -> None:
    pdf = service_report(extreme_charges())
    said = text_of(pdf)
    for words in ("<img src=x> {} &", "Ζήνων · Зоя · Łucja · Đỗ Thị Ánh", "Податок, 9.975 %"):
        assert bare(words) in said
    assert said.count("Verylongwords.") >= 400
    assert all(embedded for _name, embedded in fonts_of(pdf))


def test_the_same_charges_give_the_same_bytes() -> None:
    assert service_report(usual_charges()) == service_report(usual_charges())


def test_the_lines_come_in_the_order_of_the_snapshot() -> None:
    said = text_of(service_report(usual_charges()))
    table = said[said.index("Whatfor") :]
    places = [table.index(bare(item.words)) for item in FITTED]
    assert places == sorted(places)
