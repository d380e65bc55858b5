"""The pages of a visit in a process of their own: ``python preview_alone.py OFFICE VISIT IDLE_MS``.

Opens the sheet, lets it stand for as long as it is told, goes to Sign and prints, in milliseconds:
how long until the first page is painted, how long the window went without answering, and then for
each of some changes how long until it is seen, and how long its bare pages take.
"""

from __future__ import annotations

import gc
import json
import sys
import time
import uuid
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEventLoop, QSize, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from desk.records.office.office import Office
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.documents.live_pages import printed_of
from desk.windows.documents.page_view import Page, load_pages
from desk.windows.theme import themes, tokens
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import WorkQueue
from tests.windows.fakes import PreparedPrompts

CHANGES = 15
TURN_MS = 2
BESIDE = (1280, 720)
"""A window in which the pages stand beside the fields and not below them."""


class Pauses:
    """Notes the longest time for which the window's thread did not come round."""

    def __init__(self) -> None:
        self.longest_ms = 0.0
        self._last = time.perf_counter()
        self._often = QTimer()
        self._often.timeout.connect(self._tick)
        self._often.start(TURN_MS)

    def _tick(self) -> None:
        now = time.perf_counter()
        self.longest_ms = max(self.longest_ms, (now - self._last) * 1000 - TURN_MS)
        self._last = now


def _wait(until: Callable[[], bool]) -> None:
    """Let the window live until something holds."""
    loop, often = QEventLoop(), QTimer()

    def look() -> None:
        if until():
            loop.quit()

    often.timeout.connect(look)
    often.start(TURN_MS)
    loop.exec()


def _let_stand(milliseconds: int) -> None:
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def _first_page(window: VisitWindow) -> QSize:
    """Return the pixels of the first page that is painted; none while it is being made."""
    state = window.sign.pages.findChild(QWidget, "pages_state")
    if state is None or state.isVisible():
        return QSize()
    pages = window.sign.pages.findChildren(Page)
    return pages[0].pixels() if pages else QSize()


def _seen(window: VisitWindow, ask: Callable[[], None]) -> float:
    """Return how long it takes from asking until the first page of it is painted."""
    start = time.perf_counter()
    ask()
    _wait(lambda: not _first_page(window).isEmpty())
    return (time.perf_counter() - start) * 1000


def _bare(sheet: VisitSheet, pixels: QSize, over: VisitWindow) -> float:
    """Return how long the same pages and a picture of the first take without any window.

    The collector rests meanwhile, as it does while a desk has pages made.
    """
    gc.disable()
    start = time.perf_counter()
    document = load_pages(printed_of(sheet).pdf({}), over)
    document.render(0, pixels)
    taken = (time.perf_counter() - start) * 1000
    gc.enable()
    document.deleteLater()
    return taken


def main(place: str, visit: str, idle_ms: str) -> None:
    """Time the preview."""
    app = QApplication([])
    themes.wear(app, tokens.DAY)
    desk = WorkQueue(Office.open(Path(place)))
    window = VisitWindow(desk, PreparedPrompts(Path(place).parent), uuid.UUID(visit))
    window.show()
    window.resize(*BESIDE)
    _wait(lambda: window.presenter.sheet is not None)
    pauses = Pauses()
    _let_stand(int(idle_ms))
    first = _seen(window, lambda: window.go_to("sign"))
    longest = pauses.longest_ms
    sheet = window.presenter.sheet
    assert sheet is not None
    changed, bare = [], []
    for turn in range(CHANGES):
        new = replace(sheet, report=replace(sheet.report, advice=f"Look again, the {turn}th time"))
        changed.append(_seen(window, partial(window.sign.pages.show_sheet, new)))
        bare.append(_bare(new, _first_page(window), window))
    print(json.dumps({"first": first, "pause": longest, "changed": changed, "bare": bare}))
    window.close()
    desk.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
