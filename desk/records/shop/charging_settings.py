"""How a shop charges: the lines of its page, as typed and as kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.charging.charges import ChargingRule, Tax
from desk.trade.charging.money import MILLIONTHS_A_PERCENT, cents_typed, has_cents, read_cents

if TYPE_CHECKING:
    from desk.records.tables import Shop
    from desk.records.tables.people import Charging

LARGEST_TAX = Decimal(100)
LONGEST_STEP = 240

WORDS = ("tax_name", "second_tax_name")
TAXES = {"tax": "tax_millionths", "second_tax": "second_tax_millionths"}
AMOUNTS = {"hourly": "hourly_cents", "call_out": "call_out_cents"}
EITHER = {
    "charges": ("off", "on"),
    "prices_with_tax": ("without", "with"),
    "labour_taxed": ("no", "yes"),
    "tax_on_each_line": ("total", "line"),
}
"""Choices that are kept as a flag: what is chosen for no, and for yes."""
COLUMNS = (*WORDS, *TAXES.values(), *AMOUNTS.values(), "step_minutes", *tuple(EITHER)[1:])
"""What a visit takes over from the shop when the work begins."""
FIELDS = frozenset({*WORDS, *TAXES, *AMOUNTS, *EITHER, "step"})


def typed_rule(shop: Shop) -> dict[str, str]:
    """Return how a shop charges, by the fields of its page, as typed."""
    return (
        {name: getattr(shop, name) for name in WORDS}
        | {name: tax_typed(getattr(shop, column)) for name, column in TAXES.items()}
        | {name: cents_typed(getattr(shop, column)) for name, column in AMOUNTS.items()}
        | {name: words[getattr(shop, name)] for name, words in EITHER.items()}
        | {"step": str(shop.step_minutes)}
    )


def change_rule(shop: Shop, typed: Mapping[str, str]) -> None:
    """Change how a shop charges.

    Args:
        shop: its row, with the currency that it is to have.
        typed: fields of :data:`FIELDS`; others are passed over, and one that is left out stays.

    Raises:
        InputError: what was typed for a field cannot be meant.
    """
    for field, text in typed.items():
        if field in FIELDS:
            column, read = _READ[field]
            setattr(shop, column, read(text, field))
    if shop.charges and not has_cents(shop.currency):
        raise InputError(
            message(
                "Charges are reckoned in hundredths, which {currency} has not.",
                currency=shop.currency,
            ),
            field="currency" if "currency" in typed else "charges",
        )


def rule_of(row: Charging) -> ChargingRule:
    """Return the rule that a shop's or a visit's row holds."""
    taxes = (
        (row.tax_name, row.tax_millionths),
        (row.second_tax_name, row.second_tax_millionths),
    )
    return ChargingRule(
        hourly_cents=row.hourly_cents,
        step_minutes=row.step_minutes,
        call_out_cents=row.call_out_cents,
        taxes=tuple(Tax(name, rate) for name, rate in taxes if rate is not None),
        prices_with_tax=row.prices_with_tax,
        labour_taxed=row.labour_taxed,
        rounded_on="line" if row.tax_on_each_line else "total",
    )


def tax_typed(millionths: int | None) -> str:
    """Return a tax rate as it is typed, "" for none."""
    if millionths is None:
        return ""
    return f"{(Decimal(millionths) / MILLIONTHS_A_PERCENT).normalize():f} %"


def read_tax(typed: str, field: str) -> int | None:
    """Return a tax rate in millionths; None where nothing was typed.

    Raises:
        InputError: it is no rate, or has more than four decimals.
    """
    text = typed.strip().removesuffix("%").strip().replace(",", ".")
    if not text:
        return None
    try:
        percent = Decimal(text)
    except InvalidOperation:
        percent = Decimal("NaN")
    exact = percent * MILLIONTHS_A_PERCENT
    if not percent.is_finite() or not 0 <= percent < LARGEST_TAX or exact != exact.to_integral():
        raise InputError(
            message("Type the tax in per cent, such as 8.875; at most four decimals."), field=field
        )
    return int(exact)


def _words(typed: str, _field: str) -> str:
    return typed.strip()


def _amount(typed: str, field: str) -> int | None:
    return read_cents(typed, field=field)


def _either(typed: str, field: str) -> bool:
    if typed not in EITHER[field]:
        raise InputError(message("Choose one of the two."), field=field)
    return typed == EITHER[field][1]


def _step(typed: str, field: str) -> int:
    text = typed.strip().casefold().removesuffix("min").strip() or "1"
    if not (text.isascii() and text.isdecimal() and 1 <= int(text[:9]) <= LONGEST_STEP):
        raise InputError(message("Type minutes from 1 to 240, such as 15."), field=field)
    return int(text)


_READ: Mapping[str, tuple[str, Callable[[str, str], object]]] = {
    **{name: (name, _words) for name in WORDS},
    **{name: (column, read_tax) for name, column in TAXES.items()},
    **{name: (column, _amount) for name, column in AMOUNTS.items()},
    **{name: (name, _either) for name in EITHER},
    "step": ("step_minutes", _step),
}
