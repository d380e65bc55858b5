"""The pages beside the fields: what is made beforehand, and when."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from desk.windows.documents.page_view import Page
from desk.windows.visit import window as visit_window
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from tests.records.jobs import Job
from tests.windows.visit.sheets import Ready

SOON_MS = 300


class NotingDesk(InlineQueue):
    """Counts what is handed in to be made."""

    made = 0

    def work(self, owner: QObject, call: Callable[[], Any], done: Any, failed: Any) -> None:
        self.made += 1
        super().work(owner, call, done, failed)


@pytest.fixture
def queue(begun: Job) -> NotingDesk:
    return NotingDesk(begun.office)


@pytest.fixture
def window(
    qtbot: QtBot, queue: NotingDesk, begun: Job, monkeypatch: pytest.MonkeyPatch
) -> VisitWindow:
    """A visit at its first check, where pages are made ready soon after it was opened."""
    monkeypatch.setattr(visit_window, "PAGES_READY_AFTER_MS", SOON_MS)
    window = VisitWindow(queue, Ready(), begun.visit)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    return window


def test_pages_are_laid_out_once_unseen_before_anybody_looks(
    qtbot: QtBot, queue: NotingDesk, window: VisitWindow
) -> None:
    qtbot.waitUntil(lambda: queue.made == 1)
    assert window.findChildren(Page) == []

    window.go_to("sign")
    shown = window.findChildren(Page)
    assert shown
    window.go_to("check")
    window.go_to("sign")
    assert queue.made == 2, "what is shown already is not made again"
    assert window.findChildren(Page) == shown


def test_pages_that_were_looked_at_are_not_made_ready_any_more(
    qtbot: QtBot, queue: NotingDesk, window: VisitWindow
) -> None:
    window.go_to("sign")
    shown = window.findChildren(Page)
    assert shown
    made = queue.made  # a window that was slow to open may have made them before
    qtbot.wait(3 * SOON_MS)
    assert queue.made == made
    assert window.findChildren(Page) == shown
