"""Invented people: the shop's staff and its customers. Any likeness to a real person is chance."""

from __future__ import annotations

import random
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Staff:
    """Somebody who works at the shop, and the licensed work that person may do."""

    name: str
    is_technician: bool
    licence_class: str = ""
    licence_number: str = ""
    may_plumbing: bool = False
    may_electrical: bool = False
    may_gas: bool = False


OFFICE_STAFF = (Staff("Odalys Fenwright", False), Staff("Per Haldorsen-Reed", False))
TECHNICIANS = (
    Staff("Maren Tolliver", True, "Master, gas and hydronic", "EM-2207", True, True, True),
    Staff("Casimir Oyelaran", True, "Journeyman plumber, gas", "EJ-3114", True, False, True),
    Staff("Thuy Lindqvist", True, "Journeyman plumber, electrical", "EJ-3390", True, True, False),
    Staff("Bram Castellane", True, "Plumbing apprentice", "EA-5021", True, False, False),
)

GIVEN = (
    "Ada", "Amir", "Beatriz", "Calum", "Chidi", "Clara", "Dorothea", "Edwin", "Elif", "Esme",
    "Farid", "Fiona", "Gideon", "Greta", "Hana", "Hector", "Imogen", "Ines", "Ivo", "Jasper",
    "Joanna", "Kenji", "Leila", "Lorcan", "Lucia", "Magnus", "Malika", "Nadia", "Nils", "Olive",
    "Oscar", "Petra", "Quentin", "Ravi", "Rosa", "Samira", "Silas", "Tamsin", "Tobias", "Uma",
    "Vera", "Walter", "Ximena", "Yusuf", "Zelda",
)  # fmt: skip
FAMILY = (
    "Abernale", "Ashgrove-Li", "Bellweather", "Birkmoor", "Brannock", "Carrowby", "Castleden",
    "Dellacourt", "Drummley", "Easterbrook", "Eskola", "Fairlamb", "Farrowdale", "Garrickson",
    "Glenholt", "Hartsease", "Hollowell", "Inglemere", "Jessamy", "Kestrel", "Kowalewska-Dunn",
    "Langmire", "Lowther-Singh", "Marchbanks", "Merrowdene", "Nakashima-Holt", "Norwell",
    "Okonjo-Vale", "Orrinsmith", "Pellworth", "Penhallow", "Quince", "Ravensby", "Rookwood",
    "Saltmarsh", "Sandoval-Reyes", "Thistlewood", "Tremayne", "Underhay", "Vanterpool",
    "Wainscott", "Winterbourne", "Yarrowby", "Zetterholm",
)  # fmt: skip
OTHER_WRITING = (
    "Ελένη Θαλασσινού", "Галина Синичкина", "Łucja Źdźbłowska", "Nguyễn Thị Sương Mai",
    "Νίκος Πετράλωνας", "Тарас Вербовий", "Grzegorz Świętosław", "Trần Quốc Phúc",
    "Μαρίνα Λυγερού", "Людмила Озерная", "Śliwa-Żółkiewska, Józefa", "Đặng Hoài Thương",
)  # fmt: skip
LANDLORDS = ("Harrowgate Lettings (Orla Wick)", "Tidewell Homes Trust", "Lodestar Rooms")
AREA_CODES = ("212", "315", "347", "518", "585", "607", "631", "716", "845", "914")
_LINES = 100
_EVERY_OTHER_WRITING = 13
"""Every so many customers one is written otherwise: by count, so that no sample lacks them."""


def customer_name(rng: random.Random, index: int) -> str:
    """Return the n-th name, now and then in Greek, Cyrillic, Polish or Vietnamese writing."""
    turn, place = divmod(index, _EVERY_OTHER_WRITING)
    if place == _EVERY_OTHER_WRITING - 1:
        return OTHER_WRITING[turn % len(OTHER_WRITING)]
    return f"{rng.choice(GIVEN)} {rng.choice(FAMILY)}"


def phone(index: int) -> tuple[str, str]:
    """Return the telephone number of the n-th line as typed and in E.164.

    Only 555-0100 to 555-0199 are used, which no telephone company gives out; after a thousand
    lines the numbers begin again.
    """
    area = AREA_CODES[index // _LINES % len(AREA_CODES)]
    line = 100 + index * 37 % _LINES
    typed = (f"({area}) 555-0{line}", f"{area}-555-0{line}", f"{area} 555 0{line}")[index % 3]
    return typed, f"+1{area}5550{line}"


def technicians(count: int) -> tuple[Staff, ...]:
    """Return the four technicians, and as many more as a larger shop needs."""
    more = (
        Staff(
            f"{GIVEN[i % len(GIVEN)]} {FAMILY[i * 7 % len(FAMILY)]}",
            True,
            "Journeyman plumber, gas",
            f"EJ-{4000 + i}",
            may_plumbing=True,
            may_electrical=i % 2 == 0,
            may_gas=True,
        )
        for i in range(count - len(TECHNICIANS))
    )
    return (*TECHNICIANS, *more)
