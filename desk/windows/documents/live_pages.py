"""The finished pages, live: the very PDF that prints, made off the window's thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QWidget

from desk.base.errors import DeskError
from desk.base.texts import _
from desk.records.views.report import VisitReport
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.documents.page_view import pages_of
from desk.windows.kit.controls import column
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.stage_kit.large_controls import clear, put
from desk.windows.work.work_queue import WorkQueue


@dataclass(frozen=True, slots=True)
class Printed:
    """What a document is made from; its photographs are fetched by their hashes."""

    report: VisitReport
    fingerprint: str
    sealed_at: datetime | None

    def pdf(self, pictures: Mapping[str, bytes]) -> bytes:
        """Return the service report as a PDF, with the photographs that are at hand."""
        from desk.paper.report.service_report import service_report  # brings ReportLab

        return service_report(
            self.report,
            fingerprint=self.fingerprint,
            sealed_at=self.sealed_at,
            pictures=pictures,
        )


def printed_of(sheet: VisitSheet) -> Printed:
    """Return what the report of a visit is made from as it stands."""
    return Printed(sheet.report, sheet.sealed_fingerprint, sheet.sealed_at)


def report_name(report: VisitReport) -> str:
    """Return what a report is called in a list of files."""
    return _("Service report {number}", number=report.number)


def make_pages_ready(queue: WorkQueue, owner: QObject, sheet: VisitSheet) -> None:
    """Lay a report out unseen, so that the first one looked at comes as soon as the next.

    Args:
        queue: lays it out.
        owner: who asks; when it has gone nothing more is done.
        sheet: the visit; its photographs are left out.
    """
    queue.work(owner, partial(printed_of(sheet).pdf, {}), _nothing, _nothing)


class Pages(QWidget):
    """Shows the pages of the report as it stands; one document is made at a time."""

    def __init__(self, name: str, queue: WorkQueue) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(_("Pages of the report"))
        self._queue = queue
        self._wanted: Printed | None = None
        self._making: Printed | None = None
        self._pdf = b""
        self._pictures: dict[str, bytes] = {}
        self._waiting: list[Callable[[bytes], None]] = []
        self._document = QPdfDocument(self)
        self._buffer = QBuffer(self)  # made after the document, so that it outlives it
        self._state = text_label(name="pages_state")
        self._column = column(spacing=10)
        layout = column(spacing=6)
        layout.addWidget(self._state)
        layout.addLayout(self._column)
        self.setLayout(layout)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Make the pages of a visit, unless they are there already."""
        wanted = printed_of(sheet)
        if wanted == self._wanted:
            return
        self._wanted = wanted
        self._pdf = b""
        self._state.setText(_("The pages are being made."))
        self._state.show()
        if self._making is None:
            self._make()

    def when_made(self, then: Callable[[bytes], None]) -> None:
        """Do something with the PDF as soon as it is that of the report as it stands."""
        if self._pdf:
            then(self._pdf)
        else:
            self._waiting.append(then)

    def _make(self) -> None:
        """Fetch the photographs that are not at hand yet, then lay the pages out."""
        if self._wanted is None:
            return
        self._making = self._wanted
        lines = self._making.report.photographs
        if all(line.sha256 in self._pictures for line in lines):
            self._lay_out()
            return
        from desk.records.actions.photographs import SeePictures  # only here: start-up counts

        self._queue.ask(self, SeePictures(lines), self._fetched, self._failed)

    def _fetched(self, pictures: dict[str, bytes]) -> None:
        self._pictures = pictures
        self._lay_out()

    def _lay_out(self) -> None:
        if self._making is not None:
            making = partial(self._making.pdf, dict(self._pictures))
            self._queue.work(self, making, self._made, self._failed)

    def _made(self, pdf: bytes) -> None:
        made, self._making = self._making, None
        if made != self._wanted:
            self._make()  # something was written meanwhile
            return
        clear(self._column)  # they draw from the document before
        self._pdf = pdf
        self._buffer.close()
        self._buffer.setData(QByteArray(pdf))
        self._buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self._document.load(self._buffer)
        self._state.hide()
        for page in pages_of(self._document):
            put(self._column, page)
        waiting, self._waiting = self._waiting, []
        for then in waiting:
            then(pdf)

    def _failed(self, error: DeskError) -> None:
        self._making = None
        self._waiting = []
        self._state.setText(f"{WRONG} {error}")


def _nothing(_pdf_or_error: object) -> None:
    """Leave it: what is wrong with the pages is told when they are looked at."""
