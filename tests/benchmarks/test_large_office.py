"""What the counter's actions take in an office of a hundred thousand customers."""

from __future__ import annotations

import statistics
import time
import uuid
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.counter.window import CounterWindow
from desk.windows.work.work_queue import InlineQueue
from tests.benchmarks.large_office import AS_OF, CUSTOMERS, build_large_office
from tests.windows.fakes import PreparedPrompts

TURNS = 15
MOST_MS = 100.0
"""Longer than this a person notices that a window waits."""
LISTS = ("parts", "orders", "people", "withdrawn", "shop")
SHOWN_AT_ONCE = 200
"""More rows than this no list holds, whatever the office does."""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An office of a hundred thousand customers."""
    path = tmp_path_factory.mktemp("large") / "large.drawoff"
    build_large_office(path)
    return path


def _milliseconds(acts: list[Callable[[], object]]) -> tuple[float, float]:
    """Return the median and the longest of acts, each with what the office and the painting take.

    The first of them is not counted: it brings in what is imported once.
    """
    taken = []
    for act in acts:
        start = time.perf_counter()
        act()
        QApplication.processEvents()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken[1:]), max(taken[1:])


@pytest.mark.bench
def test_no_action_of_the_counter_takes_long(large: Path, tmp_path: Path, qtbot: QtBot) -> None:
    """Print what each action takes, the office asked on the window's own thread."""
    with Office.open(large) as office:
        window = CounterWindow(InlineQueue(office), PreparedPrompts(tmp_path))
        qtbot.addWidget(window)
        window.show()

        def type_into(line: QLineEdit, text: str) -> None:
            line.setText(text)
            line.textEdited.emit(text)

        def press(name: str) -> None:
            window.findChild(QAction, name).trigger()
            for top in QApplication.topLevelWidgets():
                if top is not window and top.isWindow() and top.parent() is window:
                    QApplication.processEvents()
                    assert _rows_of(top) <= SHOWN_AT_ONCE
                    top.close()

        customers = [uuid.UUID(int=(1 << 64) + 6007 * n) for n in range(TURNS)]
        phones = [f"{digits}"[:n] for digits in ("2125550142", "9175550101") for n in range(1, 11)]
        words = [word[:n] for word in ("caller 77123", "sluice row") for n in range(1, len(word))]
        acts: dict[str, list[Callable[[], object]]] = {
            "key in the box": [lambda t=text: type_into(window.finder.box, t) for text in words],
            "record": [lambda c=customer: window.record.open(c) for customer in customers],
            "day": [
                lambda d=day: window.day.go_to(AS_OF - timedelta(days=d)) for day in range(TURNS)
            ],
            "week": [window.day.turn] * TURNS,
            "new call": [lambda: press("act_call")],
        }
        acts["new call"] *= TURNS
        acts["key in the call's phone"] = [
            lambda t=text: type_into(window.call.findChild(QLineEdit, "edit_phone"), t)
            for text in phones
        ]
        acts |= {name: [lambda n=name: press(f"act_{n}")] * 6 for name in LISTS}
        print(f"\n{CUSTOMERS} customers, each with a house, a heater and a visit:")
        longest = 0.0
        for name, done in acts.items():
            median, most = _milliseconds(done)
            longest = max(longest, most)
            print(f"  {name:<24} median {median:6.1f} ms, longest {most:6.1f} ms")
        assert _rows_of(window) <= SHOWN_AT_ONCE
    assert longest < MOST_MS


def _rows_of(window: QWidget) -> int:
    """Return how many rows the longest list on show in a window holds."""
    views = window.findChildren(QAbstractItemView)
    return max((view.model().rowCount() for view in views if view.isVisible()), default=0)
