"""What comes back, on the screen: what is asked, the rates, and the visits behind them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from desk.base.progress import Watch
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.views.recurrence import RepeatSummary
from desk.windows.recurrence.rates_view import INTERVAL_COLUMN
from desk.windows.recurrence.warm_up import WANTED, make_ready
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import Job
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said, type_into
from tests.windows.recurrence.conftest import finish_one


def cells(window: RepeatsWindow, column: int = 0) -> list[str]:
    """Return a column of the table of rates."""
    model = window.rates.model
    return [model.data(model.index(row, column)) for row in range(model.rowCount())]


def behind(window: RepeatsWindow, row: int = 0, column: int = 0) -> str:
    """Return a cell of the visits behind the marked row."""
    model = window.behind.model
    return str(model.data(model.index(row, column)))


def choose(window: RepeatsWindow, name: str, letters: str) -> None:
    """Choose from a list by its first letters."""
    box = window.findChild(QComboBox, f"edit_{name}")
    assert box is not None
    box.setFocus()
    QTest.keyClicks(box, letters)


def test_an_office_without_jobs_is_told_what_will_stand_here(window: RepeatsWindow) -> None:
    assert "Rates stand here" in said(window, "repeats_said")
    assert window.rates.model.rowCount() == 0
    assert "once there is one" in said(window, "repeats_behind")
    for keys, name in (("Ctrl+2", "ages"), ("Ctrl+3", "lives"), ("Ctrl+4", "worth")):
        press(window, keys)
        assert window.view is window.views[name]
        assert "stands here" in said(window, "repeats_said") or "stand here" in said(
            window, "repeats_said"
        )


def test_groups_are_ranked_and_open_the_visits_behind_them(
    repeated: Job, window: RepeatsWindow
) -> None:
    assert said(window, "repeats_said").startswith("1 of 2 jobs came back within 90 days")
    assert cells(window) == ["Moving part of the flow sensor stuck", "Sensor dead"]
    assert cells(window, 1) == ["1 of 1", "0 of 1"]
    assert window.behind.model.rowCount() == 1
    assert "after 20 days" in behind(window)
    assert said(window, "repeats_behind") == "Moving part of the flow sensor stuck: 1 job"
    window.rates.table.setFocus()
    QTest.keyClick(window.rates.table, Qt.Key.Key_Down)
    assert "did not come back" in behind(window)


def test_the_window_and_the_period_are_chosen_by_typing(
    repeated: Job, window: RepeatsWindow
) -> None:
    for text, said_then in (("10", "0 of 2"), ("30", "1 of 2")):
        line = type_into(window, "within", text)
        QTest.keyClick(line, Qt.Key.Key_Return)
        assert said(window, "repeats_said").startswith(said_then)
    line = type_into(window, "since", "1 dec 2026")
    assert window.choices.since.under.text() == "= Tuesday 1 December 2026"
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert said(window, "repeats_said").startswith("0 of 1")


def test_a_period_is_chosen_with_one_press(repeated: Job, window: RepeatsWindow) -> None:
    push(window, "repeats_this_year")  # the day is in April 2027
    assert window.choices.since.text() == "1 January 2027"
    assert "No job's window is over" in said(window, "repeats_said")
    push(window, "repeats_this_month")
    assert window.choices.since.text() == "1 April 2027"
    push(window, "repeats_all_time")
    assert window.choices.since.text() == ""
    assert said(window, "repeats_said").startswith("1 of 2")


@pytest.mark.parametrize(
    ("entry", "typed", "says"),
    every_day(
        [
            ("within", "ten", "Type a whole number"),
            ("within", "0", "must be from 1"),
            ("since", "back then", "is no date"),
            ("until", "31/31", "is no date"),
        ],
        1,
        several_names=True,
    ),
)
def test_nonsense_is_told_under_its_line_and_kept(
    repeated: Job, window: RepeatsWindow, entry: str, typed: str, says: str
) -> None:
    line = type_into(window, entry, typed)
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert says in said(window, f"under_{entry}")
    assert line.text() == typed
    assert window.rates.model.rowCount() == 2


def test_another_grouping_is_chosen_with_the_keys(repeated: Job, window: RepeatsWindow) -> None:
    choose(window, "by", "Compl")
    assert cells(window, 1) == ["1 of 2"]
    choose(window, "complaint", "Any")
    assert window.rates.summary is not None
    assert window.rates.summary.choice.complaint == "any"


def test_two_marked_rows_are_held_against_each_other(repeated: Job, window: RepeatsWindow) -> None:
    window.rates.table.setFocus()
    assert said(window, "repeats_compared") == ""
    QTest.keyClick(window.rates.table, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    compared = said(window, "repeats_compared")
    assert compared.startswith("Moving part of the flow sensor stuck and Sensor dead: 100%")
    assert "cannot be told from chance" in compared


def test_that_many_were_looked_at_is_said(repeated: Job, window: RepeatsWindow) -> None:
    assert "Groups held against the rest: 2; standing out: 0" in said(window, "repeats_rates_words")


def test_parts_of_the_same_job_are_not_held_against_each_other(
    repeated: Job, window: RepeatsWindow
) -> None:
    choose(window, "by", "Part")
    rows = window.rates.marked_rows()
    assert "same job" in window.rates.compared_words([*rows, *rows])


def test_one_group_is_looked_at_alone_and_left_again(repeated: Job, window: RepeatsWindow) -> None:
    push(window, "repeats_narrow")
    assert said(window, "repeats_only") == (
        "Narrowed to Cause: Moving part of the flow sensor stuck"
    )
    assert said(window, "repeats_said").startswith("1 of 1")
    assert window.choices.by.text() == "model"
    press(window, "Alt+Left")
    assert said(window, "repeats_only") == ""
    assert said(window, "repeats_said").startswith("1 of 2")
    assert window.choices.by.text() == "cause"


def test_people_are_compared_only_when_somebody_asks(repeated: Job, window: RepeatsWindow) -> None:
    choose(window, "by", "Tech")
    assert "People get different work" in said(window, "repeats_ask_people")
    assert window.rates.summary is not None
    assert window.rates.summary.by == "cause"
    push(window, "repeats_people")
    assert said(window, "repeats_ask_people") == ""
    assert window.rates.summary.by == "technician"
    assert cells(window, 2) == ["1.0"]


def test_what_is_finished_elsewhere_is_counted_at_once(
    office: Office, repeated: Job, window: RepeatsWindow, queue: InlineQueue
) -> None:
    from desk.records.actions.entering import AddPart

    finish_one(office, repeated, "sensor_dead")
    queue.act(window, AddPart(PartDetails("IS-12", "Inlet screen")), print, print)
    assert behind(window) != ""
    assert window.rates.summary is not None
    assert window.rates.summary.total.finished == 3


def test_what_others_do_leaves_what_is_typed_and_marked_alone(
    office: Office, repeated: Job, window: RepeatsWindow, queue: InlineQueue
) -> None:
    from desk.records.actions.entering import AddPart

    choose(window, "by", "Compl")
    window.behind.table.selectRow(1)
    marked = behind(window, 1, 1)
    line = type_into(window, "since", "back th")
    finish_one(office, repeated, "sensor_dead")
    queue.act(window, AddPart(PartDetails("IS-12", "Inlet screen")), print, print)
    assert cells(window, 1) == ["1 of 2"]
    assert window.behind.model.rowCount() == 3
    assert behind(window, window.behind.table.currentIndex().row(), 1) == marked
    assert line.text() == "back th"
    assert said(window, "under_since") == ""


def test_the_interval_is_drawn_in_its_row(repeated: Job, window: RepeatsWindow) -> None:
    window.resize(1200, 700)
    QApplication.processEvents()
    model = window.rates.model
    column = window.rates.table.visualRect(model.index(1, INTERVAL_COLUMN))
    image: QImage = window.rates.table.viewport().grab(column).toImage()
    shades = {image.pixel(x, image.height() // 2) for x in range(image.width())}
    assert len(shades) > 1


def test_every_control_has_a_name_and_the_models_are_sound(
    repeated: Job, window: RepeatsWindow
) -> None:
    fatal = QAbstractItemModelTester.FailureReportingMode.Fatal
    testers = [QAbstractItemModelTester(window.behind.model, fatal)]
    window.how.setChecked(True)
    for keys in ("Ctrl+2", "Ctrl+3", "Ctrl+4", "Ctrl+1"):
        press(window, keys)
        assert unnamed_controls(window) == []
        testers.append(QAbstractItemModelTester(window.view.model, fatal))
        window.refresh()
    assert len(testers) == 5


def test_today_is_the_office_s_day(
    qtbot: QtBot, office: Office, queue: InlineQueue, prompts: PreparedPrompts, clock: StillClock
) -> None:
    late = datetime(2026, 11, 24, 23, 30, tzinfo=ZoneInfo(office.zone))
    clock.pass_minutes(round((late - clock()).total_seconds() / 60))
    window = RepeatsWindow(queue, prompts)
    qtbot.addWidget(window)
    window.show()
    type_into(window, "until", "today")
    assert window.choices.until.under.text() == "= Tuesday 24 November 2026"
    press(window, "Tab")


def test_how_it_is_counted_is_told_on_request(window: RepeatsWindow) -> None:
    assert said(window, "repeats_definitions") == ""
    push(window, "repeats_how")
    assert "came back" in said(window, "repeats_definitions")
    assert "Left out: nothing" in said(window, "repeats_foot")


class SlowLook:
    """A look that goes on until it is stopped, and tells how far it is."""

    def __init__(self, watch: Watch) -> None:
        self.watch = watch

    def run(self, _session: object) -> RepeatSummary:
        for count in range(10_000_000):
            self.watch(count, 10_000_000)
        raise AssertionError("nobody stopped it")


@pytest.fixture
def threaded(
    qtbot: QtBot, repeated: Job, office: Office, prompts: PreparedPrompts
) -> Iterator[RepeatsWindow]:
    """The window with the program's own threads."""
    queue = WorkQueue(office)
    window = RepeatsWindow(queue, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    qtbot.waitUntil(lambda: window.rates.summary is not None, timeout=20_000)
    qtbot.waitUntil(lambda: window.behind.model.rowCount() == 1, timeout=20_000)
    yield window
    queue.close()


def test_a_long_look_says_how_far_it_is_and_can_be_stopped(
    qtbot: QtBot, threaded: RepeatsWindow
) -> None:
    threaded.rates.query = lambda _choice, watch: SlowLook(watch)  # type: ignore[method-assign]
    threaded.refresh()
    qtbot.waitUntil(lambda: " of " in said(threaded, "busy_words"), timeout=20_000)
    assert said(threaded, "busy_words").startswith("Looking through the visits:")
    push(threaded, "busy_stop")
    assert said(threaded, "busy_words") == ""
    assert said(threaded, "repeats_trouble").startswith("Stopped.")
    assert cells(threaded) != []


def test_a_new_choice_ends_the_work_on_the_one_before(
    qtbot: QtBot, threaded: RepeatsWindow
) -> None:
    look = threaded.rates.query
    threaded.rates.query = lambda _choice, watch: SlowLook(watch)  # type: ignore[method-assign]
    threaded.refresh()
    threaded.rates.query = look  # type: ignore[method-assign]
    choose(threaded, "by", "Compl")
    qtbot.waitUntil(lambda: cells(threaded, 1) == ["1 of 2"], timeout=20_000)


def test_what_it_needs_is_made_ready_beside_the_window(
    qtbot: QtBot, threaded: RepeatsWindow
) -> None:
    assert make_ready() == len(WANTED)
    assert set(WANTED) <= set(sys.modules)
