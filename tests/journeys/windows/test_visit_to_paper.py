"""From the Sign stage to the printed sheet, the file and the letter, through the real windows."""

from __future__ import annotations

import email
import email.policy
from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.base.pictures import photograph_of
from desk.records.office.office import Office
from desk.records.visits.photographs import add_photographs
from tests.journeys.scripts import DIVERTER
from tests.paper.reading_back import bare, opened
from tests.photographs import photograph_file
from tests.records.jobs import ACT, Job
from tests.windows.conftest import Sit, begun, sit, waiting
from tests.windows.visit.sheets import Person, Ready

__all__ = ["begun", "sit", "waiting"]


def sealed(person: Person) -> Person:
    person.walk(DIVERTER)
    person.click("take_found_cause")
    person.press("Ctrl+4")
    person.type("edit_work_done", "Motor of the valve replaced")
    person.press("Ctrl+6")
    person.type("edit_advice", "Have it looked at in a year")
    person.click("left_state_on")
    person.enter("edit_signature", "M. Quill")
    person.prove("Ctrl+6")
    person.click("finish_mended")
    person.click("seal")
    assert person.sheet().report.state == "sealed"
    return person


def ink(pdf: bytes) -> list[float]:
    """Return how dark each page is on the whole."""
    with opened(pdf) as document:
        pages = [page.render(scale=0.5).to_pil().convert("L") for page in document]
    return [sum(255 - dot for dot in page.tobytes()) / (page.width * page.height) for page in pages]


@pytest.mark.shipped_content  # a last page with two lines on it has too little ink to compare
def test_signed_sealed_and_printed(
    sit: Sit, waiting: Job, tmp_path: Path, qtbot: QtBot, read_pages: Callable[[bytes], str]
) -> None:
    """The sheet that comes out of the printer has every page, as dark as the saved file."""
    prompts = Ready(path=tmp_path / "saved.pdf")
    person = sit(waiting, prompts)
    person.press("Return")
    sealed(person)
    person.click("save_pdf")
    saved = (tmp_path / "saved.pdf").read_bytes()
    prompts.path = tmp_path / "printed.pdf"
    person.click("print_pages")
    qtbot.waitUntil(lambda: "went to the printer" in person.reads("notice"))

    report = person.sheet().report
    text = " ".join(read_pages(saved).split())
    for said in (
        report.number, "Three-way valve stuck", "Motor of the valve replaced",
        "Have it looked at in a year", "M. Quill", "Sealed, revision 1",
    ):  # fmt: skip
        assert said in text, said
    assert person.sheet().sealed_fingerprint[:4] in text
    printed, made = ink((tmp_path / "printed.pdf").read_bytes()), ink(saved)
    assert len(printed) == len(made) >= 2
    for on_paper, on_screen in zip(printed, made, strict=True):
        assert abs(on_paper - on_screen) < 0.2 * on_screen


def test_the_letter_to_the_customer_carries_the_sealed_report(
    sit: Sit, waiting: Job, tmp_path: Path
) -> None:
    prompts = Ready(path=tmp_path / "report.eml")
    person = sit(waiting, prompts)
    person.press("Return")
    sealed(person)
    person.click("mail_file")

    report = person.sheet().report
    assert prompts.shown == [tmp_path / "report.eml"]
    mail = email.message_from_bytes(
        (tmp_path / "report.eml").read_bytes(), policy=email.policy.default
    )
    (attached,) = mail.iter_attachments()
    assert attached.get_filename() == f"Service report {report.number}.pdf"
    prompts.path = tmp_path / "saved.pdf"
    person.click("save_pdf")
    assert attached.get_content() == (tmp_path / "saved.pdf").read_bytes()
    assert report.number in mail["Subject"]
    assert mail["X-Unsent"] == "1"


def test_the_pages_are_handed_on_by_keys_alone(
    sit: Sit, begun: Job, tmp_path: Path, qtbot: QtBot
) -> None:
    """The keys are those of every document's own window."""
    prompts = Ready(path=tmp_path / "saved.pdf")
    person = sit(begun, prompts)
    person.press("Ctrl+6")
    person.press("Ctrl+S")
    prompts.path = tmp_path / "report.eml"
    person.press("Ctrl+E")
    prompts.path = tmp_path / "printed.pdf"
    person.press("Ctrl+P")
    qtbot.waitUntil(lambda: "went to the printer" in person.reads("notice"))
    for name in ("saved.pdf", "report.eml", "printed.pdf"):
        assert (tmp_path / name).stat().st_size, name


def test_photographs_stand_on_the_pages_that_are_shown_and_saved(
    sit: Sit, begun: Job, office: Office, tmp_path: Path, read_pages: Callable[[bytes], str]
) -> None:
    with office.unit_of_work(ACT) as session:
        add_photographs(session, begun.visit, (photograph_of(photograph_file(1, (800, 600))),))
    path = tmp_path / "report.pdf"
    person = sit(begun, Ready(path=path))
    person.press("Ctrl+6")
    person.click("save_pdf")

    text = bare(read_pages(path.read_bytes()))
    assert bare("Photograph 1") in text
    assert bare("not at hand") not in text
