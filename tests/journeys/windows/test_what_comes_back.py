"""From the counter through every view of what comes back to the visit, the file and the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.documents.window import DocumentWindow
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.visit.window import VisitWindow
from tests.conftest import StillClock
from tests.samples import own_office
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import here, open_counter, press, said

pytestmark = pytest.mark.shipped_content
"""The sample office is worked through the shipped lists."""

HEADS = {
    "Ctrl+1": "came back within 90 days",
    "Ctrl+2": "groups, as of",
    "Ctrl+3": "groups, as of",
    "Ctrl+4": "chance does not explain",
}


@pytest.fixture
def office(tmp_path_factory: pytest.TempPathFactory, clock: StillClock) -> Office:
    """A sample office of some years."""
    return Office.open(own_office(tmp_path_factory), now=clock)


def test_an_owner_follows_a_figure_to_its_visit_with_the_keys_alone(
    qtbot: QtBot, office: Office, tmp_path: Path
) -> None:
    prompts = PreparedPrompts(tmp_path)
    counter = open_counter(qtbot, office, prompts)
    press(counter, "Ctrl+B")
    [window] = counter.findChildren(RepeatsWindow)
    for keys, head in HEADS.items():
        press(window, keys)
        assert head in said(window, "repeats_said")
        assert window.behind.model.rowCount() > 0
        press(window, "Ctrl+S")
        assert (tmp_path / "What comes back.csv").exists()
        (tmp_path / "What comes back.csv").unlink()
    press(window, "Ctrl+1")
    assert here() is window.rates.table
    before = said(window, "repeats_behind")
    QTest.keyClick(here(), Qt.Key.Key_Down)
    assert said(window, "repeats_behind") != before
    press(window, "Ctrl+G")
    assert said(window, "repeats_only").startswith("Narrowed to Cause: ")
    number = window.behind.model.row(0).number
    press(window, "Ctrl+Return")
    [sheet] = [one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow)]
    assert number in sheet.windowTitle()
    sheet.close()
    press(window, "Alt+Left")
    press(window, "Ctrl+P")
    [page] = window.findChildren(DocumentWindow)
    press(page, "Ctrl+S")
    assert (tmp_path / "What comes back.pdf").read_bytes().startswith(b"%PDF")
    page.close()
    press(window, "Ctrl+W")
    assert counter.findChildren(RepeatsWindow) == []
    counter.close()
    office.close()
