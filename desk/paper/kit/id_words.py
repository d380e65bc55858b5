"""Ids of a snapshot in words, each state with a shape of its own beside the word.

An id that is not known here prints as it stands: better a plain id than nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

from desk.base.texts import Message, message, say
from desk.records.fields.appliance_fields import APPLIANCE_WORDS, COVER_WORDS, SENSING_WORDS

APPLIANCE_KINDS, SENSING_KINDS, COVERS = APPLIANCE_WORDS, SENSING_WORDS, COVER_WORDS

ENDINGS: Mapping[str, Message] = {
    "mended": message("✔ Mended."),
    "to_continue": message("➜ Not finished yet: we come back."),
    "no_fault_found": message("◇ No fault found: it worked on every test."),
    "referred": message("➜ Referred: somebody else has to do this work."),
    "left": message("■ STOPPED FOR SAFETY: we stopped work and left."),
}

_SERVICED = message("✔ Serviced.")
_SERVICED_AND_MENDED = message("✔ Serviced, and mended.")


def ending_words(ending: str, *, planned: bool, found: bool) -> str:
    """Return how a visit ended: a planned service is serviced, whatever was found on the way.

    Args:
        ending: its id.
        planned: nobody complained; it was booked as a service.
        found: something was wrong and a cause is written down.
    """
    if planned and ending == "mended":
        return say(_SERVICED_AND_MENDED if found else _SERVICED)
    return word(ENDINGS, ending)


STATES: Mapping[str, Message] = {
    "new_call": message("▷ New call: no visit has been booked yet."),
    "booked": message("▷ Booked: the visit is still to come."),
    "under_way": message("▷ Under way: the visit is not finished."),
    "called_off": message("✖ Called off: no visit took place."),
}

STAGES: Mapping[str, Message] = {
    "arrive": message("Arrive"),
    "check": message("Check"),
    "measure": message("Measure"),
    "repair": message("Repair"),
    "prove": message("Prove"),
    "sign": message("Sign"),
}
"""The stages of a visit in the order of the work; a check belongs to any of them but the last."""

LEFT_STATES: Mapping[str, Message] = {
    "on": message("left on"),
    "off": message("left switched off"),
    "tagged": message("left off and tagged: do not use"),
}

LEFT_SIGNS: Mapping[str, str] = {"on": "●", "off": "○", "tagged": "■"}

VERDICTS: Mapping[str, tuple[str, Message]] = {
    "enough": ("✔", message("Enough for the appliance to respond.")),
    "enough_at_outlet": ("◐", message("Enough at this outlet.")),
    "too_little": ("▼", message("Too little for the appliance to respond.")),
    "too_little_at_outlet": ("▽", message("Too little at this outlet.")),
    "cannot_tell": ("◇", message("Too close to tell.")),
}

SAFE_SIGNS: Mapping[str, str] = {"yes": "✔", "no": "▲", "cannot_tell": "◇"}

TREND_SIGNS: Mapping[str, str] = {"improved": "△", "no_change": "◇", "worse": "▽"}

ROLES: Mapping[str, Message] = {
    "owner": message("Owner"),
    "occupant": message("Occupant"),
    "agent": message("Agent"),
}

WORKING_CAUTIONS = frozenset(
    {
        "acid",
        "by_hand",
        "clean_water",
        "co_monitor",
        "deferral",
        "descaling",
        "live_parts",
        "never_bridge",
        "no_ohms_on_electronics",
        "stored_pressure",
    }
)
"""Cautions that speak to whoever does the work alone, or that every report says anyway."""

ZONES: Mapping[str, Message] = {
    "water": message("water zone"),
    "sensing": message("sensing zone"),
    "response": message("response zone"),
    "none": message("no zone"),
}

MOMENTS: Mapping[str, Message] = {
    "found": message("Before (as found)"),
    "left": message("After (as left)"),
}

METHODS: Mapping[str, Message] = {
    "volume": message("timed filling of a container of known volume"),
    "weight": message("timed filling of a container, weighed"),
}

GROUPS: Mapping[str, Message] = {
    "appliance": message("by appliance"),
    "model": message("by model"),
    "cause": message("by cause"),
    "part": message("by part"),
    "maker": message("by maker"),
    "complaint": message("by complaint"),
    "supply_area": message("by supply area"),
    "hardness_class": message("by hardness of the water"),
    "install_year": message("by year of installation"),
    "kind": message("by kind of appliance"),
    "month": message("by month"),
    "sensing_kind": message("by sensing kind"),
    "technician": message("by technician"),
}


LEFT_OUT: Mapping[str, Message] = {
    "still_open": message("a visit to finish it is still open"),
    "stop_and_leave": message("stopped for safety and left"),
    "planned_service": message("planned service, nothing was complained of"),
    "called_off": message("called off"),
}


def word(words: Mapping[str, Message], key: str) -> str:
    """Say what an id means; an unknown one is shown as it stands, "" stays empty."""
    return say(words[key]) if key in words else key
