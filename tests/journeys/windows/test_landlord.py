"""A landlord with forty premises: found, gone through and worked with by the keys alone."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.counter.window import CounterWindow
from desk.windows.work.work_queue import WorkQueue
from tests.conftest import StillClock
from tests.records.landlord import Estate, enter_estate
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import press, push, said

VISITS_OF_ONE = 2 * 20


@pytest.fixture(scope="module")
def entered(tmp_path_factory: pytest.TempPathFactory, empty_office: Path) -> tuple[Path, Estate]:
    """A closed office with the landlord in it, made once and copied."""
    place = tmp_path_factory.mktemp("landlord") / "office.drawoff"
    shutil.copyfile(empty_office, place)
    with Office.open(place, now=StillClock()) as office:
        return place, enter_estate(office)


@pytest.fixture
def office_path(tmp_path: Path, entered: tuple[Path, Estate]) -> Path:
    return Path(shutil.copyfile(entered[0], tmp_path / "office.drawoff"))


@pytest.fixture
def estate(entered: tuple[Path, Estate]) -> Estate:
    return entered[1]


@pytest.fixture
def counter(
    qtbot: QtBot, office_path: Path, estate: Estate, clock: StillClock, tmp_path: Path
) -> Iterator[CounterWindow]:
    """A counter with the threads that it has at work."""
    queue = WorkQueue(Office.open(office_path, now=clock))
    counter = CounterWindow(queue, PreparedPrompts(tmp_path))
    counter.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(counter)
    counter.resize(1280, 720)
    counter.show()
    yield counter
    queue.close()


def find(qtbot: QtBot, counter: CounterWindow, words: str, head: str) -> None:
    press(counter, "Ctrl+K")
    QTest.keyClicks(counter.finder.box, words)
    QTest.keyClick(counter.finder.box, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: said(counter, "place_head").startswith(head))


def test_the_place_that_is_looked_for_is_the_one_that_opens(
    qtbot: QtBot, counter: CounterWindow
) -> None:
    find(qtbot, counter, "17 bellows", "17 Bellows Row")
    assert counter.record.head.text() == "Aldous Thorne"
    assert said(counter, "history_head") == "Visits to 17 Bellows Row, newest first"
    find(qtbot, counter, "A-H0080", "40 Bellows Row")
    assert counter.findChild(QAbstractButton, "appliance_A-H0080") is not None


def test_the_arrows_go_from_place_to_place_and_older_visits_come_by_themselves(
    qtbot: QtBot, counter: CounterWindow, estate: Estate
) -> None:
    counter.record.open(estate.customer)
    counter.right.setCurrentWidget(counter.record)
    qtbot.waitUntil(counter.record.places.isVisible)
    assert "Choose a place above" in said(counter, "choose_place")
    counter.record.places.setFocus()
    for number in (1, 2, 3):
        QTest.keyClick(counter.record.places, Qt.Key.Key_Down)
        head = f"{number} Bellows Row"
        qtbot.waitUntil(lambda head=head: said(counter, "place_head").startswith(head))
    history, model = counter.record.history, counter.record.model
    history.setFocus()
    qtbot.waitUntil(lambda: model.rowCount() > 0)
    while model.rowCount() < VISITS_OF_ONE:
        before = model.rowCount()
        QTest.keyClick(history, Qt.Key.Key_End)
        qtbot.waitUntil(lambda before=before: model.rowCount() > before)
    assert model.rowCount() == VISITS_OF_ONE
    assert not model.more


def test_only_the_place_that_is_open_has_buttons(
    qtbot: QtBot, counter: CounterWindow, estate: Estate
) -> None:
    counter.record.open(estate.customer, estate.premises[8])
    counter.right.setCurrentWidget(counter.record)
    qtbot.waitUntil(lambda: said(counter, "place_head").startswith("9 Bellows Row"))
    QApplication.processEvents()
    appliances = [
        button.objectName()
        for button in counter.findChildren(QAbstractButton)
        if button.objectName().startswith("appliance_")
    ]
    assert appliances == ["appliance_A-H0017", "appliance_A-H0018"]
    assert len(counter.findChildren(QWidget, "place")) == 1


def test_a_call_offers_the_place_that_is_meant(
    qtbot: QtBot, counter: CounterWindow, estate: Estate
) -> None:
    find(qtbot, counter, "17 bellows", "17 Bellows Row")
    push(counter, "record_call")
    qtbot.waitUntil(lambda: counter.right.currentWidget() is counter.call)
    assert counter.call.entries.premises.text() == str(estate.premises[16])
