"""Words for the ids of causes and complaints, and for groups that have none."""

from __future__ import annotations

from desk.trade.complaints import complaint_text
from desk.wording import message, say


def label_of(by: str, key: str) -> str:
    """Return a group's name for people; ids of the catalogue and of complaints become words."""
    if not key:
        return say(message("Planned service")) if by == "complaint" else say(message("Not known"))
    if by == "cause":
        from desk.trade.content import in_language, load_content

        known = load_content().causes.get(key)
        return in_language(known.name) if known else key
    if by == "complaint":
        return say(complaint_text(key))
    return key
