"""What a landlord's record costs the window, beside the record of a customer with one place."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.windows.record.pane import RecordPane
from desk.windows.work.work_queue import InlineQueue
from tests.records.landlord import enter_estate

TURNS = 20
MOST_MS = 100.0
"""Longer than this a person notices that a window waits."""


def _milliseconds(act: Callable[[], object]) -> float:
    """Return the median of what an act and the painting after it take of the processor."""
    taken = []
    for _turn in range(TURNS):
        start = time.process_time()
        act()
        QApplication.processEvents()
        taken.append((time.process_time() - start) * 1000)
    return statistics.median(taken)


@pytest.mark.bench
def test_a_landlord_with_forty_premises(office: Office, qtbot: QtBot) -> None:
    """Print what opening a record, a place and older visits take: look, answer and painting."""
    estate = enter_estate(office)
    small = enter_estate(
        office, premises=1, visits=20, name="Ines Marsh", numbers_from=len(estate.appliances) * 20
    )
    pane = RecordPane(InlineQueue(office))
    qtbot.addWidget(pane)
    pane.resize(820, 620)
    pane.show()
    beside = _milliseconds(lambda: pane.open(small.customer))
    rows: Iterator[int] = iter([*range(2, 2 + TURNS), *range(2, 2 + TURNS)])
    figures = {"record": _milliseconds(lambda: pane.open(estate.customer))}

    def open_next() -> None:
        pane.places.setCurrentIndex(pane.places.model().index(next(rows), 0))

    figures["place"] = _milliseconds(open_next)
    pane.open(estate.customer)
    figures["older"] = _milliseconds(pane.history.scrollToBottom)
    print(f"\nrecord of one place: {beside:.0f} ms")
    for name, taken in figures.items():
        print(f"{name} of 40 x 2 x 20 visits: {taken:.0f} ms, {taken / beside:.1f} times that")
    assert max(figures.values()) < MOST_MS
