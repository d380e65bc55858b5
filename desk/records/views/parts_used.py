"""The parts that were used over some days, as they are printed: frozen; money in whole cents."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from desk.records.views.parties import Letterhead


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
