"""What a visit is charged: labour, parts and further lines, and the tax on them, to the cent.

Amounts are whole cents and rates whole millionths; between them stands :mod:`decimal`, never a
float. What is rounded is rounded half up: to the nearest cent, half a cent away from nothing
(``roundTiesToAway`` of IEEE 754-2019, 4.3.1; ``ROUND_HALF_UP`` of :mod:`decimal`).

What is taxed, at which rates and where it is rounded is local law: the shop sets it. That time is
counted in steps, each begun one in full, is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Literal

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.charging.money import show_percent
from desk.trade.quantities.number_text import plain, quoted

type ChargeKind = Literal["labour", "call_out", "part", "other"]
type RoundedOn = Literal["total", "line"]

MINUTES_AN_HOUR = 60
LONGEST_MINUTES = 100 * MINUTES_AN_HOUR
MILLIONTHS = 1_000_000
_CLOCK = r"(?P<hours>\d{1,3}):(?P<minutes>[0-5]\d)"
_DECIMAL_HOURS = r"(?P<hours>\d{1,3}[.,]\d{1,2}) ?h(?:ours?|rs?)?(?P<minutes>)"
_SPELT = r"(?:(?P<hours>\d{1,3}) ?h(?:ours?|rs?)?)? ?(?:(?P<minutes>\d{1,4}) ?(?:m|min|minutes?)?)?"

# Wide enough that nothing is rounded on the way: cents of 18 digits times a rate of 6.
_EXACT = Context(prec=60, rounding=ROUND_HALF_UP)
_CENT = Decimal(1)


@dataclass(frozen=True, slots=True)
class Tax:
    """A tax by its name on paper; 8.875 % are 88,750 millionths."""

    name: str
    millionths: int


@dataclass(frozen=True, slots=True)
class ChargingRule:
    """How a shop charges.

    Attributes:
        hourly_cents: labour for an hour; None where none is charged by time.
        step_minutes: labour is counted in steps of so many minutes.
        call_out_cents: for coming, whatever the time; None where nothing is.
        taxes: none, one or two, each on the same amounts.
        prices_with_tax: prices and rates have the tax in them already.
        labour_taxed: labour and call-out are taxed, as parts are.
        rounded_on: the tax is rounded once on the total, or on each line.
    """

    hourly_cents: int | None = None
    step_minutes: int = 1
    call_out_cents: int | None = None
    taxes: tuple[Tax, ...] = ()
    prices_with_tax: bool = False
    labour_taxed: bool = True
    rounded_on: RoundedOn = "total"


@dataclass(frozen=True, slots=True)
class ChargeItem:
    """One thing that is charged for; without a price it stands in the list and costs nothing.

    Attributes:
        kind: labour, call-out, part or other.
        words: what it is, as typed or as the catalogue has it; "" of labour and call-out.
        pieces: how many.
        each_cents: the price of one; below nothing it is a discount.
        is_taxed: it is taxed, where there is a tax.
        minutes: of labour, as counted.
    """

    kind: ChargeKind
    words: str = ""
    pieces: int = 1
    each_cents: int | None = None
    is_taxed: bool = True
    minutes: int = 0

    @property
    def amount_cents(self) -> int:
        """What it comes to, with the tax in it where prices have it."""
        return self.pieces * (self.each_cents or 0)


@dataclass(frozen=True, slots=True)
class TaxSum:
    """What one tax comes to, and on how much."""

    tax: Tax
    on_cents: int
    cents: int


@dataclass(frozen=True, slots=True)
class Reckoning:
    """What items come to: net and taxes make the total, to the cent."""

    net_cents: int
    taxes: tuple[TaxSum, ...]
    total_cents: int


def half_up(amount: Decimal) -> int:
    """Return an amount in whole cents, half a cent away from nothing."""
    return int(amount.quantize(_CENT, rounding=ROUND_HALF_UP, context=_EXACT))


def counted_minutes(minutes: int, step_minutes: int) -> int:
    """Return labour time in whole steps, each begun one in full."""
    return -(-minutes // step_minutes) * step_minutes


def labour_items(
    rule: ChargingRule, minutes: int | None, *, call_out: bool = True
) -> list[ChargeItem]:
    """Return what is charged for coming and for the time.

    Args:
        rule: the shop's.
        minutes: of work; None while that is not known.
        call_out: the call-out charge is asked for.
    """
    items = []
    if call_out and rule.call_out_cents is not None:
        items.append(
            ChargeItem("call_out", each_cents=rule.call_out_cents, is_taxed=rule.labour_taxed)
        )
    counted = counted_minutes(minutes or 0, rule.step_minutes)
    if counted and rule.hourly_cents is not None:
        cents = half_up(_EXACT.divide(Decimal(counted * rule.hourly_cents), MINUTES_AN_HOUR))
        items.append(
            ChargeItem("labour", each_cents=cents, is_taxed=rule.labour_taxed, minutes=counted)
        )
    return items


def reckon(items: Sequence[ChargeItem], rule: ChargingRule) -> Reckoning:
    """Return what items come to under a rule, and the tax in it or on it."""
    sums = tuple(_tax_on(items, tax, rule) for tax in rule.taxes)
    charged = sum(item.amount_cents for item in items)
    taxes = sum(one.cents for one in sums)
    if rule.prices_with_tax:
        return Reckoning(charged - taxes, sums, charged)
    return Reckoning(charged, sums, charged + taxes)


def _tax_on(items: Iterable[ChargeItem], tax: Tax, rule: ChargingRule) -> TaxSum:
    taxed = [item.amount_cents for item in items if item.is_taxed]
    total = sum(taxed)
    on = total - sum(_taxes_of(total, one, rule) for one in rule.taxes) * rule.prices_with_tax
    parts = taxed if rule.rounded_on == "line" else [total]
    return TaxSum(tax, on, sum(_taxes_of(amount, tax, rule) for amount in parts))


def _taxes_of(amount_cents: int, tax: Tax, rule: ChargingRule) -> int:
    """Return a tax on one amount, or the tax that is in it already, in whole cents."""
    share = Decimal(amount_cents * tax.millionths)
    of = MILLIONTHS
    if rule.prices_with_tax:
        of += sum(one.millionths for one in rule.taxes)
    return half_up(_EXACT.divide(share, of))


def rule_words(rule: ChargingRule, currency: str, language: str) -> Message:
    """Say how the tax is reckoned, in one sentence for the page.

    Args:
        rule: how the shop charges, with its taxes.
        currency: ISO 4217 code; with the language it decides how a rate is written.
        language: code of the language that the rates are written in.
    """
    if not rule.taxes:
        return message("No tax is reckoned here.")
    taxes = [
        message(
            "{name} of {rate}",
            name=tax.name or message("Tax"),
            rate=show_percent(tax.millionths, currency, language),
        )
        for tax in rule.taxes
    ]
    named = taxes[0] if len(taxes) == 1 else _both(*taxes)
    where = "with" if rule.prices_with_tax else ("one" if len(taxes) == 1 else "two")
    template = _RULES[where, rule.rounded_on]
    what = message("parts and labour") if rule.labour_taxed else message("parts but not labour")
    return Message(template.id, {"taxes": named, "what": what})


def _both(first: Message, second: Message) -> Message:
    return message("{first} and {second}", first=first, second=second)


_RULES = {
    ("one", "total"): message(
        "{taxes} is added to {what}, rounded to the cent on the total, half a cent up."
    ),
    ("one", "line"): message(
        "{taxes} is added to {what}, rounded to the cent on each line, half a cent up."
    ),
    ("two", "total"): message(
        "{taxes} are added to {what}, rounded to the cent on the total, half a cent up."
    ),
    ("two", "line"): message(
        "{taxes} are added to {what}, rounded to the cent on each line, half a cent up."
    ),
    ("with", "total"): message(
        "Prices of {what} include {taxes}, rounded to the cent on the total, half a cent up."
    ),
    ("with", "line"): message(
        "Prices of {what} include {taxes}, rounded to the cent on each line, half a cent up."
    ),
}


def step_words(rule: ChargingRule) -> Message | None:
    """Say in which steps labour is counted; None where nothing is to be said."""
    if rule.hourly_cents is None or rule.step_minutes == 1:
        return None
    return message(
        "Labour is counted in steps of {minutes} minutes; a step that was begun counts whole.",
        minutes=rule.step_minutes,
    )


def read_minutes(typed: str, *, field: str) -> int | None:
    """Return a length of work in minutes; None where nothing was typed.

    Args:
        typed: such as ``90``, ``1:30``, ``1 h 30`` or ``45 min``.
        field: the input that a refusal names.

    Raises:
        InputError: it cannot be read, or is longer than a hundred hours.
    """
    text = (plain(typed) or "?").casefold() if typed.strip() else ""
    if not text:
        return None
    ways = (_CLOCK, _DECIMAL_HOURS, _SPELT)
    read = next((read for read in (re.fullmatch(way, text) for way in ways) if read), None)
    if read is None:
        raise InputError(
            message("“{text}” is no length of work; write 90, 1:30 or 1 h 30.", text=quoted(typed)),
            field=field,
        )
    hours = Decimal((read["hours"] or "0").replace(",", "."))
    minutes = half_up(hours * MINUTES_AN_HOUR) + int(read["minutes"] or 0)
    if minutes > LONGEST_MINUTES:
        raise InputError(message("Type a length of at most 100 hours."), field=field)
    return minutes


def minutes_typed(minutes: int | None) -> str:
    """Return a length of work as it is typed, "" for none."""
    return "" if minutes is None else f"{minutes // MINUTES_AN_HOUR}:{minutes % MINUTES_AN_HOUR:02}"
