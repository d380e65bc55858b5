"""Words and shapes for the ids that windows show: states, kinds, roles."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from desk.base.texts import Message, _, message
from desk.paper.kit.id_words import APPLIANCE_KINDS, COVERS, ROLES, SENSING_KINDS
from desk.trade.reference.sensing_kinds import NOT_KNOWN

__all__ = [
    "APPLIANCE_KINDS",
    "COVERS",
    "ROLES",
    "SENSING_KINDS",
    "STATES",
    "as_entry",
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


def state_words(state: str) -> str:
    """Return a state as its shape and its word."""
    shape, word = STATES.get(state, ("?", message("{state}", state=state)))
    return f"{shape} {word}"


def saved_words(when: datetime, zone: str) -> str:
    """Say quietly when something was kept, by the clock on the office's wall."""
    return _("saved {time}", time=f"{when.astimezone(ZoneInfo(zone)):%H:%M:%S}")


def options(words: Mapping[str, Message]) -> tuple[tuple[str, str], ...]:
    """Return ids with their words, for a choice: what is not known yet first."""
    ordered = sorted(words, key=lambda key: key != NOT_KNOWN)
    return tuple((key, as_entry(words[key])) for key in ordered)


def as_entry(words: Message) -> str:
    """Say words that stand alone, in a list or a cell: with a capital."""
    said = str(words)
    return f"{said[:1].upper()}{said[1:]}"
