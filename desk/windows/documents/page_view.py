"""Pages of a finished document, each drawn at the width that there is."""

from __future__ import annotations

from collections import OrderedDict

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QSizePolicy, QWidget

from desk.base.texts import _

NARROWEST = 200
DRAW_AFTER_MS = 120
"""A page that changes its size is drawn anew when it has stood still this long."""
MOST_DRAWN = 12
"""Pages of a document that stay drawn, 4 MB each at 900 pixels: a month of reports has hundreds."""


def load_pages(pdf: bytes, parent: QObject) -> QPdfDocument:
    """Return the pages of a PDF; they stay as they are for as long as it is kept."""
    document = QPdfDocument(parent)
    buffer = QBuffer(parent)  # made after the document, so that it outlives it
    document.destroyed.connect(buffer.deleteLater)
    buffer.setData(QByteArray(pdf))
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    document.load(buffer)
    return document


def pages_of(document: QPdfDocument) -> list[Page]:
    """Return every page of a document; those seen last stay drawn, the others are drawn anew."""
    drawn = DrawnPage()
    return [Page(document, number, drawn) for number in range(document.pageCount())]


class DrawnPage:
    """The pages of one document that are drawn, the one seen last at the end."""

    def __init__(self) -> None:
        self._pages: OrderedDict[int, Page] = OrderedDict()

    def see(self, number: int, page: Page) -> None:
        """Know that a page was seen, and let go of what was not seen for longest."""
        self._pages[number] = page
        self._pages.move_to_end(number)
        if len(self._pages) > MOST_DRAWN:
            self._pages.popitem(last=False)[1].let_go()


class Page(QWidget):
    """One page at the width that there is; it is rendered for every pixel of the screen."""

    def __init__(self, document: QPdfDocument, number: int, drawn: DrawnPage) -> None:
        super().__init__()
        self.setObjectName("page")
        count = document.pageCount()
        self.setAccessibleName(_("Page {number} of {count}", number=number + 1, count=count))
        self._document, self._number, self._drawn = document, number, drawn
        self._size = document.pagePointSize(number)
        self._image = QImage()
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(DRAW_AFTER_MS)
        self._pause.timeout.connect(self._render)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setMinimumWidth(NARROWEST)

    def hasHeightForWidth(self) -> bool:
        """Say that a wide page is a tall one."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height that keeps the shape of the paper."""
        return round(width * self._size.height() / self._size.width())

    def sizeHint(self) -> QSize:
        """Return the smallest size at which it is shown."""
        return QSize(NARROWEST, self.heightForWidth(NARROWEST))

    def minimumSizeHint(self) -> QSize:
        """Return the same: the paper keeps its shape."""
        return self.sizeHint()

    def pixels(self) -> QSize:
        """Return the size of what is drawn, in pixels of the screen."""
        return self._image.size()

    def let_go(self) -> None:
        """Draw it anew when it is seen again."""
        self._pause.stop()
        self._image = QImage()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the page on white, which paper is; while its size changes, stretched."""
        self._drawn.see(self._number, self)
        if self._image.isNull():
            self._render()
        elif self._image.size() != self._wanted():
            self._pause.start()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), QColor(Qt.GlobalColor.white))
        painter.drawImage(self.rect(), self._image)

    def _wanted(self) -> QSize:
        ratio = self.devicePixelRatioF()
        return QSize(round(self.width() * ratio), round(self.height() * ratio))

    def _render(self) -> None:
        self._image = self._document.render(self._number, self._wanted())
        self.update()
