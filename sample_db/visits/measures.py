"""What is measured on a visit: timed fills that fit a true flow, and readings typed in one go."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from desk.records.tables import Fill, Reading, ReadingInput
from desk.trade.flow import timed_flow as trade_flow
from desk.trade.flow.fills import TIMING_HALF_WIDTH_S
from desk.trade.quantities.typed_quantity import QuantityKind
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from sample_db.kit.chance import happens
from sample_db.kit.diary import DiaryEntry
from sample_db.kit.quantities import typed
from sample_db.kit.store import Row
from sample_db.visits.phrases import FAULT_CODES, LEAK_TESTS, OUTLETS, RELIEF_VALVES
from sample_db.visits.walks import Taken

CONTAINERS = (("1 gal", "0.25 gal"), ("2 gal", "0.25 gal"), ("5 gal", "0.5 gal"))
_TIMING = f"{TIMING_HALF_WIDTH_S} s"
_SHORTEST_FILL_S = 25.0
_LONGEST_FILL_S = 240.0
_SCATTER_S = 0.2
_SLIP_SHARE = 0.02

_ASKED = {
    "temperatures": ("inlet_temperature", "outlet_temperature"),
    "temperature": ("tap_temperature",),
    "pressure": ("static_pressure", "running_pressure"),
    "water_quality": ("hardness",),
    "room_co": ("co_in_room",),
    "supply_volts": ("supply_voltage",),
    "pulse_frequency": ("pulse_rate",),
    "gas_pressure": ("gas_pressure_static", "gas_pressure_working"),
    "combustion": ("oxygen_in_flue", "co_in_flue"),
}
"""Readings behind a name that a check records under; other names are kinds of reading or words."""

_RANGES: dict[str, tuple[float, float, int, str]] = {
    "set_temperature": (118, 125, 0, "F"),
    "inlet_temperature": (46, 62, 0, "F"),
    "outlet_temperature": (112, 119, 0, "F"),  # a hotter one proves no tap
    "tap_temperature": (108, 119, 0, "F"),
    "static_pressure": (48, 74, 0, "psi"),
    "running_pressure": (30, 46, 0, "psi"),
    "circuit_pressure": (14, 22, 0, "psi"),
    "gas_pressure_static": (7.0, 9.5, 1, "inH2O"),
    "gas_pressure_working": (5.6, 7.0, 1, "inH2O"),
    "oxygen_in_flue": (4.5, 7.5, 1, "%"),
    "co_in_flue": (20, 95, 0, "ppm"),
    "co_in_room": (0, 3, 0, "ppm"),
    "supply_voltage": (117, 123, 0, "V"),
    "sensor_voltage": (4.8, 5.2, 1, "V"),
    "contact_resistance": (0.2, 1.6, 1, "ohm"),
    "sensor_resistance": (9.0, 12.5, 1, "kohm"),
    "flame_current": (2.0, 6.0, 1, "uA"),
    "pulse_rate": (18, 60, 0, "Hz"),
    "hardness": (2, 24, 0, "gpg"),
}
"""Lowest and highest value of a sound installation, decimals, unit; common practice, no source."""

_CARDS = {
    "heat": {FLOW, "inlet_temperature", "outlet_temperature"},
    "pressure": {FLOW, "static_pressure", "running_pressure"},
    "water": {"hardness"},
}
"""Computed measurements, and the readings from which each comes about."""

_WORDS = {"fault_code": FAULT_CODES, "leak_test": LEAK_TESTS, "relief_valve": RELIEF_VALVES}

_INSTRUMENTS = {
    QuantityKind.PRESSURE: "gauge G-2",
    QuantityKind.GAS_PRESSURE: "manometer M-1",
    QuantityKind.FRACTION: "analyser K-3",
    QuantityKind.RESISTANCE: "multimeter V-4",
    QuantityKind.VOLTAGE: "multimeter V-4",
}


@dataclass(frozen=True, slots=True)
class Measured:
    """When and where a reading was taken."""

    visit_id: object
    moment: str
    check_id: str
    taken_at: datetime


def flow_rows(
    rng: random.Random,
    entry: DiaryEntry,
    where: Measured,
    *,
    true_gpm: float,
    activation: str,
    crossing_passed: bool | None,
) -> Iterator[tuple[type[Reading | ReadingInput | Fill], Row]]:
    """Give the rows of one measured flow: its reading, what went into it, and its fills.

    Args:
        rng: the chance.
        entry: that records it.
        where: visit and time.
        true_gpm: the flow as it really is, US gallons per minute.
        activation: the appliance's activation flow as typed.
        crossing_passed: whether the crossing test was passed; None where nobody said.
    """
    container, graduation = _container_for(true_gpm)
    true_s = float(container.split()[0]) / true_gpm * 60
    texts = [
        f"{max(1.0, rng.gauss(true_s, _SCATTER_S)):.1f} s" for _ in range(rng.choice((2, 3, 3, 4)))
    ]
    slipped = len(texts) - 1 if happens(rng, _SLIP_SHARE) else None
    result = trade_flow.timed_volume(
        [
            trade_flow.TimedFill(typed(text, QuantityKind.TIME).si)
            for n, text in enumerate(texts)
            if n != slipped
        ],
        trade_flow.FillContainer(
            typed(container, QuantityKind.VOLUME).si, typed(graduation, QuantityKind.VOLUME).si / 2
        ),
        timing_half_width_s=TIMING_HALF_WIDTH_S,
    )
    reading = entry.new(
        Reading,
        visit_id=where.visit_id,
        kind=FLOW,
        moment=where.moment,
        check_id=where.check_id,
        outlet=rng.choice(OUTLETS),
        method="volume",
        si_value=result.flow_m3_per_s,
        standard_uncertainty_si=result.standard_uncertainty_m3_per_s,
        full_hot=True,
        no_mixing_valve=happens(rng, 0.8) or None,
        crossing_passed=crossing_passed,
        others_shut=True,
        taken_at=where.taken_at,
    )
    yield Reading, reading
    for name, text, kind in (
        ("container", container, QuantityKind.VOLUME),
        ("graduation", graduation, QuantityKind.VOLUME),
        ("timing", _TIMING, QuantityKind.TIME),
        ("activation", activation, QuantityKind.VOLUME_RATE),
    ):
        quantity = typed(text, kind)
        yield (
            ReadingInput,
            entry.new(
                ReadingInput,
                reading_id=reading["id"],
                name=name,
                typed=text,
                unit=quantity.unit,
                si_value=quantity.si,
            ),
        )
    for n, text in enumerate(texts):
        yield (
            Fill,
            entry.new(
                Fill,
                reading_id=reading["id"],
                number=n + 1,
                typed=text,
                seconds=typed(text, QuantityKind.TIME).si,
                struck=n == slipped,
                struck_reason="Started the watch late." if n == slipped else "",
            ),
        )


def _container_for(gpm: float) -> tuple[str, str]:
    """Return the smallest container that takes long enough to time well."""
    for container, graduation in CONTAINERS:
        seconds = float(container.split()[0]) / gpm * 60
        if seconds >= _SHORTEST_FILL_S or seconds > _LONGEST_FILL_S:
            return container, graduation
    return CONTAINERS[-1]


def kinds_asked(walked: list[Taken]) -> dict[str, str]:
    """Return the kinds of reading that the checks of a walk record, each with its check."""
    asked: dict[str, str] = {}
    for taken in walked:
        for name in taken.check.records:
            for kind in _ASKED.get(name, (name,)):
                if kind in _RANGES or kind in _WORDS:
                    asked.setdefault(kind, taken.check.id)
    return asked


def reading_row(
    rng: random.Random, entry: DiaryEntry, where: Measured, kind: str, text: str = ""
) -> Row:
    """Return the row of a reading that is typed in one go; a sound value unless one is given."""
    quantity = READING_KINDS[kind].quantity
    text = text or _sound(rng, kind)
    value = typed(text, quantity) if quantity else None
    return entry.new(
        Reading,
        visit_id=where.visit_id,
        kind=kind,
        moment=where.moment,
        check_id=where.check_id,
        method="read",
        typed=text,
        unit=value.unit if value else "",
        si_value=value.si if value else None,
        instrument=_INSTRUMENTS.get(quantity, "") if quantity else "",
        taken_at=where.taken_at,
    )


def cards_from(known: set[str]) -> list[str]:
    """Return the computed measurements for which everything is known already."""
    return [card for card, needed in _CARDS.items() if needed <= known]


def card_row(entry: DiaryEntry, where: Measured, card: str) -> Row:
    """Return the row of a computed measurement that takes over all it needs."""
    return entry.new(
        Reading,
        visit_id=where.visit_id,
        kind=card,
        moment=where.moment,
        check_id=where.check_id,
        method="computed",
        taken_at=where.taken_at,
    )


def _sound(rng: random.Random, kind: str) -> str:
    if kind in _WORDS:
        return rng.choice(_WORDS[kind])
    low, high, decimals, unit = _RANGES[kind]
    return f"{rng.uniform(low, high):.{decimals}f} {unit}"
