"""Pages on the screen: however many there are, few stay drawn."""

from __future__ import annotations

import io

from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas

from desk.windows.documents.page_view import MOST_DRAWN, Page, load_pages, pages_of

COUNT = 3 * MOST_DRAWN


def test_a_month_of_pages_is_scrolled_through_and_few_of_them_stay_drawn(qtbot: QtBot) -> None:
    kept = io.BytesIO()
    canvas = Canvas(kept)
    for number in range(COUNT):
        canvas.drawString(72, 720, f"Page {number}")
        canvas.showPage()
    canvas.save()
    area, inside = QScrollArea(), QWidget()
    qtbot.addWidget(area)
    pages = pages_of(load_pages(kept.getvalue(), area))
    column = QVBoxLayout(inside)
    for page in pages:
        column.addWidget(page)
    area.setWidgetResizable(True)
    area.setWidget(inside)
    area.resize(300, 300)
    area.show()
    qtbot.waitExposed(area)

    def drawn() -> list[Page]:
        return [page for page in pages if not page.pixels().isEmpty()]

    for page in (*pages, pages[0]):
        area.ensureWidgetVisible(page)
        area.repaint()
        qtbot.waitUntil(lambda page=page: page in drawn())  # type: ignore[misc]
        assert len(drawn()) <= MOST_DRAWN
    assert len(drawn()) > 1
