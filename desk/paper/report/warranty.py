"""What a warranty asks of whoever works on the appliance, said while it runs."""

from __future__ import annotations

from datetime import date

from desk.base.texts import _, plural
from desk.paper.kit.date_text import show_date

SOON_DAYS = 60
"""An end that is nearer than this is said with its days (ours; common practice, no source)."""


def warranty_words(until: date | None, on: date) -> str:
    """Return a sentence while a warranty runs, "" when it has ended or nothing is known.

    Args:
        until: its last day; None where it is not known.
        on: the day of the work.
    """
    if until is None or until < on:
        return ""
    left = (until - on).days
    if left == 0:
        runs = _("The warranty ends today.")
    elif left <= SOON_DAYS:
        runs = plural(
            "The warranty ends in {count} day.", "The warranty ends in {count} days.", left
        )
    else:
        runs = _("Under warranty until {day}.", day=show_date(until))
    asks = _("Ask the maker first, and keep what is taken out.")
    return f"{runs} {asks}"
