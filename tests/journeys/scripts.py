"""What a technician finds on four jobs, by check; every other check finds nothing wrong."""

from __future__ import annotations

from sample_db.trial import ANSWERS

NOT_NOTICED = {"draw_one": "not_noticed", "draw_two": "still_not"}

STRAINER = NOT_NOTICED | {
    "what_happens": "little_water",
    "what_changed": "main_work",
    "cold_flow": "weak",
    "timed_flow": "too_little",
    "pressures": "falls",
    "supply_strainer": "blocked",
}
"""Water zone: the strainer of the building is blocked."""

FLOAT = dict(ANSWERS)
"""Sensing zone: the float does not lift."""

DIVERTER = {"draw_one": "noticed_not_hot", "pipe_at_appliance": "pipe_cool", "diverter": "stuck"}
"""Response zone: the three-way valve stays on heating."""

STOP_AND_LEAVE = {"danger": "danger"}
"""A smell of gas at the door."""
