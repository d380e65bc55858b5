"""The words of what comes back: groupings, views, what became of a job."""

from __future__ import annotations

from desk.base.texts import Message, _, message
from desk.records.views.recurrence import RepeatVisit
from desk.windows.kit.labels import brief
from desk.windows.kit.words import APPLIANCE_KINDS, SENSING_KINDS, as_entry

BY: dict[str, Message] = {
    "cause": message("Cause"),
    "model": message("Model"),
    "appliance": message("Appliance"),
    "maker": message("Maker"),
    "kind": message("Kind of appliance"),
    "sensing_kind": message("Sensing kind"),
    "complaint": message("Complaint"),
    "part": message("Part"),
    "supply_area": message("Supply area"),
    "hardness_class": message("Hardness of the water"),
    "install_year": message("Year installed"),
    "month": message("Month"),
    "technician": message("Technician"),
}
"""What jobs are grouped by, in the order in which it is offered."""
OF_PEOPLE = "technician"
OF_AGES = tuple(key for key in BY if key not in {"month", OF_PEOPLE})
"""What failures against age go by; the same groups suit the lives of parts."""

LONGEST_NAME = 60
"""Letters of a group's name within a sentence; its table shows all of it."""

WHY_LEFT_OUT: dict[str, Message] = {
    "called_off": message("called off"),
    "stop_and_leave": message("stopped and left"),
    "still_open": message("still open"),
    "planned_service": message("planned service"),
    "window_not_over": message("window not over"),
}


def group_label(by: str, key: str, label: str) -> str:
    """Say what a group is called; kinds by their words, and never by nothing.

    Args:
        by: the grouping.
        key: the group's key.
        label: what the records call it; "" where it has no name.
    """
    kinds = {"sensing_kind": SENSING_KINDS, "kind": APPLIANCE_KINDS}.get(by, {})
    return as_entry(kinds[key]) if key in kinds else label or _("Not known")


def named(label: str) -> str:
    """Return what a group is called as it stands in a sentence, however long that is."""
    return brief(label, LONGEST_NAME)


def became(visit: RepeatVisit) -> str:
    """Say what became of a job: a word with a shape."""
    back = (
        _("▲ {number} after {days} days", number=visit.repeated_by, days=visit.days_between)
        if visit.repeated_by
        else ""
    )
    left_out = WHY_LEFT_OUT.get(visit.left_out)
    if left_out is not None:
        return "  ".join(part for part in (f"○ {left_out}", back) if part)
    return back or _("● did not come back")
