"""Repair and sign: cause, work, parts, the pages, the signature and the seal."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.fields.part_fields import PartDetails
from desk.records.stock import parts
from desk.windows.documents.page_view import Page
from tests.every_day import every_day
from tests.journeys.scripts import DIVERTER
from tests.records.jobs import ACT, Job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person, Ready


@pytest.fixture
def person(sit: Sit, begun: Job) -> Person:
    """Somebody whose van holds two inlet screens."""
    with begun.office.unit_of_work(ACT) as session:
        part = parts.add_part(session, PartDetails("IS-12", "Inlet screen"))
        parts.move_stock(session, part, 2, "received", van_of_id=begun.technician)
    return sit(begun)


def test_the_likeliest_cause_comes_first_and_says_its_remedy(person: Person) -> None:
    person.walk(DIVERTER, until="repair_response")
    person.press("Ctrl+4")
    box = person.find(QComboBox, "choose_cause")
    assert box.itemText(1).endswith("·  found")
    person.press("Down")
    report = person.sheet().report
    assert report.cause is not None
    assert report.cause.id == "diverter_stuck"
    assert report.cause.remedy in person.reads("remedy")


def test_a_cause_in_own_words_and_a_second_fault(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("edit_words", "A mouse had chewed the harness")
    person.choose("choose_second_cause", "Inlet screen")
    report = person.sheet().report
    assert report.cause is not None
    assert report.second_cause is not None
    assert report.cause.own_words == "A mouse had chewed the harness"
    assert report.second_cause.id == "inlet_screen_blocked"


@pytest.mark.qt_log_ignore("This plugin does not support")  # the list that comes up as one types
def test_a_part_of_the_van_is_fitted_by_its_number(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("part_number", "is-12")
    person.type("part_old_serial", "S-1")
    person.type("part_reason", "torn")
    person.click("kept_for_claim")
    person.click("add_part")
    [part] = person.sheet().report.parts
    assert (part.number, part.name, part.old_serial, part.kept_for_claim) == (
        "IS-12",
        "Inlet screen",
        "S-1",
        True,
    )
    assert person.sheet().van == (("IS-12", "Inlet screen", 1),)
    person.click("take_off")
    assert person.sheet().van == (("IS-12", "Inlet screen", 2),)


@pytest.mark.parametrize("pieces", every_day(["two", "0", "-1", ""], 1))
def test_nonsense_for_pieces_wipes_nothing(person: Person, pieces: str) -> None:
    person.press("Ctrl+4")
    person.type("part_number", "Washer")
    person.type("part_pieces", pieces)
    person.click("add_part")
    assert person.reads("under_part_pieces").startswith("▲ ")
    assert person.written("part_number") == "Washer"
    assert person.written("part_pieces") == pieces


def test_a_part_needs_a_name(person: Person) -> None:
    person.press("Ctrl+4")
    person.click("add_part")
    assert person.reads("under_part_number") == "▲ Type the part's number, or what it is."


def test_the_pages_follow_what_is_written(person: Person) -> None:
    person.press("Ctrl+6")
    pages = person.find(QWidget, "pages").findChildren(Page, "page")
    assert pages
    assert all(page.isVisible() and page.accessibleName() for page in pages)


def _finished(person: Person) -> None:
    person.press("Ctrl+4")
    person.type("edit_words", "A mouse")
    person.press("Ctrl+6")
    person.prove("Ctrl+6")
    person.click("finish_mended")


def test_that_the_clock_was_set_back_meanwhile_is_said(person: Person, begun: Job) -> None:
    begun.clock.pass_minutes(-30)
    _finished(person)
    assert "The clock was set back since the arrival" in person.reads("visit_state")


def test_a_signature_is_drawn_and_printed(person: Person) -> None:
    person.press("Ctrl+6")
    pad = person.find(QWidget, "signature_pad")
    QTest.mousePress(pad, Qt.MouseButton.LeftButton, pos=QPoint(40, 90))
    QTest.mouseMove(pad, QPoint(140, 40))
    QTest.mouseRelease(pad, Qt.MouseButton.LeftButton, pos=QPoint(140, 40))
    person.enter("edit_signature", "M. Quill")
    signature = person.sheet().report.signature
    assert signature is not None
    assert signature.picture.startswith(b"\x89PNG")
    assert "Signed by M. Quill" in person.reads("signed")


def test_nobody_signs_without_a_name_or_a_reason(person: Person) -> None:
    person.press("Ctrl+6")
    person.click("sign")
    assert person.reads("under_signature").startswith("▲ Type who signs")


def test_a_referral_says_to_whom(person: Person) -> None:
    person.press("Ctrl+6")
    person.click("finish_referred")
    assert person.reads("trouble_sign") == "▲ Say to whom the work is referred."
    person.press("Ctrl+4")
    person.type("edit_referred_to", "Licensed gas fitter")
    person.press("Ctrl+6")
    person.click("finish_referred")
    assert person.sheet().report.ending == "referred"


def test_sealing_asks_with_its_verb_and_can_be_put_off(sit: Sit, begun: Job) -> None:
    prompts = Ready(yes=False)
    person = sit(begun, prompts)
    _finished(person)
    person.enter("edit_signature", "M. Quill")
    person.click("seal")
    assert prompts.asked[0].endswith("[Seal the report]")
    assert person.sheet().report.state == "finished"


def test_an_unsigned_report_is_not_sealed(person: Person) -> None:
    _finished(person)
    person.click("seal")
    assert person.reads("under_signature").startswith("▲ Let the customer sign")


def test_a_sealed_visit_is_read_only_until_it_is_amended_with_a_reason(person: Person) -> None:
    _finished(person)
    person.enter("edit_signature", "M. Quill")
    person.click("seal")
    assert person.reads("visit_state").startswith("■ Sealed 24 Nov 2026")
    person.press("Ctrl+4")
    assert not person.find(QPlainTextEdit, "edit_work_done").isEnabled()
    person.press("Ctrl+6")
    person.click("amend")
    assert person.reads("under_amend_reason") == "▲ Say why the sealed report is amended."
    person.enter("edit_amend_reason", "The serial was misread")
    assert person.sheet().report.revision_reason == "The serial was misread"
    person.click("seal")
    assert person.sheet().report.revision == 2


def test_a_pdf_that_cannot_be_written_is_said(sit: Sit, begun: Job, tmp_path: Path) -> None:
    person = sit(begun, Ready(path=tmp_path / "nowhere" / "report.pdf"))
    person.press("Ctrl+6")
    person.click("save_pdf")
    assert person.reads("notice").startswith("▲ ")


def test_a_finished_visit_is_taken_up_again(person: Person, qtbot: QtBot) -> None:
    _finished(person)
    person.click("take_up_again")
    assert person.sheet().report.state == "under_way"
    qtbot.waitUntil(lambda: person.sees("finish_mended"))


def test_the_pages_follow_the_width_of_the_window(sit: Sit, begun: Job, qtbot: QtBot) -> None:
    person = sit(begun)
    person.press("Ctrl+6")
    page, pages = person.find(Page, "page"), person.find(QWidget, "pages")
    widths = []

    def is_drawn_to_its_size() -> bool:
        person.window.sign.ensureWidgetVisible(page)  # a narrow sheet puts it far below, in turns
        return page.pixels() == page.size()

    for width, height in ((1280, 720), (1900, 900), (700, 900), (1280, 720)):
        person.window.resize(width, height)
        QApplication.processEvents()
        qtbot.waitUntil(is_drawn_to_its_size)
        assert page.width() == pages.width()
        assert page.height() == pytest.approx(page.width() * 11 / 8.5, abs=1)
        widths.append(page.width())
    assert widths[0] == widths[3] < widths[1]


def test_a_part_that_is_missing_is_ordered_for_the_visit(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.press("Ctrl+4")
    person.type("part_number", "The odd clip")
    person.click("order_part")
    assert person.reads("asked_for") == "1 × The odd clip · asked for, not ordered yet"
    assert person.written("part_number") == ""
    assert person.sheet().report.parts == ()
    person.press("Ctrl+Z")
    assert person.sheet().orders == ()
