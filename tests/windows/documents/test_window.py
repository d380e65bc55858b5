"""A document in its window: the very pages, printed, saved, and laid into a letter."""

from __future__ import annotations

import email
import email.policy
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pytest
from PySide6.QtCore import QMarginsF, Qt
from PySide6.QtGui import QPageRanges, QPageSize
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot
from sqlalchemy.orm import Session

from desk.base.errors import OutageError
from desk.base.progress import Watch
from desk.base.texts import message
from desk.paper.documents.day_sheet import day_sheet
from desk.paper.kit.email_draft import Letter
from desk.records.views.day import DaySheet
from desk.windows.documents.model import Document
from desk.windows.documents.page_view import Page
from desk.windows.documents.window import DocumentWindow
from desk.windows.work.work_queue import InlineQueue
from tests.paper.days import full_day
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said

POINTS = 72


@dataclass(frozen=True, slots=True)
class Given:
    """A look whose answer is known."""

    sheet: DaySheet

    def run(self, _session: Session) -> DaySheet:
        return self.sheet


def laid_out(sheet: DaySheet, _watch: Watch) -> bytes:
    return day_sheet(sheet)


def letter_of(sheet: DaySheet) -> Letter:
    return Letter(
        "Ada Fenwick", ("ada@example.org",), sheet.letterhead.name, sheet.letterhead.email,
        "The day", "Good morning.", "Day.pdf",
    )  # fmt: skip


@pytest.fixture
def window(qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts) -> DocumentWindow:
    document = Document(
        "Day sheet", "Day sheet.pdf", Given(full_day("letter")), laid_out, letter_of
    )
    shown = DocumentWindow(queue, prompts, document)
    qtbot.addWidget(shown)
    shown.show()
    return shown


def texts(path: Path) -> list[str]:
    with pypdfium2.PdfDocument(path) as document:
        return [page.get_textpage().get_text_range() for page in document]


def sizes(path: Path) -> list[tuple[float, float]]:
    with pypdfium2.PdfDocument(path) as document:
        return [page.get_size() for page in document]


def pages_of(sheet: DaySheet) -> int:
    with pypdfium2.PdfDocument(day_sheet(sheet)) as document:
        return len(document)


def test_every_page_is_shown_and_every_control_has_a_name(window: DocumentWindow) -> None:
    assert len(window.findChildren(Page)) == pages_of(full_day("letter"))
    assert not unnamed_controls(window)


def test_what_is_saved_is_what_is_shown(window: DocumentWindow, prompts: PreparedPrompts) -> None:
    press(window, "Ctrl+S")

    assert (prompts.folder / "Day sheet.pdf").read_bytes() == day_sheet(full_day("letter"))
    assert "Saved as Day sheet.pdf" in said(window, "document_said")


def test_what_somebody_agreed_to_lose_is_written_over_but_never_an_office(
    window: DocumentWindow, prompts: PreparedPrompts, office_path: Path, qtbot: QtBot
) -> None:
    (prompts.folder / "letter.pdf").write_text("Dear customer")
    prompts.names = ["letter.pdf", office_path.name]
    press(window, "Ctrl+S")
    assert (prompts.folder / "letter.pdf").read_bytes().startswith(b"%PDF")
    assert prompts.folder == office_path.parent
    before = office_path.stat()
    press(window, "Ctrl+S")
    assert "is an office, and none is ever written over." in said(window, "document_said")
    prompts.prepare_printer = lambda printer: printer.setOutputFileName(str(office_path))
    push(window, "document_print")
    assert "is an office, and none is ever written over." in said(window, "document_said")
    assert (office_path.stat().st_ino, office_path.stat().st_size) == (
        before.st_ino,
        before.st_size,
    )


