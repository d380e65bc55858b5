"""A window over one document: its finished pages, and what can be done with them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QScrollArea, QWidget

from desk.base.errors import DeskError
from desk.base.progress import Watch
from desk.base.texts import _, plural
from desk.windows.documents.model import Document, FinishedDocument
from desk.windows.documents.outputs import HandingOn
from desk.windows.documents.page_view import load_pages, pages_of
from desk.windows.kit.busy import Busy
from desk.windows.kit.controls import column
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.work.thread_handoff import Cancelled, LongWork, Progress, watching
from desk.windows.work.work_queue import WorkQueue

WIDEST_PAGE = 900


class DocumentWindow(QWidget):
    """Shows the very pages that are printed or saved.

    Any document is shown by one call::

        DocumentWindow(desk, prompts, Document(title, file_name, look, pages), parent).show()
    """

    def __init__(
        self,
        queue: WorkQueue,
        prompts: Prompts,
        document: Document[Any] | FinishedDocument,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("document_window")
        self.setWindowTitle(document.title)
        self._queue, self._prompts, self._what = queue, prompts, document
        self._letter = document.letter if isinstance(document, Document) else None
        self._pdf = b""
        self._snapshot: object = None
        self._under_way: LongWork | None = None
        self._build()
        self._handing_on = HandingOn(queue, prompts, self.busy, self)
        self._handing_on.told.connect(self.said.setText)
        self._handing_on.failed.connect(self._failed)
        keep_geometry(self, "document")
        if isinstance(document, FinishedDocument):
            self._show(document.pdf)
            return
        self.said.setText(_("The pages are being made."))
        laying_out = partial(self._lay_out, document.pages)
        self._queue.ask(self, document.look, laying_out, self._failed, key="document")

    def _build(self) -> None:
        row = QHBoxLayout()
        self.buttons: dict[str, QPushButton] = {}
        for name, words, keys, slot in (
            ("print", _("Print"), "Ctrl+P", self._print),
            ("save", _("Save the PDF"), "Ctrl+S", self._save),
            ("mail", _("E-mail file"), "Ctrl+E", self._mail),
        ):
            if name == "mail" and self._letter is None:
                continue
            button = QPushButton(words)
            button.setObjectName(f"document_{name}")
            button.setToolTip(QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText))
            button.setEnabled(False)
            button.clicked.connect(slot)
            QShortcut(QKeySequence(keys), self).activated.connect(button.click)
            self.buttons[name] = button
            row.addWidget(button)
        self.said = text_label(name="document_said")
        row.addWidget(self.said, 1)
        self.busy = Busy()
        self.busy.stop_asked.connect(self._stop)
        self._column = column(spacing=12, margins=12)
        sheet = QWidget()
        sheet.setMaximumWidth(WIDEST_PAGE)
        sheet.setLayout(self._column)
        middle = QHBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.addStretch(1)
        middle.addWidget(sheet, 100)
        middle.addStretch(1)
        inside = QWidget()
        inside.setLayout(middle)
        self.area = QScrollArea()
        self.area.setObjectName("document_pages")
        self.area.setAccessibleName(_("Pages of the document"))
        self.area.setWidgetResizable(True)
        self.area.setWidget(inside)
        layout = column(spacing=8, margins=8)
        layout.addLayout(row)
        layout.addWidget(self.busy)
        layout.addWidget(self.area, 1)
        self.setLayout(layout)
        self.resize(860, 720)
        QShortcut(QKeySequence.StandardKey.Close, self).activated.connect(self.close)

    def _lay_out(self, pages: Callable[[object, Watch], bytes], snapshot: object) -> None:
        self._snapshot = snapshot

        def build(tell: Progress, cancelled: Cancelled) -> bytes:
            return pages(snapshot, watching(tell, cancelled))

        self.busy.begin(_("Laying out the pages:"))
        self._under_way = self._queue.run_long(
            self, build, self._show, self._failed, self.busy.show_progress
        )

    def _show(self, pdf: bytes) -> None:
        self.busy.end()
        self._under_way = None
        self._pdf = pdf
        pages = load_pages(pdf, self)
        for page in pages_of(pages):
            self._column.addWidget(page)
        self._column.addStretch(1)
        self.said.setText(plural("{count} page", "{count} pages", pages.pageCount()))
        for button in self.buttons.values():
            button.setEnabled(True)
        self.area.setFocus()

    def _save(self) -> None:
        self._handing_on.save(self._pdf, self._what.file_name)

    def _mail(self) -> None:
        if self._letter is not None:
            name = self._what.file_name.removesuffix(".pdf") + ".eml"
            self._handing_on.mail(self._letter(self._snapshot), self._pdf, name)

    def _print(self) -> None:
        self._handing_on.print_pages(self._pdf, self._what.title)

    def _stop(self) -> None:
        """Leave off what takes its time; without pages there is nothing to show."""
        self.busy.end()
        self._handing_on.stop()
        if self._under_way is not None and self._under_way.is_awaited():
            self._under_way.cancel()
            self.close()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave off what nobody waits for any more."""
        self._handing_on.stop()
        if self._under_way is not None:
            self._under_way.cancel()
        super().closeEvent(event)

    def _failed(self, error: DeskError) -> None:
        self.busy.end()
        self._under_way = None
        self.said.setText(f"{WRONG} {error}")
