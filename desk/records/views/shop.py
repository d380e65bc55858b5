"""What the shop's own lists show: people, parts, orders, containers."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

type OrderState = Literal["to_order", "ordered", "came"]


@dataclass(frozen=True, slots=True)
class PersonCard:
    """Somebody of the shop, with the licensed work that person may do."""

    person_id: uuid.UUID
    name: str
    phone: str
    is_technician: bool
    licence_class: str
    licence_number: str
    may_plumbing: bool
    may_electrical: bool
    may_gas: bool


@dataclass(frozen=True, slots=True)
class PartCard:
    """A part of the catalogue with its stock: on the shelf and in each technician's van."""

    part_id: uuid.UUID
    number: str
    name: str
    price_cents: int | None
    keep_at_least: int
    shelf: int
    vans: tuple[tuple[str, int], ...]


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
