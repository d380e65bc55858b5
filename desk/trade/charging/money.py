"""Amounts of money: whole cents as they are typed and as a language writes them.

A cent is a hundredth of the currency's unit. Some currencies have none (the yen) or thousandths
(the dinar; ISO 4217): amounts in those cannot be kept here, and :func:`has_cents` says so.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.quantities.number_text import plain, quoted

if TYPE_CHECKING:
    from babel import Locale

MOST_CENTS = 100_000_000
"""A million: whoever types more has slipped."""
MILLIONTHS_A_PERCENT = 10_000
_DIGITS_OF_CENTS = 2
# Patterns stay text until something is typed: compiling them costs the start of the program.
_MARK = r"(?:[^\W\d_]{1,3}|[^\w\s.,'-]{1,2})"
_GROUPS = r"[1-9]\d{0,2}(?:(?P<group>[ ',])\d{3})(?:(?P=group)\d{3})*"
_POINT_GROUPS = r"[1-9]\d{0,2}(?:\.\d{3})+(?=,)"  # 1.200 alone may be a slip for 1.20
_AMOUNT = (
    rf"(?P<sign>-?) ?{_MARK}? ?(?P<inner>-?) ?(?P<whole>{_GROUPS}|{_POINT_GROUPS}|\d*)"
    rf"(?:[.,](?P<cents>\d{{1,2}}))? ?{_MARK}?"
)


def read_cents(typed: str, *, field: str, may_be_negative: bool = False) -> int | None:
    """Return an amount in cents; None where nothing was typed.

    Args:
        typed: such as ``34.50``, ``34,5``, ``1,200`` or ``$ 1 200.00``.
        field: the input that a refusal names.
        may_be_negative: an amount below nothing can be meant.

    Raises:
        InputError: it is no amount, has parts of a cent, or cannot be meant.
    """
    if not typed.strip():
        return None
    read = re.fullmatch(_AMOUNT, plain(typed) or "?")
    if read is None or not (read["whole"] or read["cents"]) or (read["sign"] and read["inner"]):
        raise InputError(
            message("“{text}” is no amount of money; write one such as 34.50.", text=quoted(typed)),
            field=field,
        )
    whole = int(re.sub(r"\D", "", read["whole"]) or "0")
    cents = whole * 100 + int((read["cents"] or "").ljust(_DIGITS_OF_CENTS, "0"))
    is_negative = bool(read["sign"] or read["inner"])
    if cents > MOST_CENTS:
        raise InputError(message("Type an amount of at most a million."), field=field)
    if is_negative and cents and not may_be_negative:
        raise InputError(message("Type an amount from 0."), field=field)
    return -cents if is_negative else cents


def cents_typed(cents: int | None) -> str:
    """Return an amount as it is typed, "" for none."""
    if cents is None:
        return ""
    return f"{'-' if cents < 0 else ''}{abs(cents) // 100}.{abs(cents) % 100:02}"


def has_cents(currency: str) -> bool:
    """Return whether a currency (its ISO 4217 letters) is reckoned in hundredths."""
    from babel.numbers import get_currency_precision

    return get_currency_precision(currency) == _DIGITS_OF_CENTS


def show_amount(cents: int, currency: str, language: str) -> str:
    """Return an amount without its currency, as the language writes numbers: ``1,234.50``.

    Args:
        cents: the amount, hundredths of the currency's unit.
        currency: ISO 4217 code; the language is written as in its country.
        language: code of the language; a country in it does not count.
    """
    from babel.numbers import format_decimal

    return format_decimal(Decimal(cents) / 100, "#,##0.00", locale=_locale(currency, language))


def show_money(cents: int, currency: str, language: str) -> str:
    """Return an amount with its currency, as the language writes it: ``$1,234.50``.

    Args:
        cents: the amount, hundredths of the currency's unit.
        currency: as in :func:`show_amount`; its sign is written too.
        language: as in :func:`show_amount`.
    """
    from babel.numbers import format_currency

    return format_currency(
        Decimal(cents) / 100, currency, locale=_locale(currency, language), currency_digits=False
    )


def show_percent(millionths: int, currency: str, language: str) -> str:
    """Return a rate in per cent as the language writes it: 88,750 millionths are ``8.875 %``.

    Args:
        millionths: the rate, 10,000 to a per cent.
        currency: as in :func:`show_amount`.
        language: as in :func:`show_amount`.
    """
    from babel.numbers import format_decimal

    percent = Decimal(millionths) / MILLIONTHS_A_PERCENT
    return f"{format_decimal(percent, '0.####', locale=_locale(currency, language))} %"


@lru_cache(maxsize=8)
def _locale(currency: str, language: str) -> Locale:
    """Return the locale of a language where a currency is spent.

    Most currencies begin with the two letters of their country (ISO 4217, after ISO 3166), so that
    French with CAD is written as in Canada; where that is none, the language alone decides.
    """
    from babel import Locale, UnknownLocaleError

    base = language.replace("-", "_").partition("_")[0] or "en"
    for tag in (f"{base}_{currency[:2].upper()}", base):
        try:
            return Locale.parse(tag)
        except (UnknownLocaleError, ValueError):
            continue
    return Locale.parse("en")
