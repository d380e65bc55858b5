"""Puts finished pages onto a printer: page after page, at their own size."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QMarginsF, QObject, QPointF, QRectF, QSizeF, QTimer, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPdf import QPdfDocument
from PySide6.QtPrintSupport import QPrinter

from desk.base.errors import OutageError
from desk.base.texts import message

POINTS_AN_INCH = 72
FINEST_DPI = 300
"""Pages are not drawn finer than this, whatever a printer claims: a letter takes 33 MB."""
SAME_PAPER_POINTS = 3.0


def printer_for(document: QPdfDocument) -> QPrinter:
    """Return a printer set to the paper of a document, every page of it, without margins."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    size = document.pagePointSize(0)
    printer.setPageLayout(
        QPageLayout(
            QPageSize(size, QPageSize.Unit.Point),
            QPageLayout.Orientation.Portrait,
            QMarginsF(),
        )
    )
    printer.setFullPage(True)
    printer.setPrintRange(QPrinter.PrintRange.AllPages)
    return printer


def on_other_paper(printer: QPrinter, document: QPdfDocument) -> bool:
    """Return whether a printer has another paper than the document was laid out for."""
    wanted = document.pagePointSize(0)
    there = printer.pageLayout().fullRectPoints()
    return (
        abs(there.width() - wanted.width()) > SAME_PAPER_POINTS
        or abs(there.height() - wanted.height()) > SAME_PAPER_POINTS
    )


def chosen_pages(printer: QPrinter, count: int) -> list[int]:
    """Return the pages that were asked for, from 0, in the order in which they are printed."""
    pages = list(range(count))
    chosen = printer.pageRanges()  # several where the dialog lets them be typed, as 1-2, 5
    if printer.printRange() == QPrinter.PrintRange.PageRange and not chosen.isEmpty():
        pages = [number for number in pages if chosen.contains(number + 1)]
    if printer.pageOrder() == QPrinter.PageOrder.LastPageFirst:
        pages.reverse()
    return pages


class PagesOut(QObject):
    """Pages on their way to a printer, one at a turn, so that the window goes on answering.

    Another thread would not help: drawing holds Python's lock, for a quarter of a second a page.

    Signals:
        progressed: how many are out, and of how many.
        finished: how many were printed.
        failed: why no more were (`DeskError`).
    """

    progressed = Signal(int, int)
    finished = Signal(int)
    failed = Signal(object)

    def __init__(
        self,
        document: QPdfDocument,
        printer: QPrinter,
        parent: QObject,
        *,
        soon: Callable[[int, Callable[[], None]], None] = QTimer.singleShot,
    ) -> None:
        super().__init__(parent)
        self._document, self._printer, self._soon = document, printer, soon
        document.setParent(self)
        self._pages = chosen_pages(printer, document.pageCount())
        self._out = 0
        self._painter = QPainter()

    def begin(self) -> None:
        """Start; the first page is printed at the next turn."""
        if not self._pages or not self._painter.begin(self._printer):
            self.failed.emit(OutageError(message("The printer takes no pages.")))
            return
        self._soon(0, self._next)

    def stop(self) -> None:
        """Print no more; what the printer has already it may still bring out."""
        if self._painter.isActive():
            self._printer.abort()
            self._painter.end()
        self._pages = []

    def _next(self) -> None:
        if not self._pages:
            return
        if self._out and not self._printer.newPage():
            self.stop()
            self.failed.emit(OutageError(message("The printer takes no more pages.")))
            return
        self._draw(self._pages[self._out])
        self._out += 1
        self.progressed.emit(self._out, len(self._pages))
        if self._out < len(self._pages):
            self._soon(0, self._next)
            return
        self._painter.end()
        self.finished.emit(self._out)

    def _draw(self, number: int) -> None:
        """Draw a page at its own size from the corner of the sheet, whatever the sheet is."""
        dots = self._printer.resolution() / POINTS_AN_INCH
        size = self._document.pagePointSize(number)
        on_sheet = QSizeF(size.width() * dots, size.height() * dots)
        finest = min(1.0, FINEST_DPI / self._printer.resolution())
        image = self._document.render(number, (on_sheet * finest).toSize())
        corner = self._printer.paperRect(QPrinter.Unit.DevicePixel).topLeft()
        reach = self._printer.pageRect(QPrinter.Unit.DevicePixel).topLeft()
        self._painter.drawImage(QRectF(QPointF(corner - reach), on_sheet), image)
