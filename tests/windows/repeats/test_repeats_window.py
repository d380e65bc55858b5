"""What comes back, on the screen and saved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from desk.records import visits
from desk.records.office import Office
from desk.windows.repeats.window import RepeatsWindow
from desk.windows.worker import Desk, InlineDesk
from tests.conftest import StillClock
from tests.records.jobs import DEED, Job, take_job
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said, type_into

A_DAY = 24 * 60


def finish_one(office: Office, job: Job, cause: str) -> None:
    """Call, arrive, find a cause and finish, all at the same minute."""
    with office.deed(DEED) as session:
        visit = visits.take_call(
            session, visits.CallDetails("no_response", appliance_id=job.appliance)
        )
        visits.arrive(session, visit, technician_id=job.technician)
        visits.set_cause(session, visit, cause=cause)
        visits.finish(session, visit, "mended")


@pytest.fixture
def repeated(office: Office, clock: StillClock) -> Job:
    """A job that came back after twenty days; both windows are over."""
    job = take_job(office, clock)
    finish_one(office, job, "element_stuck")
    clock.pass_minutes(20 * A_DAY)
    finish_one(office, job, "sensor_dead")
    clock.pass_minutes(120 * A_DAY)
    return job


@pytest.fixture
def window(qtbot: QtBot, desk: InlineDesk, prompts: PreparedPrompts) -> RepeatsWindow:
    window = RepeatsWindow(desk, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    return window


def test_an_office_without_jobs_is_told_what_will_stand_here(window: RepeatsWindow) -> None:
    assert "Rates stand here" in said(window, "repeats_said")
    assert window.model.rowCount() == 0


def test_groups_are_ranked_and_open_the_visits_behind_them(
    repeated: Job, window: RepeatsWindow
) -> None:
    assert window.said.text().startswith("1 of 2 jobs came back within 90 days")
    groups = [window.model.data(window.model.index(row, 0)) for row in range(2)]
    assert groups == ["Moving part of the flow sensor stuck", "Sensor dead"]
    assert window.behind.rowCount() == 1
    assert "after 20 days" in window.behind.data(window.behind.index(0, 0))
    window.table.setFocus()
    QTest.keyClick(window.table, Qt.Key.Key_Down)
    assert "did not come back" in window.behind.data(window.behind.index(0, 0))


def test_the_window_and_the_period_are_chosen_by_typing(
    repeated: Job, window: RepeatsWindow
) -> None:
    for text, said_then in (("10", "0 of 2"), ("30", "1 of 2")):
        line = type_into(window, "within", text)
        QTest.keyClick(line, Qt.Key.Key_Return)
        assert window.said.text().startswith(said_then)
    line = type_into(window, "since", "1 dec 2026")
    assert window.since.under.text() == "= Tuesday 1 December 2026"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.said.text().startswith("0 of 1")


@pytest.mark.parametrize(
    ("entry", "typed", "says"),
    [
        ("within", "ten", "Type a whole number"),
        ("since", "back then", "is no date"),
        ("until", "31/31", "is no date"),
    ],
)
def test_nonsense_is_told_under_its_line_and_kept(
    repeated: Job, window: RepeatsWindow, entry: str, typed: str, says: str
) -> None:
    line = type_into(window, entry, typed)
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert says in said(window, f"under_{entry}")
    assert line.text() == typed
    assert window.model.rowCount() == 2


def test_another_grouping_is_chosen_with_the_keys(repeated: Job, window: RepeatsWindow) -> None:
    by = window.findChild(QComboBox, "edit_by")
    assert by is not None
    by.setFocus()
    QTest.keyClicks(by, "Compl")
    assert window.model.rowCount() == 1
    assert window.model.data(window.model.index(0, 3)) == "1"


def test_pages_and_table_are_saved_without_holding_up_the_window(
    qtbot: QtBot, office: Office, repeated: Job, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    desk = Desk(office)
    window = RepeatsWindow(desk, prompts)
    window.show()
    qtbot.waitUntil(lambda: window.summary is not None)
    for button, name in (("repeats_pdf", "pdf"), ("repeats_csv", "csv")):
        push(window, button)
        qtbot.waitUntil(
            lambda name=name: (
                window.statusBar().currentMessage() == f"Saved as What comes back.{name}."
            )
        )
    assert (tmp_path / "What comes back.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "What comes back.csv").read_text().startswith("key,label")
    window.close()
    desk.close()


def test_saving_can_be_thought_better_of_and_a_bad_place_is_told(
    repeated: Job, window: RepeatsWindow, prompts: PreparedPrompts, tmp_path: Path
) -> None:
    prompts.names = [None, "no such folder/x.csv"]
    push(window, "repeats_pdf")
    push(window, "repeats_csv")
    assert list(tmp_path.glob("*.pdf")) == []
    assert said(window, "repeats_said").startswith("▲")


def test_what_is_finished_elsewhere_is_counted_at_once(
    office: Office, repeated: Job, window: RepeatsWindow, desk: InlineDesk
) -> None:
    from desk.records.deeds.entering import AddPart

    finish_one(office, repeated, "sensor_dead")
    desk.act(window, AddPart("IS-12", "Inlet screen"), print, print)
    assert window.model.data(window.model.index(1, 1)) == "2"


def test_the_interval_is_drawn_in_its_row(repeated: Job, window: RepeatsWindow) -> None:
    window.resize(1200, 700)
    QApplication.processEvents()
    column = window.table.visualRect(window.model.index(1, 5))
    image: QImage = window.table.viewport().grab(column).toImage()
    shades = {image.pixel(x, image.height() // 2) for x in range(image.width())}
    assert len(shades) > 1


def test_every_control_has_a_name_and_the_models_are_sound(
    repeated: Job, window: RepeatsWindow
) -> None:
    assert unnamed_controls(window) == []
    fatal = QAbstractItemModelTester.FailureReportingMode.Fatal
    testers = [QAbstractItemModelTester(model, fatal) for model in (window.model, window.behind)]
    window.look()
    assert len(testers) == 2


def test_today_is_the_office_s_day(
    qtbot: QtBot, office: Office, desk: InlineDesk, prompts: PreparedPrompts, clock: StillClock
) -> None:
    late = datetime(2026, 11, 24, 23, 30, tzinfo=ZoneInfo(office.zone))
    clock.pass_minutes(round((late - clock()).total_seconds() / 60))
    window = RepeatsWindow(desk, prompts)
    qtbot.addWidget(window)
    window.show()
    type_into(window, "until", "today")
    assert window.until.under.text() == "= Tuesday 24 November 2026"
    press(window, "Tab")


@pytest.fixture
def threaded(
    qtbot: QtBot, repeated: Job, office: Office, prompts: PreparedPrompts
) -> Iterator[RepeatsWindow]:
    """The window with the program's own threads, over a summary of thousands of lines."""
    desk = Desk(office)
    window = RepeatsWindow(desk, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    qtbot.waitUntil(lambda: window.summary is not None)
    assert window.summary is not None
    window.summary = replace(window.summary, rows=window.summary.rows * 1500)
    yield window
    desk.close()


def test_a_long_summary_says_how_far_it_is_and_can_be_stopped(
    qtbot: QtBot, threaded: RepeatsWindow, prompts: PreparedPrompts
) -> None:
    push(threaded, "repeats_pdf")
    qtbot.waitUntil(lambda: " of " in said(threaded, "busy_words"), timeout=20_000)
    assert said(threaded, "busy_words").startswith("Laying out the lines of the summary:")
    press(threaded, "Ctrl+Z")  # the window goes on
    push(threaded, "busy_stop")
    assert said(threaded, "busy_words") == ""
    push(threaded, "repeats_csv")
    qtbot.waitUntil((prompts.folder / "What comes back.csv").exists, timeout=20_000)
    assert not (prompts.folder / "What comes back.pdf").exists()


def test_a_long_summary_is_saved_in_the_end(
    qtbot: QtBot, threaded: RepeatsWindow, prompts: PreparedPrompts
) -> None:
    assert threaded.summary is not None
    threaded.summary = replace(threaded.summary, rows=threaded.summary.rows[:40])
    push(threaded, "repeats_pdf")
    qtbot.waitUntil(
        lambda: threaded.statusBar().currentMessage() == "Saved as What comes back.pdf.",
        timeout=20_000,
    )
    assert (prompts.folder / "What comes back.pdf").read_bytes().startswith(b"%PDF")
    assert said(threaded, "busy_words") == ""


def test_how_it_is_counted_is_told_on_request(window: RepeatsWindow) -> None:
    assert said(window, "repeats_definitions") == ""
    push(window, "repeats_how")
    assert "came back" in said(window, "repeats_definitions")
