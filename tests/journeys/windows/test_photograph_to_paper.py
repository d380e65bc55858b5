"""A photograph on its way: from the check by P, through the seal, onto the printed page."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PIL import Image
from PySide6.QtTest import QTest

from tests.journeys.scripts import DIVERTER
from tests.paper.reading_back import opened
from tests.photographs import PLACE, photograph_file
from tests.records.jobs import Job
from tests.windows.conftest import Sit, begun, sit, waiting
from tests.windows.visit.sheets import Person, Ready

__all__ = ["begun", "sit", "waiting"]

CAPTION = "Slide of the valve, <b>stuck</b> half way"


def pictures_of(pdf: bytes) -> list[Image.Image]:
    """Return the pictures in a PDF as large as a photograph is."""
    from pypdfium2 import raw

    with opened(pdf) as document:
        return [
            found.get_bitmap().to_pil().convert("RGB")
            for page in document
            for found in page.get_objects(filter=(raw.FPDF_PAGEOBJ_IMAGE,))
            if min(found.get_px_size()) >= 600
        ]


def test_a_photograph_of_a_check_stands_on_the_sealed_report(
    sit: Sit, waiting: Job, tmp_path: Path, read_pages: Callable[[bytes], str]
) -> None:
    taken = tmp_path / "P1.jpg"
    taken.write_bytes(photograph_file(1, (1200, 900)))
    prompts = Ready(path=tmp_path / "report.pdf")
    prompts.chosen = (taken,)
    person = sit(waiting, prompts)
    person.press("Return")
    person.walk(DIVERTER, until="diverter")
    person.press("Ctrl+2")
    title = person.reads("check_title")
    person.press("P")
    person.press("F")
    QTest.keyClicks(person.window.focusWidget(), CAPTION)
    person.press("Esc")
    assert person.reads("check_title") == title
    person.walk(DIVERTER)
    person.click("take_found_cause")
    _seal(person)
    person.click("save_pdf")
    pdf = (tmp_path / "report.pdf").read_bytes()
    text = " ".join(read_pages(pdf).split())
    assert f"Photograph 1 · {title} · {CAPTION}" in text
    [printed] = pictures_of(pdf)
    assert printed.size == (1200, 900)
    red, green, _blue = printed.getpixel((30, 30))
    assert red > 200
    assert green < 80
    assert PLACE not in pdf
    again = sit(waiting)
    again.click("photographs_stage_sign")
    [card] = again.window.photographs.list.cards()
    assert (card.caption.text(), card.caption.edit.isEnabled()) == (CAPTION, False)


def _seal(person: Person) -> None:
    person.press("Ctrl+6")
    person.enter("edit_signature", "M. Quill")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    person.click("seal")
    assert person.sheet().report.state == "sealed"
