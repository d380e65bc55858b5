"""Invented makers and models of appliances; no real brand is meant."""

from __future__ import annotations

import random
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Model:
    """A model of appliance.

    Attributes:
        share: how often it is met, relative to the others.
        activation: flow at which it starts to respond, as its plate says it; "" for a tank.
    """

    maker: str
    name: str
    kind: str
    sensing_kind: str
    share: float
    rated_input: str = ""
    smallest_input: str = ""
    activation: str = ""
    gas: bool = True
    sold: tuple[int, int] = (20, 1)
    """How many years before the day of the sample it was sold, first and last."""


DUO_28 = Model(
    "Pellimar", "Duo 28", "combination_boiler", "reed_float", 13,
    "120000 BTU/h", "28000 BTU/h", "0.50 gpm", sold=(9, 3),
)  # fmt: skip
BROOK_24 = Model(
    "Quorrin", "Brook 24", "combination_boiler", "pressure_difference", 13,
    "99000 BTU/h", "30000 BTU/h", "0.65 gpm", sold=(14, 2),
)  # fmt: skip
MODELS = (
    DUO_28,
    BROOK_24,
    Model(
        "Pellimar", "Duo 32", "combination_boiler", "reed_float", 9,
        "140000 BTU/h", "31000 BTU/h", "0.55 gpm", sold=(7, 1),
    ),
    Model(
        "Ondervale", "Swift 180", "instantaneous_heater", "turbine_hall", 20,
        "180000 BTU/h", "15000 BTU/h", "0.45 gpm",
    ),
    Model(
        "Ondervale", "Swift 199", "instantaneous_heater", "turbine_hall", 15,
        "199000 BTU/h", "15000 BTU/h", "0.40 gpm", sold=(8, 1),
    ),
    Model(
        "Quorrin", "Brook 30 V", "combination_boiler", "vortex_ultrasonic", 9,
        "110000 BTU/h", "22000 BTU/h", "0.50 gpm", sold=(6, 1),
    ),
    Model(
        "Skelwick", "Eleven", "instantaneous_heater", "mechanical_valve", 7,
        "75000 BTU/h", "25000 BTU/h", "0.75 gpm", sold=(26, 15),
    ),
    Model(
        "Tarnhollow", "Keep 50", "storage_heater", "tank_thermostat", 8,
        "40000 BTU/h", sold=(15, 1),
    ),
    Model(
        "Tarnhollow", "Side 40", "indirect_tank", "tank_thermostat", 4, gas=False, sold=(18, 2)
    ),
    Model("Skelwick", "Undersink 3", "other", "not_known", 2, gas=False, sold=(12, 2)),
)  # fmt: skip
SHARES = tuple(model.share for model in MODELS)
VENTS = ("direct vent, PVC 2 in, 12 ft", "direct vent, polypropylene 3 in, 20 ft", "B-vent 4 in")


def serial(rng: random.Random, model: Model) -> str:
    """Return a serial number as the maker's plate might have it."""
    return f"{model.maker[:2].upper()}{rng.randrange(10**4, 10**5)}-{rng.randrange(100, 1000)}"
