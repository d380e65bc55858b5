"""Starting: the frame first, then the office; a refusal is told in its sentence with a way out."""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLineEdit, QMainWindow, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from desk.base import office_files, paths
from desk.base.errors import DeskError, OfficeGone
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.guard import Guard
from desk.records.office.office import Office
from desk.records.tables import Person, Shop
from desk.windows.app import Start
from desk.windows.back_office.first_start import FoundingDialog
from desk.windows.kit.edge import GONE, EdgeLine
from desk.windows.theme import themes, tokens
from tests.windows.fakes import PreparedPrompts, unnamed_controls

BEFORE_THE_FIRST_PAINT = {
    "PySide6",
    "__feature__",
    "platformdirs",
    "shiboken6",
    "shibokensupport",
    "signature_bootstrap",
}
"""Everything beyond the standard library and ourselves that may be imported before it."""


@pytest.fixture
def start(qtbot: QtBot, prompts: PreparedPrompts) -> Iterator[Callable[[Path], Start]]:
    started: list[Start] = []

    def begin(place: Path) -> Start:
        one = Start(place, prompts)
        started.append(one)
        qtbot.addWidget(one.frame)
        return one

    yield begin
    for one in started:
        if one.counter is not None:
            one.counter.destroyed.disconnect(one.close)
            one.counter.close()
        one._let_go()


def test_the_frame_is_there_before_the_office(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path
) -> None:
    one = start(office_path)
    with qtbot.waitSignal(one.ready):
        one.show()
        assert one.frame.isVisible()
        assert one.counter is None
    assert one.counter is not None
    assert one.counter.isVisible()
    assert not one.frame.isVisible()
    assert unnamed_controls(one.counter) == []


