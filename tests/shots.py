"""Pictures of every page and window, to be looked at: ``python -m tests.shots FOLDER``."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path

import pypdfium2
from PIL import Image

from desk.paper.documents.appliance_history import appliance_history
from desk.paper.documents.day_sheet import day_sheet
from desk.paper.documents.parts_used import parts_used
from desk.paper.documents.pocket_cards import pocket_cards
from desk.paper.documents.repeat_summary import repeat_summary
from desk.paper.report.office_copy import office_copy
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from tests.paper.charged import extreme_charges, many_charges, usual_charges
from tests.paper.days import full_day
from tests.paper.extremes import EXTREMES, Extreme
from tests.paper.limits import DOCUMENTS as AT_LIMITS
from tests.paper.limits import LIMITS
from tests.paper.lives import LIVES
from tests.paper.office_copies import COPIES
from tests.paper.recurrences import PAGES
from tests.paper.snapshots import (
    LOOKS,
    all_behind,
    bare_report,
    extreme_report,
    full_report,
    full_summary,
    measured_report,
)
from tests.paper.used_parts import MONTHS

DOTS_PER_POINT = 1.5
SHEET_COLUMNS = 4
MOST_ON_A_SHEET = 24


def documents() -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Give what makes every document for a usual and for extreme cases, on both papers."""
    yield "report-usual-letter-us", lambda: service_report(full_report("us", "letter"))
    yield "report-usual-a4-si", lambda: service_report(full_report("si", "a4"))
    yield "report-measured", lambda: service_report(measured_report())
    yield "report-bare", lambda: service_report(bare_report())
    yield "report-extreme", lambda: service_report(extreme_report())
    yield "report-charges-letter", lambda: service_report(usual_charges())
    yield "report-charges-a4", lambda: service_report(usual_charges("si", "a4"))
    yield "report-charges-60-parts", lambda: service_report(many_charges())
    yield "report-charges-extreme", lambda: service_report(extreme_charges())
    for name, make in EXTREMES.items():
        for system, paper in LOOKS:
            yield f"report-{name}-{paper}", partial(_at_its_limits, make, system, paper)
    for system, paper in LOOKS:
        yield f"repeats-{paper}", partial(_summary, system, paper)
    for name, pages in PAGES.items():
        yield f"recurrence-{name}", pages
    yield "day-letter", lambda: day_sheet(full_day("letter"))
    yield "day-a4", lambda: day_sheet(full_day("a4"))
    for system, paper in LOOKS:
        for name, life in LIVES.items():
            yield f"history-{name}-{paper}", _made(appliance_history, life, system, paper)
        for name, month in MONTHS.items():
            yield f"parts-used-{name}-{paper}", _made(parts_used, month, system, paper)
        for name, copy in COPIES.items():
            yield f"office-copy-{name}-{paper}", _made(office_copy, copy, system, paper)
    for checklist in load_content().checklists.values():
        yield f"cards-{checklist.id}", partial(_cards, checklist, "letter")
    yield "cards-a4", partial(_cards, checklist, "a4")


def _at_its_limits(
    make: Callable[[UnitSystem, PaperSize], Extreme], system: UnitSystem, paper: PaperSize
) -> bytes:
    one = make(system, paper)
    return service_report(one.report, pictures=one.pictures)


def _summary(system: UnitSystem, paper: PaperSize) -> bytes:
    summary = full_summary(system, paper)
    return repeat_summary(summary, all_behind(summary))


def _made[T](
    document: Callable[[T], bytes],
    of: Callable[[UnitSystem, PaperSize], T],
    system: UnitSystem,
    paper: PaperSize,
) -> Callable[[], bytes]:
    return lambda: document(of(system, paper))


def _cards(checklist: Checklist, paper: PaperSize) -> bytes:
    return pocket_cards(checklist, author="Fernhollow Heating", paper=paper)


def pictures(pdf: bytes) -> list[Image.Image]:
    """Return the first pages of a document as pictures."""
    with pypdfium2.PdfDocument(pdf) as document:
        first = islice(document, MOST_ON_A_SHEET)
        return [page.render(scale=DOTS_PER_POINT).to_pil() for page in first]


def contact_sheet(pages: list[Image.Image]) -> Image.Image:
    """Return the pages side by side, so that a document is seen at a glance."""
    width = max(page.width for page in pages)
    height = max(page.height for page in pages)
    rows = -(-len(pages) // SHEET_COLUMNS)
    sheet = Image.new("RGB", (width * min(len(pages), SHEET_COLUMNS), height * rows), "white")
    for place, page in enumerate(pages):
        sheet.paste(page, (place % SHEET_COLUMNS * width, place // SHEET_COLUMNS * height))
    return sheet


def main(folder: Path) -> None:
    """Write each document with its pages as pictures, and every window in both looks."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, make in documents():
        pdf = make()
        (folder / f"{name}.pdf").write_bytes(pdf)
        pages = pictures(pdf)
        for number, page in enumerate(pages, 1):
            page.save(folder / f"{name}-{number}.png")
        contact_sheet(pages).save(folder / f"{name}.png")
    for name, make_of in AT_LIMITS.items():
        first_pages = [pictures(make_of(text))[0] for text in LIMITS.values()]
        contact_sheet(first_pages).save(folder / f"limits-{name}.png")
    for look in ("day", "basement"):
        for scale in ("1", "2"):
            subprocess.run(
                [sys.executable, "-m", "tests.window_shots", str(folder / "windows"), look],
                check=True,
                env=os.environ | {"QT_SCALE_FACTOR": scale},
            )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
