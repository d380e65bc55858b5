"""Amounts of money as people type them, and as a language writes them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.trade.charging.money import (
    MOST_CENTS,
    cents_typed,
    has_cents,
    read_cents,
    show_amount,
    show_money,
    show_percent,
)


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("34.50", 3450),
        ("34,5", 3450),
        (".5", 50),
        ("0", 0),
        ("7.", None),
        ("$ 34.50", 3450),
        ("34.50 CAD", 3450),
        ("1,200", 120_000),
        ("1 200,50", 120_050),
        ("1.200,50", 120_050),
        ("1'200.50", 120_050),
        ("٣٤٫٥", None),
        ("1.200", None),
        ("0.125", None),
        ("1,23,456", None),
        ("12 boxes", None),
        ("a lot", None),
        ("1e3", None),
        ("5½", None),
        ("$", None),
        ("--5", None),
        ("9" * 30, None),
    ],
)
def test_an_amount_is_read_to_the_cent_or_refused(typed: str, cents: int | None) -> None:
    if cents is not None:
        assert read_cents(typed, field="price") == cents
        return
    with pytest.raises(InputError) as refused:
        read_cents(typed, field="price")
    assert refused.value.field == "price"


def test_nothing_typed_is_no_amount() -> None:
    assert read_cents("  ", field="price") is None
    assert cents_typed(None) == ""


@pytest.mark.parametrize("typed", ["-20", "-$20.00", "$-20", "\u221220"])
def test_only_a_further_line_may_be_below_nothing(typed: str) -> None:
    assert read_cents(typed, field="amount", may_be_negative=True) == -2000
    with pytest.raises(InputError, match="from 0"):
        read_cents(typed, field="price")


@given(st.integers(-MOST_CENTS, MOST_CENTS))
def test_an_amount_reads_back_as_it_was_typed(cents: int) -> None:
    assert read_cents(cents_typed(cents), field="", may_be_negative=True) == cents


@pytest.mark.parametrize(
    ("currency", "language", "money", "amount", "percent"),
    [
        ("USD", "en", "$1,234.50", "1,234.50", "8.25 %"),
        ("CAD", "en", "$1,234.50", "1,234.50", "8.25 %"),
        ("CAD", "fr", "1 234,50 $", "1 234,50", "8,25 %"),
        ("EUR", "de", "1.234,50 €", "1.234,50", "8,25 %"),
        ("XXX", "nowhere-at-all", "¤1,234.50", "1,234.50", "8.25 %"),
    ],
)
def test_an_amount_is_written_as_the_language_does(
    currency: str, language: str, money: str, amount: str, percent: str
) -> None:
    def said(text: str) -> str:
        return " ".join(text.split())  # narrow and hard blanks are the language's own

    assert said(show_money(123_450, currency, language)) == money
    assert said(show_amount(123_450, currency, language)) == amount
    assert said(show_percent(82_500, currency, language)) == percent


def test_a_yen_and_a_dinar_have_no_cents() -> None:
    assert has_cents("USD")
    assert not has_cents("JPY")
    assert not has_cents("KWD")
