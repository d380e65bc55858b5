"""Words and shapes for the ids that windows show: states, kinds, roles."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from desk.paper.words import APPLIANCE_KINDS
from desk.wording import Message, _, message

__all__ = [
    "APPLIANCE_KINDS",
    "GROUPS",
    "ROLES",
    "SENSING_KINDS",
    "STATES",
    "options",
    "saved_words",
    "state_words",
]

STATES: dict[str, tuple[str, Message]] = {
    "new_call": ("◇", message("new call")),
    "booked": ("○", message("booked")),
    "under_way": ("◐", message("under way")),
    "finished": ("●", message("finished")),
    "sealed": ("■", message("sealed")),
    "called_off": ("✕", message("called off")),
}
"""A state is always a word with a shape, never a colour alone."""

SENSING_KINDS: dict[str, Message] = {
    "not_known": message("Not known"),
    "reed_float": message("Reed switch and magnetic float"),
    "turbine_hall": message("Turbine with Hall sensor"),
    "pressure_difference": message("Pressure-difference switch"),
    "tank_thermostat": message("Tank thermostat or sensor"),
    "vortex_ultrasonic": message("Vortex or ultrasonic meter"),
    "mechanical_valve": message("Mechanical water valve"),
}
ROLES: dict[str, Message] = {
    "owner": message("Owner"),
    "occupant": message("Occupant"),
    "agent": message("Agent"),
}
GROUPS: dict[str, Message] = {
    "cause": message("Cause"),
    "model": message("Model"),
    "appliance": message("Appliance"),
    "maker": message("Maker"),
    "sensing_kind": message("Sensing kind"),
    "complaint": message("Complaint"),
    "supply_area": message("Supply area"),
    "install_year": message("Year installed"),
}


def state_words(state: str) -> str:
    """Return a state as its shape and its word."""
    shape, word = STATES.get(state, ("?", message("{state}", state=state)))
    return f"{shape} {word}"


def saved_words(when: datetime, zone: str) -> str:
    """Say quietly when something was kept, by the clock on the office's wall."""
    return _("saved {time}", time=f"{when.astimezone(ZoneInfo(zone)):%H:%M:%S}")


def options(words: Mapping[str, Message]) -> tuple[tuple[str, str], ...]:
    """Return ids with their words, for a choice."""
    return tuple((key, str(word)) for key, word in words.items())
