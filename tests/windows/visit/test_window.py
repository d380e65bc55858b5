"""The visit sheet as a whole: undo, reopening, names, targets, and no trace left behind."""

from __future__ import annotations

import gc
import weakref
from itertools import cycle

import pytest
from PySide6.QtCore import QEvent, QPoint
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from desk.records.office.office import Office
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.theme import themes, tokens
from desk.windows.theme.tokens import SHEET_TARGET
from desk.windows.visit.progress import STAGES, Progress, progress_of
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue, WorkQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.journeys.scripts import FLOAT
from tests.records.jobs import Job, begin_job, take_job
from tests.windows.conftest import Sit
from tests.windows.fakes import unnamed_controls
from tests.windows.visit.sheets import Person, Ready, StopWatch


def far(person: Person) -> dict[str, Progress]:
    return progress_of(person.sheet())


def test_each_stage_says_by_a_word_and_a_shape_how_far_it_is(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    assert set(far(person).values()) == {Progress.EMPTY}
    person.click("arrive")
    assert person.find(QAbstractButton, "go_arrive").accessibleName() == "Arrive: at the door"
    person.walk(FLOAT)
    assert (far(person)["arrive"], far(person)["check"]) == (Progress.DONE, Progress.DONE)
    assert far(person)["repair"] is Progress.EMPTY
    assert far(person)["sign"] is Progress.EMPTY


def test_no_stage_locks_another(sit: Sit, waiting: Job) -> None:
    person = sit(waiting)
    for place, (name, _title) in enumerate(STAGES, 1):
        person.press(f"Ctrl+{place}")
        assert person.window.stage() == name
    for name, _title in reversed(STAGES[:-1]):
        person.press("Ctrl+PgUp")
        assert person.window.stage() == name
    person.press("Ctrl+PgDown")
    assert person.window.stage() == "check"


def test_undo_and_redo_say_what_they_took_back(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.answer("none")
    person.press("Ctrl+Z")
    assert person.next_check() == "danger"
    assert person.reads("notice") == "Undone: Check answered"
    person.press("Ctrl+Shift+Z")
    assert person.next_check() == "flooding"
    assert person.reads("notice") == "Redone: Check answered"
    person.press("Ctrl+Z")
    assert person.reads("notice") == "Undone: Check answered"


def test_a_fill_and_a_field_are_taken_back_too(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.press("Ctrl+3")
    person.type("container_found", "2 gal")
    person.measure("found", 62.0)
    person.press("Ctrl+Z")
    assert person.sheet().report.flows == ()
    person.press("Ctrl+4")
    person.type("edit_permit", "P-7")
    person.click("add_part")  # the focus leaves the field
    person.find(QWidget, "choose_cause").setFocus()
    person.press("Ctrl+Z")
    assert person.sheet().report.permit == ""
    assert person.written("edit_permit") == ""


def test_closing_in_the_middle_keeps_what_was_typed_and_reopens_there(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(FLOAT, until="draw_one")
    person.press("Ctrl+6")
    field = person.find(QWidget, "edit_next_step")
    field.setFocus()
    person.press("a, b, c")
    person.window.close()
    again = sit(begun)
    assert again.window.stage() == "check"
    assert again.next_check() == "draw_one"
    assert again.sheet().report.next_step == "abc"


def test_a_stage_is_built_when_it_is_first_turned_to_and_stays(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    stages = person.window.stack
    assert stages.count() == 1, "the one at which the visit is taken up"
    person.press("Ctrl+4")
    repair = stages.currentWidget()
    assert stages.count() == 2
    person.press("Ctrl+1")
    person.press("Ctrl+4")
    assert stages.currentWidget() is repair
    assert stages.count() == 2


def test_every_stage_shows_what_was_answered_on_another(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.press("Ctrl+4")
    person.press("Ctrl+1")
    person.answer("none")
    person.press("Ctrl+4")
    assert person.window.repair.sheet is person.sheet(), "it was built before"
    person.press("Ctrl+3")
    assert person.window.measure.sheet is person.sheet(), "it is built now"


def test_what_is_half_typed_waits_for_a_stage_that_nobody_turns_to(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.press("Ctrl+3")
    person.type("reading_tap_temperature_found", "rather warm")
    person.window.close()
    between = sit(begun)
    assert between.window.stage() == "arrive"
    between.answer("none")
    between.window.close()
    again = sit(begun)
    again.press("Ctrl+3")
    assert again.written("reading_tap_temperature_found") == "rather warm"


def test_another_windows_change_is_shown(sit: Sit, begun: Job) -> None:
    first = sit(begun)
    assert first.sheet().report.allowed_by == ""
    first.window.presenter.refresh()
    assert first.sheet().report.number == "A-00001"


@pytest.mark.parametrize("look", every_day(tokens.LOOKS, [*tokens.LOOKS][-1:]))
def test_every_target_is_large_enough_in_both_looks(
    sit: Sit, begun: Job, qapp: QApplication, look: str
) -> None:
    themes.wear(qapp, tokens.LOOKS[look])
    try:
        person = sit(begun)
        for place, (name, _title) in enumerate(STAGES, 1):
            person.press(f"Ctrl+{place}")
            QApplication.processEvents()
            for kind in (QAbstractButton, QLineEdit, QComboBox):
                for control in person.window.findChildren(kind):
                    if control.isVisible() and not control.objectName().startswith("qt_"):
                        assert control.height() >= SHEET_TARGET, f"{name}: {control.objectName()}"
    finally:
        themes.wear(qapp, tokens.DAY)


def test_every_control_has_a_name(sit: Sit, begun: Job) -> None:
    person = sit(begun)
    person.walk(FLOAT, until="draw_one")
    for place in range(1, 7):
        person.press(f"Ctrl+{place}")
        assert unnamed_controls(person.window) == []
    person.press("Ctrl+1")
    person.click("small_job")
    assert unnamed_controls(person.window) == []


def test_nothing_is_wider_than_a_small_window(sit: Sit, begun: Job) -> None:
    """1280 x 720 at 200 % leaves 640 x 360: everything is reached by scrolling down."""
    person = sit(begun)
    person.window.resize(640, 360)
    person.walk(FLOAT, until="draw_one")
    for place in range(1, 7):
        person.press(f"Ctrl+{place}")
        QApplication.processEvents()
        stage = person.window.stack.currentWidget()
        page = person.window.findChild(QWidget, stage.objectName()).widget()  # type: ignore[union-attr]
        assert page.width() <= 640
    assert person.window.width() == 640


def test_openings_leave_nothing_behind(qtbot: QtBot, begun: Job) -> None:
    queue = InlineQueue(begun.office)
    opened: list[weakref.ref[VisitWindow]] = []
    pages = ("arrive", "check", "measure", "repair", "prove", "sign", "small_job", "photographs")
    for _time, turned_to in zip(range(2 * len(pages)), cycle(pages), strict=False):
        window = VisitWindow(queue, Ready(), begun.visit)
        window.go_to(turned_to)
        opened.append(weakref.ref(window))
        window.close()
        del window
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    assert [one for one in opened if one() is not None] == []
    assert [one for one in QApplication.topLevelWidgets() if isinstance(one, VisitWindow)] == []


def test_the_real_threads_carry_a_visit(
    qtbot: QtBot, office_path_desk: tuple[WorkQueue, Job]
) -> None:
    queue, job = office_path_desk
    window = VisitWindow(queue, Ready(), job.visit, clock=StopWatch())
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    person = Person(window, StopWatch(), job)
    qtbot.waitUntil(lambda: person.sees("arrive_card"))
    for answer, then in (("none", "flooding"), ("dry", "allowed"), ("yes", "old_materials")):
        person.read_cautions()
        button = f"answer_{answer}"
        qtbot.waitUntil(lambda name=button: person.can_press(name))
        person.click(button)
        qtbot.waitUntil(lambda check=then: person.next_check() == check)
    person.type("edit_allowed_by", "Mara Quill")
    qtbot.waitUntil(lambda: person.sheet().report.allowed_by == "Mara Quill")
    person.press("Ctrl+6")
    qtbot.waitUntil(lambda: person.sees("page"), timeout=20_000)
    window.close()


@pytest.fixture
def office_path_desk(office: Office, clock: StillClock) -> tuple[WorkQueue, Job]:
    """The real desk, with its threads, over the office of this test."""
    job = begin_job(office, clock)
    return WorkQueue(office), job


def test_what_stands_on_top_stays_there_while_the_visit_is_being_opened(
    qtbot: QtBot, office_path_desk: tuple[WorkQueue, Job]
) -> None:
    queue, job = office_path_desk
    window = VisitWindow(queue, Ready(), job.visit)
    qtbot.addWidget(window)
    window.show()
    strip = window.top
    assert not window.stack.isVisible(), "the answer comes with a later event"
    assert strip.height() <= strip.sizeHint().height()
    top = strip.mapTo(window, QPoint(0, 0)).y()
    qtbot.waitUntil(window.stack.isVisible)
    assert abs(strip.mapTo(window, QPoint(0, 0)).y() - top) < strip.height()
    window.close()


def test_a_long_name_leaves_room_for_the_work(sit: Sit, office: Office, clock: StillClock) -> None:
    name = "Maximiliane-Alexandra <b>von</b> und zu Hohenfels " * 4
    job = take_job(office, clock, name=name)
    person = sit(job)
    assert person.find(QWidget, "visit_head").height() < 80
    assert name.strip() in person.reads("where")
    sheet: VisitSheet = person.sheet()
    assert sheet.report.customer is not None
