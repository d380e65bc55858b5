"""What the shop's own lists show: people, parts, orders, containers."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

from desk.base.texts import message
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.views.parties import Letterhead
from desk.records.views.result_table import Column
from desk.trade.charging.money import cents_typed, show_amount

type OrderState = Literal["to_order", "ordered", "came"]


@dataclass(frozen=True, slots=True)
class PersonCard(PersonDetails):
    """Somebody of the shop, with the key."""

    person_id: uuid.UUID = field(kw_only=True)


@dataclass(frozen=True, slots=True)
class PartCard(PartDetails):
    """A part of the catalogue with its stock: on the shelf and in each technician's van."""

    part_id: uuid.UUID = field(kw_only=True)
    shelf: int = field(kw_only=True)
    vans: tuple[tuple[str, int], ...] = field(kw_only=True)


@dataclass(frozen=True, slots=True)
class ContainerCard:
    """A container of the shop, as typed."""

    container_id: uuid.UUID
    name: str
    volume: str
    graduation: str


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Pieces that are asked for, and how far that has come.

    Attributes:
        order_id: None where nobody has asked yet and the shelf is short.
        visit: number of the visit that waits for them; "" for the shelf.
        customer: whom that visit is for.
        goes_on: when the visit that goes on with it is booked; None where it is not.
    """

    order_id: uuid.UUID | None
    part_id: uuid.UUID | None
    number: str
    name: str
    pieces: int
    visit_id: uuid.UUID | None
    visit: str
    customer: str
    ordered_on: date | None
    came_on: date | None
    goes_on: datetime | None

    @property
    def state(self) -> OrderState:
        """How far it has come."""
        if self.came_on is not None:
            return "came"
        return "to_order" if self.ordered_on is None else "ordered"


@dataclass(frozen=True, slots=True)
class ShopView:
    """The shop's own page; everything as it was typed, "" where nothing was.

    Attributes:
        emergency_phone: whom to call where everybody has to leave; so ``gas_supplier_phone``.
        charges: "on" where reports say what is charged, "off" where they do not.
        tax: the rate, such as "8.875 %"; ``second_tax`` that of a second one.
        hourly: labour for an hour, such as "96.00".
        step: labour is counted in so many minutes.
        call_out: what is charged for coming.
        prices_with_tax: "with" where prices have the tax in them, "without" where it is added.
        labour_taxed: "yes" or "no".
        tax_on_each_line: "line" where the tax is rounded on each, "total" where once.
        tax_rule: how the tax is reckoned, in a sentence.
        usual_activation: activation flow of an appliance whose own is not known.
        timing: half-width of start plus stop of a fill timed by hand.
        ceiling: the most that water may have at an outlet.
        logo: PNG bytes; none without one.
    """

    name: str
    street: str
    locality: str
    region: str
    postcode: str
    country: str
    phone: str
    emergency_phone: str
    gas_supplier_phone: str
    email: str
    licence: str
    zone: str
    system: str
    paper: str
    language: str
    currency: str
    charges: str
    hourly: str
    step: str
    call_out: str
    tax_name: str
    tax: str
    second_tax_name: str
    second_tax: str
    prices_with_tax: str
    labour_taxed: str
    tax_on_each_line: str
    tax_rule: str
    usual_activation: str
    timing: str
    ceiling: str
    logo: bytes
    containers: tuple[ContainerCard, ...]


@dataclass(frozen=True, slots=True)
class UsedPart:
    """A part on a visit; ``number`` is "" for one in words, which no stock knows.

    ``each_cents`` is the price of one, None where nobody knows it; ``is_todays_price`` where none
    was written down and the catalogue's of today stands in. ``vans`` says whose van the pieces
    came out of, "" for the shelf; it is empty where no stock went with them.
    """

    visit: str
    day: date
    technician: str
    appliance: str
    who: str
    where: str
    number: str
    name: str
    pieces: int
    each_cents: int | None
    is_todays_price: bool
    old_serial: str
    new_serial: str
    reason: str
    kept_for_claim: bool
    warranty_claim: str
    vans: tuple[str, ...]

    @property
    def cents(self) -> int | None:
        """What all the pieces come to, None without a price."""
        return None if self.each_cents is None else self.each_cents * self.pieces


@dataclass(frozen=True, slots=True)
class Tally:
    """Parts added up: ``cents`` of those that have a price, ``unpriced`` the pieces without one."""

    pieces: int
    visits: int
    cents: int
    unpriced: int


@dataclass(frozen=True, slots=True)
class PartTally:
    """All the pieces of one part; ``stock`` how many came from whose van, "" for the shelf."""

    number: str
    name: str
    total: Tally
    stock: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class TechnicianTally:
    """All the pieces that one technician used; "" for visits that have none."""

    technician: str
    total: Tally


@dataclass(frozen=True, slots=True)
class PartsUsed:
    """What was used from a day to a day: line by line in order of time, and added up."""

    letterhead: Letterhead
    currency: str
    since: date
    until: date
    lines: tuple[UsedPart, ...]
    by_part: tuple[PartTally, ...]
    by_technician: tuple[TechnicianTally, ...]
    total: Tally


def _price_of(line: UsedPart) -> str:
    if line.cents is None:
        return ""
    return "today" if line.is_todays_price else "visit"


def _worth(at: tuple[PartsUsed | None, Tally]) -> str:
    used, total = at
    if used is None or total.unpriced == total.pieces:
        return ""
    return show_amount(total.cents, used.currency, used.letterhead.language)


COUNTED: tuple[Column[tuple[PartsUsed | None, Tally]], ...] = (
    Column("pieces", lambda at: at[1].pieces, message("Pieces"), message("Pieces")),
    Column("visits", lambda at: at[1].visits, message("Visits"), message("Visits")),
    Column("worth", lambda at: at[1].cents, message("Worth"), message("Worth, {currency}"), _worth),
)
"""What was used of a part, or by a technician."""
USED_COLUMNS: tuple[Column[tuple[PartsUsed, UsedPart]], ...] = (
    Column("visit", lambda at: at[1].visit, page_head=message("Visit"), is_number=False),
    Column("day", lambda at: at[1].day.isoformat()),
    Column("technician", lambda at: at[1].technician),
    Column("appliance", lambda at: at[1].appliance),
    Column("customer", lambda at: at[1].who),
    Column("part", lambda at: at[1].number),
    Column("name", lambda at: at[1].name, page_head=message("Part, and why"), is_number=False),
    Column("pieces", lambda at: at[1].pieces, page_head=message("Pieces")),
    Column("price", lambda at: cents_typed(at[1].each_cents), page_head=message("Each")),
    Column("amount", lambda at: cents_typed(at[1].cents), page_head=message("Worth, {currency}")),
    Column("currency", lambda at: at[0].currency),
    Column("price_of", lambda at: _price_of(at[1])),
    Column("old_serial", lambda at: at[1].old_serial),
    Column("new_serial", lambda at: at[1].new_serial),
    Column("reason", lambda at: at[1].reason),
    Column("kept_for_claim", lambda at: "yes" if at[1].kept_for_claim else "no"),
    Column("claim", lambda at: at[1].warranty_claim),
    Column("taken_from", lambda at: ";".join(van or "shelf" for van in at[1].vans)),
)
"""A line of what was used: amounts with a point in files, vans parted by semicolons."""
