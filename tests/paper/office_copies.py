"""Invented office copies, ready to print; people, firms and places exist nowhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

from desk.records.views.measured import FillLine
from desk.records.views.office_copy import DoneLine, GivenAnswer, OfficeCopy, RevisionLine
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import Printout, VisitReport
from tests.paper.extremes import EXTREMES, HOSTILE, SENTENCE
from tests.paper.snapshots import FINGERPRINT, SEALED_AT, bare_report, full_report
from tests.paper.used_parts import GASKET, IN_WORDS, SENSOR

NOTE = "Pays late. Ask for the dog to be shut away before the next visit."


def done(what: str, at: datetime, about: str = "", by: str = "Ann Poole") -> DoneLine:
    return DoneLine(what, about, at, by, "counter")


def copy_of(report: VisitReport, pictures: dict[str, bytes] | None = None) -> OfficeCopy:
    """Return a visit that was sealed twice, with two parts of stock and one in words."""
    start = report.started_at or report.received_at
    return OfficeCopy(
        printout=Printout(report, FINGERPRINT, SEALED_AT, pictures or {}),
        booked_minutes=75,
        called_off_reason="",
        repeats="K-0310",
        days_since=21,
        continued_by=("K-0412", "K-0420"),
        answers=tuple(
            GivenAnswer(line, "Ann Poole" if turn % 3 else "Ben Rowe")
            for turn, line in enumerate(report.checks)
        ),
        revisions=(
            RevisionLine(1, "", SEALED_AT, "Ann Poole", "0123456789abcdef" * 4),
            RevisionLine(
                2, "Wrong serial number", SEALED_AT + timedelta(days=1), "Ines Marsh", FINGERPRINT
            ),
        ),
        parts=(SENSOR, GASKET, IN_WORDS),
        currency="CAD",
        done=(
            done("Call taken", start, by="Ines Marsh"),
            done("Check answered", start + timedelta(minutes=4)),
            done("Taken back", start + timedelta(minutes=5), "Check answered"),
            done("Visit sealed", start + timedelta(hours=2)),
        ),
    )


def usual_copy(system: UnitSystem, paper: PaperSize) -> OfficeCopy:
    """Return the copy of a usual visit with a note and a filling that was struck out."""
    report = full_report(system, paper)
    first, *others = report.flows
    slipped = FillLine(9, "91 s", 91.0, None, "", struck=True, struck_reason="Bucket slipped")
    flows = (replace(first, fills=(*first.fills, slipped)), *others)
    return copy_of(replace(report, internal_note=NOTE, flows=flows, revision=2))


def bare_copy(system: UnitSystem, paper: PaperSize) -> OfficeCopy:
    """Return the copy of a call just taken."""
    bare = bare_report()
    report = replace(bare, letterhead=replace(bare.letterhead, system=system, paper=paper))
    return OfficeCopy(
        printout=Printout(report), booked_minutes=None, called_off_reason="", repeats="",
        days_since=None, continued_by=(), answers=(), revisions=(), parts=(), currency="USD",
        done=(done("Call taken", report.received_at, by=""),),
    )  # fmt: skip


def long_copy(system: UnitSystem, paper: PaperSize) -> OfficeCopy:
    """Return a copy with a note over pages, ninety parts and three hundred commands."""
    copy = usual_copy(system, paper)
    report = replace(copy.printout.report, internal_note=SENTENCE * 120)
    start = report.received_at
    return replace(
        copy,
        printout=replace(copy.printout, report=report),
        parts=tuple(replace(SENSOR, number=f"P-{turn:03d}") for turn in range(90)),
        done=tuple(
            done(f"Check answered {turn}", start + timedelta(minutes=turn)) for turn in range(300)
        ),
    )


def hostile_copy(system: UnitSystem, paper: PaperSize) -> OfficeCopy:
    """Return a copy in which every text that somebody typed is hostile to a page."""
    one = EXTREMES["hostile-text"]
    report = replace(one(system, paper).report, internal_note=HOSTILE)
    copy = copy_of(report)
    return replace(
        copy,
        called_off_reason=HOSTILE,
        revisions=(replace(copy.revisions[1], reason=HOSTILE, sealed_by=HOSTILE),),
        parts=(replace(SENSOR, name=HOSTILE, reason=HOSTILE, old_serial=HOSTILE, vans=(HOSTILE,)),),
        done=(DoneLine("Call taken", HOSTILE, SEALED_AT, HOSTILE, HOSTILE),),
    )


COPIES: dict[str, Callable[[UnitSystem, PaperSize], OfficeCopy]] = {
    "usual": usual_copy,
    "bare": bare_copy,
    "long": long_copy,
    "hostile": hostile_copy,
}
