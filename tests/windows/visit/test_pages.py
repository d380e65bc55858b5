"""The pages beside the fields: what is made beforehand, and when."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from desk.records.deeds.visit import SeeVisit
from desk.windows.documents.page import Page
from desk.windows.visit.pages import Pages
from desk.windows.worker import InlineDesk
from tests.records.jobs import Job
from tests.windows.visit.conftest import begun

__all__ = ["begun"]


class NotingDesk(InlineDesk):
    """Counts what is handed in to be made."""

    made = 0

    def work(self, owner: QObject, call: Callable[[], Any], done: Any, failed: Any) -> None:
        self.made += 1
        super().work(owner, call, done, failed)


@pytest.fixture
def desk(begun: Job) -> NotingDesk:
    return NotingDesk(begun.office)


def test_pages_are_laid_out_once_unseen_before_anybody_looks(
    qtbot: QtBot, desk: NotingDesk, begun: Job
) -> None:
    sheet = begun.office.answer(SeeVisit(begun.visit))
    pages = Pages("pages", desk)
    qtbot.addWidget(pages)
    pages.make_ready(sheet)
    assert desk.made == 1
    assert pages.findChildren(Page) == []

    pages.show_sheet(sheet)
    shown = pages.findChildren(Page)
    assert shown
    pages.make_ready(sheet)
    pages.show_sheet(sheet)
    assert desk.made == 2, "what is shown already is not made again"
    assert pages.findChildren(Page) == shown
