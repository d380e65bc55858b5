"""The window that brings customers in, over an office without threads, and with them."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from desk.records.actions.entering import AddCustomer
from desk.records.exchange.customers import TakeCustomersOver
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from desk.records.parties.customers import add_customer
from desk.records.tables import Customer
from desk.windows.back_office.import_window import BringingInWindow
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.records.jobs import ACT
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import count, push, said

LINES = (
    "Who,Phone,Shoe size\n"
    "Ann Reed,555-0101,38\n"
    ",555-0102,41\n"
    "Bo Moss,555-0103,44\n"
    "Cy Tarn,555-0104,40,too many\n"
)


@pytest.fixture
def window(qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts) -> BringingInWindow:
    return _shown(qtbot, BringingInWindow(queue, prompts))


def _shown(qtbot: QtBot, window: BringingInWindow) -> BringingInWindow:
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    return window


def _file(folder: Path, text: str = LINES) -> Path:
    path = folder / "old.csv"
    path.write_text(text)
    return path


def _let_stand_for(window: BringingInWindow, place: int, field: str) -> None:
    box = window.matching.boxes[place]
    box.setCurrentIndex(box.findData(field))


def _cells(window: BringingInWindow, column: int) -> list[str]:
    model = window.first
    return [model.data(model.index(row, column)) for row in range(model.rowCount())]


def test_a_column_is_matched_by_hand_and_the_first_lines_follow(
    window: BringingInWindow, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    _file(tmp_path)
    prompts.names = ["old.csv"]
    push(window, "bring_choose")
    assert said(window, "bring_said") == "▲ Say which column holds the name."
    assert not window.take.isEnabled()
    assert window.matching.fields() == ("", "phone", "")
    _let_stand_for(window, 0, "name")
    assert _cells(window, 0) == ["Ann Reed", "", "Bo Moss", "Cy Tarn"]
    assert said(window, "bring_said") == "old.csv: 2 new, 0 already there, 2 cannot come in."
    _let_stand_for(window, 2, "name")
    assert said(window, "bring_said") == "▲ Two columns stand for Name; use one."


def test_what_cannot_come_in_is_told_with_its_line(
    window: BringingInWindow, tmp_path: Path
) -> None:
    window.open(_file(tmp_path, LINES.replace("Who", "Name")))
    rows = [(refusal.line, str(refusal.why)) for refusal in window.cannot.rows()]
    assert rows == [(3, "it has no name"), (5, "it has more cells than there are headings")]


def test_nothing_changes_before_it_is_taken_over_and_all_of_it_is_taken_back(
    window: BringingInWindow, office: Office, tmp_path: Path
) -> None:
    with office.unit_of_work(ACT) as session:
        add_customer(session, CustomerDetails("Ann Reed"), phones=["555-0101"])
    window.open(_file(tmp_path, LINES.replace("Who", "Name")))
    assert count(office, Customer) == 1
    assert said(window, "bring_said") == "old.csv: 1 new, 1 already there, 2 cannot come in."
    push(window, "bring_take")
    assert count(office, Customer) == 2
    assert said(window, "bring_said") == "1 customer came in. Ctrl+Z takes all of it back."
    assert not window.take.isEnabled()
    window.steps.take_back()
    assert said(window.steps, "steps_said") == "Taken back: Customers imported (1)."
    assert said(window, "bring_said") == "old.csv: 1 new, 1 already there, 2 cannot come in."


def test_a_file_that_cannot_be_read_is_told_and_the_next_one_is_taken(
    window: BringingInWindow, tmp_path: Path
) -> None:
    window.open(tmp_path / "not there.csv")
    assert said(window, "bring_said").endswith("not there.csv cannot be read.")
    window.open(_file(tmp_path, 'Name\n"Ann'))
    assert said(window, "bring_said").startswith("▲ Line 2 is no CSV")
    window.open(_file(tmp_path, "Name\nAnn\n"))
    assert said(window, "bring_said").startswith("old.csv: 1 new")


def test_a_take_over_that_is_stopped_leaves_nothing(
    qtbot: QtBot, office: Office, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    """The person pushes Stop while the rows are being written."""
    queue = WorkQueue(_Slow(office))  # type: ignore[arg-type]
    window = _shown(qtbot, BringingInWindow(queue, prompts))
    window.open(_file(tmp_path, LINES.replace("Who", "Name")))
    qtbot.waitUntil(window.take.isEnabled)
    push(window, "bring_take")
    _Slow.begun.wait(5)
    window.busy.stop_asked.emit()
    _Slow.go_on.set()
    _wait_for(qtbot, lambda: said(window, "bring_said").startswith("Left off. Nothing came in"))
    assert count(office, Customer) == 0
    assert window.choose.isEnabled()
    for pool in queue._pools:
        pool.waitForDone()


def _wait_for(qtbot: QtBot, done: Callable[[], bool]) -> None:
    qtbot.waitUntil(done, timeout=5_000)


class _Slow:
    """An office in which taking over waits until it is told to go on."""

    begun, go_on = threading.Event(), threading.Event()

    def __init__(self, office: Office) -> None:
        self._office = office

    def __getattr__(self, name: str) -> object:
        return getattr(self._office, name)

    def carry_out(self, command: TakeCustomersOver) -> object:
        self.begun.set()
        self.go_on.wait(5)
        return self._office.carry_out(command)


def test_its_controls_have_names_and_its_models_are_sound(
    window: BringingInWindow, tmp_path: Path
) -> None:
    window.open(_file(tmp_path, LINES.replace("Who", "Name")))
    assert unnamed_controls(window) == []
    for model in (window.first, window.cannot):
        QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)


def test_ctrl_z_pressed_twice_takes_a_large_import_back_once(
    qtbot: QtBot, office: Office, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    """Taking very many back lasts; what was done before is not taken back by impatience."""
    office.carry_out(AddCustomer(CustomerDetails("Ann Reed")))
    queue = WorkQueue(office)
    window = _shown(qtbot, BringingInWindow(queue, prompts))
    window.open(_file(tmp_path, "Name\nBo Moss\n"))
    qtbot.waitUntil(window.take.isEnabled)
    push(window, "bring_take")
    _wait_for(qtbot, lambda: said(window, "bring_said").startswith("1 customer came in"))
    window.steps.take_back()
    assert said(window.steps, "steps_said") == "Being taken back …"
    window.steps.take_back()
    _wait_for(qtbot, lambda: "(1)" in said(window.steps, "steps_said"))
    for pool in queue._pools:
        pool.waitForDone()
    with office.read() as session:
        in_use = sa.select(Customer.name).where(Customer.withdrawn_at.is_(None))
        assert session.scalars(in_use).all() == ["Ann Reed"]
