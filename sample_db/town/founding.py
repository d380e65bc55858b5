"""The office's first days: its people, its parts on shelf and in vans, and the landlords."""

from __future__ import annotations

import random
import uuid
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.tables import Customer, CustomerPhone, Part, Person, StockMovement
from sample_db.kit.diary import Diary, DiaryEntry
from sample_db.kit.store import Row
from sample_db.town import people, stockroom, town

_IN_A_VAN = 3
_ON_THE_SHELF = 12


@dataclass(frozen=True, slots=True)
class Colleague:
    """Somebody of the shop, with the key of the row."""

    key: uuid.UUID
    staff: people.Staff


@dataclass(frozen=True, slots=True)
class Landlord:
    """A customer with several premises."""

    key: uuid.UUID
    name: str
    phone: str


class Stock:
    """Parts by place: vans are filled from the shelf, and the shelf by orders."""

    def __init__(self, diary: Diary, buyer: Colleague, vans: Sequence[Colleague]) -> None:
        self._diary = diary
        self._buyer = buyer
        self._keys: dict[str, uuid.UUID] = {}
        self._names: dict[str, str] = {}
        self._pieces: dict[tuple[str, uuid.UUID | None], int] = {}
        entry = diary.entry(message("Parts added to the catalogue"), buyer.key)
        for part in stockroom.PARTS:
            row = entry.keep(Part, **asdict(part))
            self._keys[part.number], self._names[part.number] = row["id"], part.name
            self._move(entry, part.number, None, "received", _ON_THE_SHELF + _IN_A_VAN * len(vans))
            for van in vans:
                self._to_van(entry, part.number, van.key)

    def part(self, number: str) -> tuple[uuid.UUID, str]:
        """Return the key and the name of a part."""
        return self._keys[number], self._names[number]

    def make_ready(self, number: str, van: uuid.UUID) -> None:
        """See that a van has a part, on an early morning if need be."""
        if self._pieces[number, van] > 0:
            return
        if self._pieces[number, None] < _IN_A_VAN:
            entry = self._diary.entry(message("Parts received"), self._buyer.key)
            self._move(entry, number, None, "received", _ON_THE_SHELF)
        entry = self._diary.entry(message("Parts moved to a van"), self._buyer.key)
        self._to_van(entry, number, van)

    def use(self, entry: DiaryEntry, number: str, van: uuid.UUID, visit: uuid.UUID) -> Row:
        """Take a part from a van for a visit and return the movement, which the visit keeps."""
        self._pieces[number, van] -= 1
        return entry.new(
            StockMovement,
            part_id=self._keys[number],
            van_of_id=van,
            kind="used",
            pieces=-1,
            visit_id=visit,
            at=self._diary.now,
        )

    def _to_van(self, entry: DiaryEntry, number: str, van: uuid.UUID) -> None:
        self._move(entry, number, None, "moved", -_IN_A_VAN)
        self._move(entry, number, van, "moved", _IN_A_VAN)

    def _move(
        self, entry: DiaryEntry, number: str, place: uuid.UUID | None, kind: str, pieces: int
    ) -> None:
        self._pieces[number, place] = self._pieces.get((number, place), 0) + pieces
        entry.keep(
            StockMovement,
            part_id=self._keys[number],
            van_of_id=place,
            kind=kind,
            pieces=pieces,
            at=self._diary.now,
        )


def hire(diary: Diary, technicians: int) -> tuple[list[Colleague], list[Colleague]]:
    """Add the shop's people; return those of the office and the technicians."""
    entry = diary.entry(message("People of the shop added"), None)
    known = []
    for number, staff in enumerate((*people.OFFICE_STAFF, *people.technicians(technicians))):
        row = entry.keep(Person, **asdict(staff), phone=people.phone(1 + number)[0])
        known.append(Colleague(row["id"], staff))
    return (
        [colleague for colleague in known if not colleague.staff.is_technician],
        [colleague for colleague in known if colleague.staff.is_technician],
    )


def add_landlords(diary: Diary, by: Colleague, rng: random.Random) -> list[Landlord]:
    """Add the customers who own several premises."""
    landlords = []
    for number, name in enumerate(people.LANDLORDS):
        entry = diary.entry(message("Customer added"), by.key)
        area = rng.choice(town.AREAS)
        customer = entry.keep(
            Customer,
            name=name,
            folded=fold(name),
            note="Owns several premises; ask before work above the usual.",
            **address(f"{10 + number} {rng.choice(area.streets)}"),
        )
        typed, e164 = people.phone(50 + number)
        entry.keep(
            CustomerPhone, customer_id=customer["id"], typed=typed, e164=e164, label="office"
        )
        landlords.append(Landlord(customer["id"], name, typed))
    return landlords


def address(street: str) -> dict[str, str]:
    """Return an address in the town, by the names of the columns."""
    return {
        "street": street,
        "locality": town.LOCALITY,
        "region": town.REGION,
        "postcode": town.POSTCODE,
    }