def test_an_office_that_others_can_read_is_told_once_in_a_quiet_line(
    qtbot: QtBot,
    start: Callable[[Path], Start],
    office_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(office_files, "is_open_to_others", lambda _office: True)
    said = []
    for _ in range(2):
        one = start(office_path)
        with qtbot.waitSignal(one.ready):
            one.show()
        assert one.counter is not None
        said.append(one.counter.statusBar().currentMessage())
        one._let_go()
    assert said[0].startswith("Every account on this machine can read office.drawoff.")
    assert said[1] == ""


def test_a_foreign_file_is_refused_and_another_chosen(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path, prompts: PreparedPrompts
) -> None:
    foreign = office_path.with_name("holiday.drawoff")
    foreign.write_text("not an office")
    one = start(foreign)
    one.show()
    qtbot.waitUntil(lambda: one.words.objectName() == "refused")
    assert one.words.text() == "holiday.drawoff is no office of this program."
    assert one.words.textFormat() == Qt.TextFormat.PlainText
    prompts.names = [office_path.name]
    other = one.frame.findChild(QPushButton, "choose_other")
    assert other is not None
    with qtbot.waitSignal(one.ready):
        QTest.mouseClick(other, Qt.MouseButton.LeftButton)
    assert foreign.read_text() == "not an office"


def test_a_second_window_on_the_same_office_shares_it(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path
) -> None:
    first, second = start(office_path), start(office_path)
    for one in (first, second):
        with qtbot.waitSignal(one.ready):
            one.show()
    assert first.queue is not None
    assert second.queue is not None
    with qtbot.waitSignal(second.queue.changed):
        first.queue.act(first, AddPerson(PersonDetails("Ann Poole")), print, print)


def test_an_office_that_another_program_works_on_as_a_whole_is_told(
    qtbot: QtBot,
    start: Callable[[Path], Start],
    office_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Guard.share, "__defaults__", (0.1,))
    with closing(Guard(office_path)) as upgrading:
        upgrading.alone()
        one = start(office_path)
        one.show()
        qtbot.waitUntil(lambda: one.words.objectName() == "refused")
        assert "Another Drawoff is working on the whole of office.drawoff" in one.words.text()


def test_an_office_that_is_taken_away_is_told_in_every_window_and_what_is_typed_stays(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path
) -> None:
    one = start(office_path)
    with qtbot.waitSignal(one.ready):
        one.show()
    assert one.queue is not None
    assert one.counter is not None
    box = one.counter.findChild(QLineEdit, "find")
    assert box is not None
    QTest.keyClicks(box, "Larkm")
    other = QDialog(one.counter)
    qtbot.addWidget(other)
    office_path.unlink()
    with qtbot.waitSignal(one.queue.gone, timeout=5000):
        pass
    line = one.counter.findChild(EdgeLine, GONE)
    assert line is not None
    assert line.isVisible()
    assert "office.drawoff was taken away while it was open" in line.words.text()
    assert line.geometry().top() == 0
    assert one.counter.contentsMargins().top() >= line.height()
    assert box.text() == "Larkm"
    other.show()
    qtbot.waitUntil(lambda: other.findChild(EdgeLine, GONE) is not None)
    refused: list[DeskError] = []
    one.queue.act(one, AddPerson(PersonDetails("Ann Poole")), refused.append, refused.append)
    qtbot.waitUntil(lambda: bool(refused))
    assert isinstance(refused[0], OfficeGone)


def test_an_office_that_lost_what_was_saved_is_told_and_its_sound_part_opened(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path
) -> None:
    older = office_path.read_bytes()
    with Office.open(office_path) as office:
        office.carry_out(AddPerson(PersonDetails("Ann Poole")))
    office_path.write_bytes(older)
    one = start(office_path)
    one.show()
    qtbot.waitUntil(lambda: one.words.objectName() == "refused")
    assert "office.drawoff is older than what was last saved in it" in one.words.text()
    sound = one.frame.findChild(QPushButton, "sound_part")
    assert sound is not None
    assert unnamed_controls(one.frame) == []
    with qtbot.waitSignal(one.ready):
        QTest.mouseClick(sound, Qt.MouseButton.LeftButton)
    (aside,) = office_path.parent.glob("office.drawoff.aside-*")
    assert aside.read_bytes() == older
    assert isinstance(one.counter, QMainWindow)
    assert aside.name in one.counter.statusBar().currentMessage()


def test_three_questions_make_the_first_office(
    qtbot: QtBot,
    start: Callable[[Path], Start],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    own = tmp_path / "own" / "office.drawoff"
    monkeypatch.setattr(paths, "own_office", lambda: own)
    one = start(own)
    one.show()
    qtbot.waitUntil(lambda: one.founding is not None)
    asked = one.founding
    assert asked is not None
    assert unnamed_controls(asked) == []
    QTest.mouseClick(asked.begin, Qt.MouseButton.LeftButton)
    assert "Type what your shop is called." in asked.shop.under.text()
    shop = asked.findChild(QLineEdit, "edit_shop")
    person = asked.findChild(QLineEdit, "edit_person")
    assert shop is not None
    assert person is not None
    QTest.keyClicks(shop, "Larkmoor Heating")
    asked.zone.put("America/Chicago")
    QTest.mouseClick(asked.begin, Qt.MouseButton.LeftButton)
    assert "Type your name." in asked.person.under.text()
    assert asked.shop.text() == "Larkmoor Heating"
    QTest.keyClicks(person, "Ann Poole")
    with qtbot.waitSignal(one.ready):
        QTest.mouseClick(asked.begin, Qt.MouseButton.LeftButton)
    assert one.queue is not None
    assert one.queue.zone == "America/Chicago"
    one.counter.destroyed.disconnect(one.close)  # type: ignore[union-attr]
    one.counter.close()  # type: ignore[union-attr]
    one.counter = None
    one._let_go()
    with Office.open(own) as office, office.read() as session:
        assert session.scalars(sa.select(Shop.name)).one() == "Larkmoor Heating"
        assert session.scalars(sa.select(Person.name)).one() == "Ann Poole"


def test_another_office_is_opened_in_its_place(
    qtbot: QtBot,
    start: Callable[[Path], Start],
    office_path: Path,
    prompts: PreparedPrompts,
    qapp: QApplication,
) -> None:
    ended: list[object] = []

    def end() -> None:
        ended.append("the program would have ended")

    second = office_path.with_name("second.drawoff")
    shutil.copyfile(office_path, second)
    one = start(office_path)
    with qtbot.waitSignal(one.ready):
        one.show()
    first, prompts.names = one.counter, [second.name]
    assert first is not None
    qapp.lastWindowClosed.connect(end)
    with qtbot.waitSignal(one.ready):
        first.findChild(QAction, "act_other").trigger()
    qapp.lastWindowClosed.disconnect(end)
    assert one.place == second
    assert one.counter is not first
    assert ended == []
    with closing(Guard(office_path)) as mine:
        assert mine.try_alone(), "the first office is let go of"


def test_the_window_lives_while_the_office_is_being_opened(
    qtbot: QtBot,
    start: Callable[[Path], Start],
    office_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    gate, open_office = threading.Event(), Office.open

    def slowly(place: Path) -> Office:
        gate.wait(5)
        return open_office(place)

    monkeypatch.setattr(Office, "open", slowly)
    one = start(office_path)
    one.show()
    qtbot.waitUntil(one.busy.isVisible)
    assert unnamed_controls(one.frame) == []
    with qtbot.waitSignal(one.ready):
        gate.set()


def test_the_counter_opens_where_it_was_left(
    qtbot: QtBot, start: Callable[[Path], Start], office_path: Path
) -> None:
    one = start(office_path)
    with qtbot.waitSignal(one.ready):
        one.show()
    assert one.counter is not None
    one.counter.setGeometry(10, 40, 760, 600)
    left = one.counter.geometry()
    one.counter.destroyed.disconnect(one.close)
    one.counter.close()
    one.counter = None
    one._let_go()
    again = start(office_path)
    assert again.frame.geometry() == left
    with qtbot.waitSignal(again.ready):
        again.show()
    assert again.counter is not None
    assert again.counter.geometry() == left


def test_a_size_of_text_is_written_in_at_once_and_after_the_next_start(
    qapp: QApplication, start: Callable[[Path], Start]
) -> None:
    try:
        start(Path("nowhere")).write_as_large(130)
        assert qapp.font().pixelSize() == round(1.3 * tokens.BODY)
        themes.wear(qapp, themes.chosen_theme(), 100)
        again = start(Path("nowhere"))
        again.follow_system()
        assert qapp.font().pixelSize() == round(1.3 * tokens.BODY)
        again.write_as_large(None)
        assert qapp.font().pixelSize() == tokens.BODY
    finally:
        themes.wear(qapp, tokens.DAY, 100)


def test_the_system_is_followed_until_a_look_is_chosen(
    qapp: QApplication, start: Callable[[Path], Start], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(themes, "system_theme", lambda: tokens.BASEMENT)
    one = start(Path("nowhere"))
    try:
        one.follow_system()
        assert qapp.palette().window().color().name() == tokens.BASEMENT.ground
        one.wear("day")
        one.follow_system()
        assert qapp.palette().window().color().name() == tokens.DAY.ground
        one.wear("system")
        assert qapp.palette().window().color().name() == tokens.BASEMENT.ground
        monkeypatch.setattr(themes, "system_theme", lambda: tokens.DAY)
        one.follow_system()
        assert qapp.palette().window().color().name() == tokens.DAY.ground
    finally:
        themes.wear(qapp, tokens.DAY)


def test_a_form_opened_ten_times_leaves_nothing_behind(qtbot: QtBot, qapp: QApplication) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.show()

    def open_and_close() -> int:
        dialog = FoundingDialog(window)
        dialog.open()
        dialog.close()
        del dialog
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        return len(qapp.allWidgets())

    first = open_and_close()
    for _turn in range(9):
        last = open_and_close()
    assert last == first
    assert window.findChildren(QObject) == []


def test_little_is_imported_before_the_first_paint() -> None:
    code = """
import sys
before = set(sys.modules)
from PySide6.QtWidgets import QApplication
from desk.windows.theme import themes, tokens
from desk.windows.app import Start
application = QApplication([])
themes.wear(application, tokens.DAY)
Start("nowhere").frame.show()
print(*{name.partition(".")[0] for name in set(sys.modules) - before})
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    imported = set(done.stdout.split()) - set(sys.stdlib_module_names) - {"desk"}
    assert imported <= BEFORE_THE_FIRST_PAINT
