"""Charges to the cent: worked examples, and what must hold of every list of them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import floor

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import say
from desk.trade.charging.charges import (
    ChargeItem,
    ChargingRule,
    Reckoning,
    Tax,
    TaxSum,
    counted_minutes,
    labour_items,
    minutes_typed,
    read_minutes,
    reckon,
    rule_words,
    step_words,
)

SALES_TAX = Tax("Sales tax", 82_500)

prices = st.integers(-500_000, 500_000)
items = st.builds(
    ChargeItem,
    kind=st.sampled_from(("labour", "call_out", "part", "other")),
    pieces=st.integers(1, 60),
    each_cents=st.none() | prices,
    is_taxed=st.booleans(),
)
lists = st.lists(items, max_size=8)
taxes = st.builds(Tax, name=st.just("Tax"), millionths=st.integers(0, 999_999))
rules = st.builds(
    ChargingRule,
    taxes=st.lists(taxes, max_size=2).map(tuple),
    prices_with_tax=st.booleans(),
    rounded_on=st.sampled_from(("total", "line")),
)


def nearest(amount: Fraction) -> int:
    """Round half away from nothing, by whole numbers alone."""
    size = floor(abs(amount) + Fraction(1, 2))
    return size if amount >= 0 else -size


def test_a_usual_visit_by_hand() -> None:
    # 70 min count as 75: 1.25 h at 96.00 = 120.00; call-out 49.00; 2 × 12.35 = 24.70.
    # Together 193.70; 8.25 % of it is 15.98025, so 15.98; with it 209.68.
    rule = ChargingRule(9600, 15, 4900, (SALES_TAX,))
    charged = [*labour_items(rule, 70), ChargeItem("part", "Inlet screen", 2, 1235)]
    assert [item.amount_cents for item in charged] == [4900, 12_000, 2470]
    assert reckon(charged, rule) == Reckoning(19_370, (TaxSum(SALES_TAX, 19_370, 1598),), 20_968)


def test_labour_that_is_not_taxed_by_hand() -> None:
    # Tax on the parts alone: 8.25 % of 24.70 is 2.03775, so 2.04.
    rule = ChargingRule(9600, 15, 4900, (SALES_TAX,), labour_taxed=False)
    charged = [*labour_items(rule, 70), ChargeItem("part", "Inlet screen", 2, 1235)]
    assert reckon(charged, rule) == Reckoning(19_370, (TaxSum(SALES_TAX, 2470, 204),), 19_574)


def test_where_it_is_rounded_moves_a_cent_by_hand() -> None:
    # Three lines of 0.30 at 5 %: 0.015 on each line is 0.02, three times 0.06; on 0.90 it is 0.045,
    # so 0.05.
    three = [ChargeItem("part", each_cents=30)] * 3
    rule = ChargingRule(taxes=(Tax("Tax", 50_000),))
    assert reckon(three, rule).total_cents == 95
    assert reckon(three, replace(rule, rounded_on="line")).total_cents == 96


def test_prices_that_have_the_tax_in_them_by_hand() -> None:
    # 113.00 at 13 % has 13.00 in it.
    rule = ChargingRule(taxes=(Tax("HST", 130_000),), prices_with_tax=True)
    one = [ChargeItem("part", each_cents=11_300)]
    assert reckon(one, rule) == Reckoning(10_000, (TaxSum(rule.taxes[0], 10_000, 1300),), 11_300)


@given(lists, rules)
def test_net_and_taxes_make_the_total_to_the_cent(
    charged: list[ChargeItem], rule: ChargingRule
) -> None:
    reckoned = reckon(charged, rule)
    assert reckoned.net_cents + sum(one.cents for one in reckoned.taxes) == reckoned.total_cents
    listed = sum(item.amount_cents for item in charged)
    assert listed == (reckoned.total_cents if rule.prices_with_tax else reckoned.net_cents)


@given(lists, rules)
def test_each_tax_is_what_whole_numbers_give(charged: list[ChargeItem], rule: ChargingRule) -> None:
    whole = 1_000_000
    if rule.prices_with_tax:
        whole += sum(tax.millionths for tax in rule.taxes)
    taxed = [item.amount_cents for item in charged if item.is_taxed]
    parts = taxed if rule.rounded_on == "line" else [sum(taxed)]
    assert [one.cents for one in reckon(charged, rule).taxes] == [
        sum(nearest(Fraction(part * tax.millionths, whole)) for part in parts) for tax in rule.taxes
    ]


@given(lists, rules, st.randoms())
def test_the_order_of_the_lines_changes_nothing(
    charged: list[ChargeItem], rule: ChargingRule, random: object
) -> None:
    mixed = list(charged)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert reckon(mixed, rule) == reckon(charged, rule)


@given(lists, rules)
def test_a_list_and_its_opposite_come_to_nothing(
    charged: list[ChargeItem], rule: ChargingRule
) -> None:
    back = [replace(item, each_cents=-(item.each_cents or 0)) for item in charged]
    assert reckon(back, rule).total_cents == -reckon(charged, rule).total_cents


@given(prices, taxes)
def test_one_tax_is_found_again_in_a_price_that_has_it(net: int, tax: Tax) -> None:
    added = reckon([ChargeItem("part", each_cents=net)], ChargingRule(taxes=(tax,)))
    within = ChargingRule(taxes=(tax,), prices_with_tax=True)
    assert reckon([ChargeItem("part", each_cents=added.total_cents)], within) == added


@given(prices, taxes, taxes)
def test_two_taxes_are_found_again_within_a_cent_each(net: int, one: Tax, other: Tax) -> None:
    added = reckon([ChargeItem("part", each_cents=net)], ChargingRule(taxes=(one, other)))
    within = ChargingRule(taxes=(one, other), prices_with_tax=True)
    found = reckon([ChargeItem("part", each_cents=added.total_cents)], within)
    for sum_added, sum_found in zip(added.taxes, found.taxes, strict=True):
        assert abs(sum_added.cents - sum_found.cents) <= 1


@given(lists, rules)
def test_rounding_on_the_total_lies_within_half_a_cent(
    charged: list[ChargeItem], rule: ChargingRule
) -> None:
    assume(not rule.prices_with_tax)
    taxed = sum(item.amount_cents for item in charged if item.is_taxed)
    by_total = reckon(charged, replace(rule, rounded_on="total"))
    by_line = reckon(charged, replace(rule, rounded_on="line"))
    for total, line in zip(by_total.taxes, by_line.taxes, strict=True):
        exact = Fraction(taxed * total.tax.millionths, 1_000_000)
        assert abs(total.cents - exact) <= Fraction(1, 2)
        assert abs(line.cents - exact) <= Fraction(len(charged), 2)


@pytest.mark.parametrize(
    ("minutes", "step", "counted"), [(0, 15, 0), (1, 15, 15), (15, 15, 15), (61, 15, 75), (7, 1, 7)]
)
def test_a_step_that_was_begun_counts_whole(minutes: int, step: int, counted: int) -> None:
    assert counted_minutes(minutes, step) == counted


@given(st.integers(0, 6000), st.integers(1, 240))
def test_what_is_counted_is_whole_steps_and_less_than_one_more(minutes: int, step: int) -> None:
    counted = counted_minutes(minutes, step)
    assert counted % step == 0
    assert minutes <= counted < minutes + step


def test_only_what_the_shop_charges_is_charged() -> None:
    assert labour_items(ChargingRule(), 90) == []
    assert [item.kind for item in labour_items(ChargingRule(hourly_cents=9000), 90)] == ["labour"]
    both = ChargingRule(hourly_cents=9000, call_out_cents=4900)
    assert [item.kind for item in labour_items(both, 90)] == ["call_out", "labour"]
    assert [item.kind for item in labour_items(both, 90, call_out=False)] == ["labour"]
    assert [item.kind for item in labour_items(both, None)] == ["call_out"]


def test_twenty_minutes_of_an_odd_rate_are_rounded_half_up() -> None:
    (labour,) = labour_items(ChargingRule(hourly_cents=9995), 30)
    assert labour.each_cents == 4998  # 49.975


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        (ChargingRule(), "No tax is reckoned here."),
        (
            ChargingRule(taxes=(SALES_TAX,)),
            "Sales tax of 8.25 % is added to parts and labour, rounded to the cent on the total, "
            "half a cent up.",
        ),
        (
            ChargingRule(taxes=(Tax("", 50_000),), labour_taxed=False, rounded_on="line"),
            "Tax of 5 % is added to parts but not labour, rounded to the cent on each line, "
            "half a cent up.",
        ),
        (
            ChargingRule(taxes=(Tax("GST", 50_000), Tax("QST", 99_750))),
            "GST of 5 % and QST of 9.975 % are added to parts and labour, rounded to the cent on "
            "the total, half a cent up.",
        ),
        (
            ChargingRule(taxes=(Tax("GST", 50_000), Tax("QST", 99_750)), prices_with_tax=True),
            "Prices of parts and labour include GST of 5 % and QST of 9.975 %, rounded to the cent "
            "on the total, half a cent up.",
        ),
        (
            ChargingRule(taxes=(Tax("{name} <b>", 50_000),), prices_with_tax=True,
                         rounded_on="line", labour_taxed=False),
            "Prices of parts but not labour include {name} <b> of 5 %, rounded to the cent on each "
            "line, half a cent up.",
        ),
    ],
)  # fmt: skip
def test_the_rule_is_one_sentence(rule: ChargingRule, sentence: str) -> None:
    assert say(rule_words(rule, "USD", "en")) == sentence


def test_steps_are_said_where_there_are_any() -> None:
    said = step_words(ChargingRule(hourly_cents=9000, step_minutes=15))
    assert said is not None
    assert "steps of 15 minutes" in say(said)
    assert step_words(ChargingRule(step_minutes=15)) is None
    assert step_words(ChargingRule(hourly_cents=9000)) is None


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("90", 90),
        ("1:30", 90),
        ("1 h 30", 90),
        ("1h30m", 90),
        ("2 hours", 120),
        ("1.5 h", 90),
        ("0,25h", 15),
        ("45 min", 45),
        ("0", 0),
        (" ", None),
    ],
)
def test_a_length_of_work_is_read(typed: str, minutes: int | None) -> None:
    assert read_minutes(typed, field="minutes") == minutes


@pytest.mark.parametrize("typed", ["a while", "1:75", "-5", "1.5", "101 h", "9999999", "2 h 3 h"])
def test_what_is_no_length_of_work_is_refused(typed: str) -> None:
    with pytest.raises(InputError) as refused:
        read_minutes(typed, field="minutes")
    assert refused.value.field == "minutes"


@given(st.integers(0, 6000))
def test_a_length_reads_back_as_it_was_typed(minutes: int) -> None:
    assert read_minutes(minutes_typed(minutes), field="") == minutes
