"""Invented days of visits, ready to print; people, firms and places exist nowhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from desk.records.views.day import DaySheet, DaySheetVisit, TechnicianSheet
from desk.records.views.parties import PaperSize
from tests.paper.snapshots import letterhead

EIGHT = datetime(2026, 11, 12, 13, 0, tzinfo=UTC)
"""Eight in the morning, where the invented shop is."""

DAY_VISIT = DaySheetVisit(
    number="K-0400",
    state="booked",
    start=EIGHT,
    end=EIGHT + timedelta(minutes=75),
    who="Mara Quill",
    phones=("(613) 555-0142",),
    address=("9 Weir Street", "Millbrook Falls, ON"),
    access_note="Side door, ring twice",
    appliance="K-H0007 Kestle 24",
    complaint_text="Hot water comes and goes",
    words="Cold in the shower after a minute.",
    danger_reported=False,
    continues="",
    left_to_do="",
    days_since=None,
    overlaps=(),
)

HEEDED_VISIT = replace(
    DAY_VISIT,
    danger_reported=True,
    continues="K-0311",
    left_to_do="fit the new sensor",
    overlaps=("K-0401",),
)


def day_visit(turn: int) -> DaySheetVisit:
    """Return the visit of a long day that begins ``turn`` quarters of an hour after eight."""
    start = EIGHT + timedelta(minutes=15 * turn)
    end = start + timedelta(minutes=60)
    return replace(DAY_VISIT, number=f"K-{500 + turn:04d}", start=start, end=end)


def day_of(*technicians: TechnicianSheet, paper: PaperSize = "letter") -> DaySheet:
    return DaySheet(letterhead(paper=paper), date(2026, 11, 12), technicians)


def full_day(paper: PaperSize = "letter") -> DaySheet:
    """Return a day of two technicians: one with much to take heed of, one with a long list."""
    again = replace(DAY_VISIT, state="finished", days_since=8)
    return day_of(
        TechnicianSheet("Ann Poole", (again, HEEDED_VISIT)),
        TechnicianSheet("Ben Rowe", tuple(map(day_visit, range(30)))),
        paper=paper,
    )