def test_every_page_goes_to_the_printer_in_its_own_size(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    push(window, "document_print")
    count = pages_of(full_day("letter"))
    qtbot.waitUntil(lambda: f"{count} pages went" in said(window, "document_said"))

    assert prompts.asked == [f"Day sheet [{count}]"]
    for width, height in sizes(prompts.folder / "printed.pdf"):
        assert (width, height) == pytest.approx((8.5 * POINTS, 11 * POINTS), abs=1)
    assert len(sizes(prompts.folder / "printed.pdf")) == count


def test_what_is_printed_looks_as_it_is_shown(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    """The first page off the printer and the first page of the document differ by little ink."""
    push(window, "document_print")
    qtbot.waitUntil(lambda: "went to the printer" in said(window, "document_said"))

    with (
        pypdfium2.PdfDocument(prompts.folder / "printed.pdf") as printed,
        pypdfium2.PdfDocument(day_sheet(full_day("letter"))) as made,
    ):
        one, other = (
            document[0].render(scale=0.5).to_pil().convert("L") for document in (printed, made)
        )
    assert one.size == other.size
    apart = [abs(a - b) for a, b in zip(one.tobytes(), other.tobytes(), strict=True)]
    assert sum(difference > 96 for difference in apart) < len(apart) / 200


def test_only_the_pages_that_were_asked_for_are_printed(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    def second_page(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setFromTo(2, 2)

    prompts.prepare_printer = second_page
    push(window, "document_print")
    qtbot.waitUntil(lambda: "1 page went" in said(window, "document_said"))

    assert len(sizes(prompts.folder / "printed.pdf")) == 1


def test_pages_that_do_not_follow_one_another_can_be_asked_for(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    def first_and_third(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setPageRanges(QPageRanges.fromString("1,3"))

    assert pages_of(full_day("letter")) >= 3
    prompts.prepare_printer = first_and_third
    push(window, "document_print")
    qtbot.waitUntil(lambda: "2 pages went" in said(window, "document_said"))

    assert len(sizes(prompts.folder / "printed.pdf")) == 2


def test_stopping_a_print_says_so_and_lets_print_again(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    push(window, "document_print")
    window.busy.stop_asked.emit()
    assert said(window, "document_said") == "Stopped: the rest was not printed."

    push(window, "document_print")
    qtbot.waitUntil(lambda: "went to the printer" in said(window, "document_said"))
    assert len(sizes(prompts.folder / "printed.pdf")) == pages_of(full_day("letter"))


def test_other_paper_in_the_printer_is_said_and_the_page_keeps_its_size(
    window: DocumentWindow, prompts: PreparedPrompts, qtbot: QtBot
) -> None:
    def a4(printer: QPrinter) -> None:
        printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
        printer.setPageMargins(QMarginsF())

    prompts.prepare_printer = a4
    push(window, "document_print")
    qtbot.waitUntil(lambda: "went to the printer" in said(window, "document_said"))

    assert "other paper" in said(window, "document_said")


def test_thinking_better_of_printing_changes_nothing(
    window: DocumentWindow, prompts: PreparedPrompts
) -> None:
    prompts.agrees = False
    push(window, "document_print")

    assert not (prompts.folder / "printed.pdf").exists()
    assert window.buttons["print"].isEnabled()


def test_the_letter_carries_the_pages_and_is_handed_to_the_mail_program(
    window: DocumentWindow, prompts: PreparedPrompts
) -> None:
    press(window, "Ctrl+E")

    path = prompts.folder / "Day sheet.eml"
    assert prompts.shown == [path]
    mail = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
    assert mail["To"] == "Ada Fenwick <ada@example.org>"
    (attached,) = mail.iter_attachments()
    assert attached.get_content() == day_sheet(full_day("letter"))


def test_what_goes_to_nobody_offers_no_letter(
    qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    window = DocumentWindow(
        queue, prompts, Document("Day", "Day.pdf", Given(full_day("a4")), laid_out)
    )
    qtbot.addWidget(window)

    assert "mail" not in window.buttons


def test_a_document_that_cannot_be_made_says_why(
    qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    def refuse(_sheet: DaySheet, _watch: Watch) -> bytes:
        raise OutageError(message("There is no room for it."))

    window = DocumentWindow(queue, prompts, Document("Day", "D.pdf", Given(full_day("a4")), refuse))
    qtbot.addWidget(window)
    window.show()

    assert said(window, "document_said").endswith("There is no room for it.")
    assert not window.buttons["print"].isEnabled()


def test_the_keys_that_close_a_window_close_it(window: DocumentWindow) -> None:
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)  # to be asked afterwards
    press(window, "Ctrl+W")

    assert not window.isVisible()
