"""Whether a call repeats a finished visit, and what is said of it while the phone is at the ear."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from desk.records.views import HistoryLine
from desk.trade.bookings import say_day
from desk.wording import _, plural

REPEAT_DAYS = 90


def repeated(
    history: Iterable[HistoryLine], appliance: str, complaint: str, today: date
) -> HistoryLine | None:
    """Return the newest finished visit for the same complaint that is not too long ago.

    Args:
        history: the newest visit first.
        appliance: the appliance's number.
        complaint: its kind; planned service, "", repeats nothing.
        today: the day of the call.
    """
    if not complaint:
        return None
    return next(
        (
            line
            for line in history
            if line.appliance == appliance
            and line.complaint == complaint
            and line.state in {"finished", "sealed"}
            and (today - line.day).days <= REPEAT_DAYS
        ),
        None,
    )


def repeat_words(line: HistoryLine, today: date) -> str:
    """Say which visit is repeated and what was done then."""
    done = "; ".join(part for part in (line.cause, ", ".join(line.parts)) if part)
    return plural(
        "↺ This was called in before: {number} on {day}, {count} day ago. {done}",
        "↺ This was called in before: {number} on {day}, {count} days ago. {done}",
        (today - line.day).days,
        number=line.number,
        day=say_day(line.day),
        done=done or _("No cause was written down."),
    )
