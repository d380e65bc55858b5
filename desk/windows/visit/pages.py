"""The finished pages, live: the very PDF that prints, made off the window's thread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize
from PySide6.QtGui import QImage, QPainter, QPixmap
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QLabel, QWidget

from desk.errors import DeskError
from desk.records.snapshots import VisitReport
from desk.records.views import VisitSheet
from desk.windows.entry import WRONG
from desk.windows.visit.controls import clear, column, put, text_label
from desk.windows.worker import Desk
from desk.wording import _

WIDEST = 900


@dataclass(frozen=True, slots=True)
class Printed:
    """What a document is made from."""

    report: VisitReport
    fingerprint: str
    sealed_at: datetime | None

    def pdf(self) -> bytes:
        """Return the service report as a PDF."""
        from desk.paper.service_report import service_report  # brings ReportLab

        return service_report(self.report, fingerprint=self.fingerprint, sealed_at=self.sealed_at)


def printed_of(sheet: VisitSheet) -> Printed:
    """Return what the report of a visit is made from as it stands."""
    return Printed(sheet.report, sheet.sealed_fingerprint, sheet.sealed_at)


class Pages(QWidget):
    """Shows the pages of the report as it stands; one document is made at a time."""

    def __init__(self, name: str, desk: Desk) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(_("Pages of the report"))
        self._desk = desk
        self._wanted: Printed | None = None
        self._making: Printed | None = None
        self._document = QPdfDocument(self)
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
        self._state.setText(_("The pages are being made."))
        self._state.show()
        if self._making is None:
            self._make()

    def _make(self) -> None:
        if self._wanted is not None:
            self._making = self._wanted
            self._desk.work(self, self._wanted.pdf, self._made, self._failed)

    def _made(self, pdf: bytes) -> None:
        made, self._making = self._making, None
        if made != self._wanted:
            self._make()  # something was written meanwhile
            return
        kept = QByteArray(pdf)
        buffer = QBuffer(kept)
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self._document.load(buffer)
        self._state.hide()
        self._draw()
        self._document.close()

    def _failed(self, error: DeskError) -> None:
        self._making = None
        self._state.setText(f"{WRONG} {error}")

    def _draw(self) -> None:
        clear(self._column)
        width = min(max(self.width() - 4, 200), WIDEST)
        ratio = self.devicePixelRatioF()
        count = self._document.pageCount()
        for number in range(count):
            size = self._document.pagePointSize(number)
            height = round(width * size.height() / size.width())
            image = self._document.render(
                number, QSize(round(width * ratio), round(height * ratio))
            )
            page = QLabel()
            page.setObjectName("page")
            page.setAccessibleName(_("Page {number} of {count}", number=number + 1, count=count))
            page.setPixmap(_on_white(image, ratio))
            put(self._column, page)


def _on_white(image: QImage, ratio: float) -> QPixmap:
    """Lay a page on white, which paper is and a rendered page is not."""
    paper = QImage(image.size(), QImage.Format.Format_RGB32)
    paper.fill(0xFFFFFFFF)
    painter = QPainter(paper)
    painter.drawImage(0, 0, image)
    painter.end()
    pixmap = QPixmap.fromImage(paper)
    pixmap.setDevicePixelRatio(ratio)
    return pixmap
