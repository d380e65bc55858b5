"""What is done with finished pages: put on paper, kept in a file, or laid into a letter."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desk.base.errors import DeskError
from desk.base.files import Target, safe_name, see_target, write_file
from desk.base.texts import _, plural
from desk.windows.documents.page_view import load_pages
from desk.windows.kit.busy import Busy
from desk.windows.kit.prompts import Prompts
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.paper.kit.email_draft import Letter
    from desk.windows.documents.printer import PagesOut


class HandingOn(QObject):
    """Asks where to and hands on; the window that owns it shows what it says.

    Signals:
        told: what was done, in a sentence.
        failed: why it was not (`DeskError`).
    """

    told = Signal(str)
    failed = Signal(object)

    def __init__(self, queue: WorkQueue, prompts: Prompts, busy: Busy, parent: QObject) -> None:
        super().__init__(parent)
        self._queue, self._prompts, self._busy = queue, prompts, busy
        self._printing: PagesOut | None = None
        self._other_paper = ""

    def print_pages(self, pdf: bytes, title: str) -> None:
        """Ask for a printer and put the pages on it, each in its own size.

        Args:
            pdf: the pages.
            title: what the printer's list calls them.
        """
        from desk.windows.documents.printer import PagesOut, on_other_paper, printer_for

        if self._printing is not None:
            return
        document = load_pages(pdf, self)
        printer = printer_for(document)
        if not self._prompts.choose_printer(printer, title, document.pageCount()):
            document.deleteLater()
            return
        if printer.outputFileName():  # a file in place of paper, which the dialog asked about
            try:
                see_target(Target(Path(printer.outputFileName()), replace=True))
            except DeskError as error:
                document.deleteLater()
                self.failed.emit(error)
                return
        self._other_paper = (
            _("The printer has other paper than the pages: they are printed in their own size.")
            if on_other_paper(printer, document)
            else ""
        )
        if self._other_paper:
            self.told.emit(self._other_paper)
        self._printing = PagesOut(document, printer, self)
        self._printing.progressed.connect(self._busy.show_progress)
        self._printing.finished.connect(self._printed)
        self._printing.failed.connect(self._not_printed)
        self._busy.begin(_("Pages on their way to the printer:"))
        self._printing.begin()

    def stop(self) -> None:
        """Print no more, if anything is being printed."""
        if self._printing is not None:
            self._end()
            self.told.emit(_("Stopped: the rest was not printed."))

    def save(self, pdf: bytes, file_name: str) -> None:
        """Ask where to, and write the pages whole or not at all."""
        target = self._prompts.save_as(_("Save the PDF"), safe_name(file_name), _("PDF (*.pdf)"))
        if target is None:
            return

        def write() -> Target:
            write_file(target, pdf)
            return target

        self._queue.work(self, write, self._written, self.failed.emit)

    def mail(self, letter: Letter, pdf: bytes, file_name: str) -> None:
        """Ask where to, lay the pages into a letter, and open it in the program for mail.

        Args:
            letter: whom it is to, and what it says.
            pdf: the pages.
            file_name: offered for the file; what cannot stand in a name is taken out.
        """
        target = self._prompts.save_as(
            _("Save the e-mail file"), safe_name(file_name), _("E-mail files (*.eml)")
        )
        if target is None:
            return

        def write() -> Target:
            from desk.paper.kit.email_draft import mail_file

            write_file(target, mail_file(letter, pdf))
            return target

        self._queue.work(self, write, self._mail_written, self.failed.emit)

    def _written(self, target: Target) -> None:
        self.told.emit(_("Saved as {name}.", name=target.name))

    def _mail_written(self, target: Target) -> None:
        self._written(target)
        self._prompts.show_file(target.path)

    def _printed(self, count: int) -> None:
        self._end()
        said = plural(
            "{count} page went to the printer.", "{count} pages went to the printer.", count
        )
        self.told.emit(" ".join(part for part in (said, self._other_paper) if part))

    def _not_printed(self, error: DeskError) -> None:
        self._end()
        self.failed.emit(error)

    def _end(self) -> None:
        self._busy.end()
        if self._printing is not None:
            self._printing.stop()
            self._printing.deleteLater()
            self._printing = None
