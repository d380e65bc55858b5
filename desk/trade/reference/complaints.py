"""The kinds of complaint that the office writes down: ours, in a caller's plain words."""

from __future__ import annotations

from desk.base.texts import Message, message

PLANNED_SERVICE = ""
"""A visit without a complaint."""

OTHER = "other"

COMPLAINTS: dict[str, Message] = {
    "no_response": message("No hot water: nothing happens when a tap is opened"),
    "noticed_no_heat": message("The appliance starts, but the water stays cold"),
    "comes_and_goes": message("Hot water comes and goes"),
    "too_cool": message("Hot water is not hot enough"),
    "too_little_flow": message("Too little hot water runs"),
    "call_with_taps_shut": message("The appliance runs with every tap shut"),
    "slow_to_arrive": message("Hot water takes too long to arrive"),
    OTHER: message("Something else about hot water"),
    PLANNED_SERVICE: message("Planned service"),
}


def complaint_text(complaint: str) -> Message:
    """Return the words for a complaint's id; an id of a newer program is said as it stands."""
    return COMPLAINTS.get(complaint) or message("{complaint}", complaint=complaint)
