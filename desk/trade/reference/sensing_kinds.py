"""The ways in which an appliance can notice that hot water is drawn."""

from __future__ import annotations

NOT_KNOWN = "not_known"
SENSING_KINDS = (
    "reed_float",
    "turbine_hall",
    "pressure_difference",
    "tank_thermostat",
    "vortex_ultrasonic",
    "mechanical_valve",
    NOT_KNOWN,
)
