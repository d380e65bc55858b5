"""Invented parts that were used, ready to print; people, firms and places exist nowhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.shop import PartsUsed, PartTally, Tally, TechnicianTally, UsedPart
from tests.paper.extremes import CYRILLIC, GREEK, HOSTILE, POLISH, SENTENCE, VIETNAMESE
from tests.paper.snapshots import letterhead

SENSOR = UsedPart(
    visit="K-0400",
    day=date(2026, 11, 3),
    technician="Ann Poole",
    appliance="K-H0007",
    who="Mara Quill",
    where="9 Weir Street",
    number="S-118",
    name="Flow sensor",
    pieces=1,
    each_cents=6450,
    is_todays_price=False,
    old_serial="FS-2201",
    new_serial="FS-7734",
    reason="Rotor cracked",
    kept_for_claim=True,
    warranty_claim="C-77",
    vans=("Ann Poole",),
)
GASKET = replace(
    SENSOR, number="G-012", name="Gasket 3/4 in", pieces=4, each_cents=135, old_serial="",
    new_serial="", reason="", kept_for_claim=False, vans=("",),
)  # fmt: skip
IN_WORDS = replace(
    GASKET, number="", name="Short copper elbow", pieces=2, each_cents=None, vans=()
)  # fmt: skip
OLD = replace(SENSOR, visit="K-0401", day=date(2026, 11, 9), technician="Ben Rowe",
              is_todays_price=True, kept_for_claim=False, vans=("Ben Rowe",))  # fmt: skip


def tally(*lines: UsedPart) -> Tally:
    return Tally(
        sum(line.pieces for line in lines),
        len({line.visit for line in lines}),
        sum(line.cents or 0 for line in lines),
        sum(line.pieces for line in lines if line.cents is None),
    )


def used_of(*lines: UsedPart, system: UnitSystem = "us", paper: PaperSize = "letter") -> PartsUsed:
    """Return November's parts, added up as the records do."""
    names = dict.fromkeys((line.number, line.name) for line in lines)
    people = sorted({line.technician for line in lines})
    of_part = {name: [one for one in lines if (one.number, one.name) == name] for name in names}
    return PartsUsed(
        letterhead=letterhead(system, paper),
        currency="CAD",
        since=date(2026, 11, 1),
        until=date(2026, 11, 30),
        lines=lines,
        by_part=tuple(
            PartTally(
                number, name, tally(*mine),
                tuple((van, 1) for van in sorted({van for one in mine for van in one.vans})),
            )
            for (number, name), mine in of_part.items()
        ),
        by_technician=tuple(
            TechnicianTally(name, tally(*(one for one in lines if one.technician == name)))
            for name in people
        ),
        total=tally(*lines),
    )  # fmt: skip


def usual_month(system: UnitSystem, paper: PaperSize) -> PartsUsed:
    """Return a month of four parts on two visits."""
    return used_of(SENSOR, GASKET, IN_WORDS, OLD, system=system, paper=paper)


def nothing_used(system: UnitSystem, paper: PaperSize) -> PartsUsed:
    return used_of(system=system, paper=paper)


def busy_month(system: UnitSystem, paper: PaperSize) -> PartsUsed:
    """Return a month of a hundred visits with up to five parts each."""
    lines = [
        replace(
            (SENSOR, GASKET, IN_WORDS)[(turn + place) % 3],
            visit=f"K-{500 + turn}",
            day=date(2026, 11, 1) + timedelta(days=turn * 29 // 100),
            technician=("Ann Poole", "Ben Rowe", "")[turn % 3],
            name=f"{('Flow sensor', 'Gasket', 'Elbow')[(turn + place) % 3]} {turn % 17}",
            number=f"N-{turn % 17:02d}-{place}" if (turn + place) % 3 < 2 else "",
        )
        for turn in range(100)
        for place in range(turn % 5 + 1)
    ]
    return used_of(*lines, system=system, paper=paper)


def without_prices(system: UnitSystem, paper: PaperSize) -> PartsUsed:
    return used_of(IN_WORDS, replace(GASKET, each_cents=None), system=system, paper=paper)


def hostile_words(system: UnitSystem, paper: PaperSize) -> PartsUsed:
    """Return parts in which every text that somebody typed is hostile, long or of any script."""
    hostile = replace(
        SENSOR, technician=HOSTILE, who=HOSTILE, where=HOSTILE, name=HOSTILE, number=HOSTILE,
        old_serial=HOSTILE, new_serial=HOSTILE, reason=HOSTILE, warranty_claim=HOSTILE,
        vans=(HOSTILE,),
    )  # fmt: skip
    endless = replace(SENSOR, visit="K-0777", name=SENTENCE, reason=SENTENCE * 70)
    many = replace(GASKET, visit="K-0778", name=GREEK, who=CYRILLIC, technician=POLISH,
                   where=VIETNAMESE)  # fmt: skip
    return used_of(hostile, endless, many, system=system, paper=paper)


MONTHS: dict[str, Callable[[UnitSystem, PaperSize], PartsUsed]] = {
    "usual": usual_month,
    "nothing": nothing_used,
    "busy": busy_month,
    "no-prices": without_prices,
    "hostile": hostile_words,
}
