"""What an answer costs, beside the floor of this disk: a bare commit of one row."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desk.paper.report.service_report import service_report
from desk.records.actions.visit import AnswerCheck
from desk.records.database.engine import sqlite_driver
from desk.records.documents.report_snapshot import report_of
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.trade.diagnosis.walk import Given
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from sample_db.build import build
from tests.conftest import FIRST_DAY, StillClock
from tests.journeys.scripts import FLOAT
from tests.records.jobs import begin_job
from tests.windows.fakes import PreparedPrompts

VISITS = 20_000
MOST_ANSWERS = 40


def _milliseconds(times: int, act: Callable[[int], object]) -> list[float]:
    taken = []
    for turn in range(times):
        start = time.perf_counter()
        act(turn)
        taken.append((time.perf_counter() - start) * 1000)
    return taken


def _next_check(window: VisitWindow) -> str | None:
    sheet = window.presenter.sheet
    return sheet.walk.next if sheet is not None and sheet.walk is not None else None


def _p95(taken: list[float]) -> float:
    return statistics.quantiles(taken, n=20)[-1]


@pytest.mark.bench
def test_an_answer_beside_a_bare_commit(tmp_path: Path) -> None:
    """Print the 95th percentile of an answer recorded and shown again, and its ratio."""
    place = tmp_path / "office.drawoff"
    build(place, visits=VISITS, as_of=FIRST_DAY.date())
    bare = sqlite_driver().connect(str(tmp_path / "bare.db"), isolation_level=None)
    for statement in ("journal_mode=WAL", "synchronous=FULL"):
        bare.execute(f"PRAGMA {statement}").fetchall()
    bare.execute("CREATE TABLE answer (id INTEGER PRIMARY KEY, text TEXT)")

    def commit(_turn: int) -> None:
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("INSERT INTO answer (text) VALUES (?)", ("x" * 80,))
        bare.execute("COMMIT")

    with Office.open(place, now=StillClock()) as office:
        job = begin_job(office, StillClock())
        job.work_through(FLOAT, until="draw_two")
        answers = ("all_hot", "some_fail")
        commands = [
            AnswerCheck(job.visit, "hot_elsewhere", Given(answers[turn % 2])) for turn in range(200)
        ]
        taken = _milliseconds(200, lambda turn: office.carry_out(commands[turn]))
    floor = _milliseconds(200, commit)
    print(
        f"\nanswer at {VISITS} visits: p95 {_p95(taken):.1f} ms, median "
        f"{statistics.median(taken):.1f} ms; bare commit: p95 {_p95(floor):.2f} ms; "
        f"ratio of medians {statistics.median(taken) / statistics.median(floor):.0f}"
    )
    assert taken


@pytest.mark.bench
def test_an_answer_until_the_next_check_is_painted(qtbot: QtBot, tmp_path: Path) -> None:
    """Print the 95th percentile from the key to the painted next check, beside a bare repaint."""
    place = tmp_path / "office.drawoff"
    build(place, visits=VISITS, as_of=FIRST_DAY.date())
    with Office.open(place, now=StillClock()) as office:
        job = begin_job(office, StillClock())
        job.work_through(FLOAT, until="draw_two")
        window = VisitWindow(InlineQueue(office), PreparedPrompts(tmp_path), job.visit)
        qtbot.addWidget(window)
        window.show()
        qtbot.waitExposed(window)
        taken = []
        while (asked := _next_check(window)) is not None and len(taken) < MOST_ANSWERS:
            QTest.keyClick(window, Qt.Key.Key_A)  # cautions are read first, and not timed
            QApplication.processEvents()
            start = time.perf_counter()
            QTest.keyClick(window, Qt.Key.Key_1)
            QApplication.processEvents()
            taken.append((time.perf_counter() - start) * 1000)
            assert _next_check(window) != asked
        floor = _milliseconds(24, lambda _turn: window.repaint())
    print(
        f"\n{len(taken)} answers to the painted next check at {VISITS} visits: p95 "
        f"{_p95(taken):.1f} ms, median "
        f"{statistics.median(taken):.1f} ms; bare repaint: median {statistics.median(floor):.1f} ms"
    )
    assert taken


@pytest.mark.bench
def test_a_report_beside_its_bare_flowables(office: Office, clock: StillClock) -> None:
    """Print how long a usual report takes to build."""
    job = begin_job(office, clock)
    job.work_through(FLOAT)
    with office.read() as session:
        report = report_of(session, session.get_one(Visit, job.visit))
    service_report(report)
    taken = _milliseconds(20, lambda _turn: service_report(report))
    print(f"\nservice report: median {statistics.median(taken):.0f} ms")
    assert taken
