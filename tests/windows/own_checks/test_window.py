"""The shop's own checks, seen and written with mouse and keys."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
)
from pytestqt.qtbot import QtBot

from desk.base.office_location import own_checks_folder
from desk.base.texts import say
from desk.records.journal import drafts
from desk.records.learning.content_in_use import in_use
from desk.records.office.office import Office
from desk.records.views.drafts import on_own_check
from desk.records.visits import editions, lifecycle
from desk.trade.content.in_use import InUse
from desk.trade.content.model import Check
from desk.trade.reference.drawing_index import DRAWINGS
from desk.windows.counter.window import CounterWindow
from desk.windows.kit.fields import SAVE_AFTER_MS
from desk.windows.own_checks.form import CAUSE_WORDS
from desk.windows.own_checks.window import OwnChecksWindow
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.records.jobs import begin_job
from tests.small_checklist import CONTENT, LIST
from tests.trade.content.own_texts import NEW
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said


@pytest.fixture
def folder(office_path: Path) -> Path:
    return own_checks_folder(office_path)


@pytest.fixture
def window(qtbot: QtBot, queue: InlineQueue) -> Iterator[OwnChecksWindow]:
    made = OwnChecksWindow(queue)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(made)
    made.show()
    return made


def used(office: Office) -> InUse:
    with office.read() as session:
        return in_use(session)


def check_of(office: Office, check: str) -> Check:
    return used(office).content.checklists["hot-water"].check(check)


def mark(window: OwnChecksWindow, check: str) -> None:
    """Go to a check of the list with the keys."""
    window.list.setFocus()
    row = window.lines.row_of(check)
    assert row >= 0, check
    QTest.keyClick(window.list, Qt.Key.Key_Home)
    for _turn in range(row):
        QTest.keyClick(window.list, Qt.Key.Key_Down)
    QApplication.processEvents()


def line_of(window: OwnChecksWindow, check: str) -> str:
    return window.lines.line(window.lines.row_of(check)).text


def write(window: OwnChecksWindow, key: str, text: str) -> None:
    """Type into a field of the form and go on to the next."""
    edit = window.form.findChild(QLineEdit, f"edit_{key}") or window.form.findChild(
        QPlainTextEdit, f"edit_{key}"
    )
    assert edit is not None, key
    edit.setFocus()
    QTest.keySequence(edit, "Ctrl+A")
    QTest.keyClick(edit, Qt.Key.Key_Delete)
    for at, line in enumerate(text.split("\n")):
        if at:
            QTest.keyClick(edit, Qt.Key.Key_Return)
        QTest.keyClicks(edit, line)
    QTest.keyClick(edit, Qt.Key.Key_Tab)
    window.form.flush()
    QApplication.processEvents()


def choose(window: OwnChecksWindow, name: str, words: str) -> None:
    """Choose a line of a list by its words, with the keys."""
    box = window.form.findChild(QComboBox, name)
    assert box is not None, name
    row = next(at for at in range(box.count()) if box.itemText(at).startswith(words))
    box.setFocus()
    box.setCurrentIndex(row)
    box.activated.emit(row)
    QApplication.processEvents()


def under(window: OwnChecksWindow, key: str) -> str:
    label = window.form.findChild(QLabel, f"under_{key}")
    assert label is not None, key
    return label.text() if label.isVisibleTo(window.form) else ""


def test_the_list_says_what_is_the_shops_own_with_a_word_and_a_shape(
    window: OwnChecksWindow,
) -> None:
    assert window.lines.rowCount() == len(LIST.checks)
    assert line_of(window, "danger") == LIST.check("danger").title["en"]
    mark(window, "danger")
    push(window, "own_take")
    assert line_of(window, "danger").startswith("◆ ")
    assert "(in your own words)" in line_of(window, "danger")
    assert said(window, "own_said") == "✔ All is sound: 1 of these is your own."


def test_a_shipped_check_cannot_be_typed_in_before_it_is_made_ones_own(
    window: OwnChecksWindow, folder: Path
) -> None:
    mark(window, "danger")
    title = window.form.findChild(QLineEdit, "edit_title")
    assert title is not None
    assert not title.isEnabled()
    QTest.keyClicks(title, "x")
    assert title.text() == LIST.check("danger").title["en"]
    assert not folder.exists()


def test_a_check_is_used_as_it_is_typed(
    window: OwnChecksWindow, office: Office, clock: StillClock
) -> None:
    before = begin_job(office, clock)
    mark(window, "danger")
    press(window, "Ctrl+E")
    write(window, "title", "Sniff first")
    write(window, "how", "Stand still.\nSniff.")
    assert check_of(office, "danger").title["en"] == "Sniff first"
    assert check_of(office, "danger").how["en"] == ("Stand still.", "Sniff.")
    assert check_of(office, "danger").cautions == LIST.check("danger").cautions
    assert said(window, "saved").startswith("saved ")
    assert said(window, "check_title") == "Sniff first", "on the card beside"
    with office.read() as session:
        kept = editions.checklist_of(session, session.get_one(lifecycle.Visit, before.visit))
    assert kept.check("danger").title == LIST.check("danger").title


def test_a_pause_in_typing_is_enough(qtbot: QtBot, window: OwnChecksWindow, office: Office) -> None:
    mark(window, "danger")
    push(window, "own_take")
    title = window.form.findChild(QLineEdit, "edit_title")
    assert title is not None
    QTest.keyClicks(title, "!")
    qtbot.wait(SAVE_AFTER_MS + 200)
    assert "!" in check_of(office, "danger").title["en"]


def test_a_new_check_is_a_draft_until_it_is_sound(
    window: OwnChecksWindow, office: Office, folder: Path
) -> None:
    mark(window, "flooding")
    push(window, "own_new")
    new = "own_check_1"
    assert "(draft, not used yet)" in line_of(window, new)
    assert "English" in under(window, "title")
    write(window, "title", "Is the hose in?")
    assert under(window, "title") == ""
    write(window, "why", "We want it dry.")
    assert new not in used(office).content.checklists["hot-water"].checks
    write(window, "how", "Look.\nBring it in.")
    assert "(your own)" in line_of(window, new)
    assert check_of(office, new).answers[0].next == {"default": "flooding"}
    assert (folder / "checklists" / "hot-water" / f"{new}.toml").exists()
    rows = [window.lines.line(row).value for row in range(window.lines.rowCount())]
    assert rows.index(new) + 1 == rows.index("flooding")


def test_what_is_wrong_is_said_under_its_field_and_what_was_typed_stays(
    window: OwnChecksWindow, office: Office
) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    write(window, "minutes", "soon")
    assert under(window, "minutes").startswith("▲ ")
    edit = window.form.findChild(QLineEdit, "edit_minutes")
    assert edit is not None
    assert edit.text() == "soon"
    [line] = [window.found.line(row).text for row in range(window.found.rowCount())]
    assert line.startswith("▲ checklists/hot-water/flooding.toml, line ")
    assert check_of(office, "flooding").minutes == LIST.check("flooding").minutes
    write(window, "minutes", "2,5")
    assert under(window, "minutes") == ""
    assert check_of(office, "flooding").minutes == 2.5


def test_a_caution_cannot_be_taken_from_a_step(window: OwnChecksWindow, office: Office) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    push(window, "cautions_flooding")
    assert "lacks the caution flooding" in under(window, "cautions")
    assert check_of(office, "flooding").cautions == LIST.check("flooding").cautions
    choose(window, "choose_cautions", CONTENT.cautions["flooding"].text["en"])
    assert under(window, "cautions") == ""
    assert "flooding" in check_of(office, "flooding").cautions


def test_a_draft_waits_when_the_window_was_closed(
    qtbot: QtBot, window: OwnChecksWindow, queue: InlineQueue
) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    write(window, "minutes", "soon")
    window.close()
    again = OwnChecksWindow(queue)
    again.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(again)
    again.show()
    mark(again, "flooding")
    edit = again.form.findChild(QLineEdit, "edit_minutes")
    assert edit is not None
    assert edit.text() == "soon"
    assert under(again, "minutes").startswith("▲ ")


def test_a_change_is_taken_back_and_done_again_with_the_keys(
    window: OwnChecksWindow, office: Office
) -> None:
    mark(window, "danger")
    push(window, "own_take")
    write(window, "title", "One")
    write(window, "title", "Two")
    window.list.setFocus()
    press(window, "Ctrl+Z")
    assert check_of(office, "danger").title["en"] == "One"
    press(window, "Ctrl+Shift+Z")
    assert check_of(office, "danger").title["en"] == "Two"
    for _turn in range(3):
        press(window, "Ctrl+Z")
    assert check_of(office, "danger") == LIST.check("danger")
    assert line_of(window, "danger") == LIST.check("danger").title["en"]
    press(window, "Ctrl+Z")
    assert "nothing more here to take back" in said(window, "own_said")


def test_an_answer_is_added_led_on_and_taken_out(window: OwnChecksWindow, office: Office) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    many = len(LIST.check("flooding").answers)
    push(window, "answer_add")
    write(window, f"answers_{many}_text", "A flood next door")
    choose(window, f"edit_answers_{many}_next", "End: STOP AND LEAVE")
    write(window, "basis", "Ours.")
    assert check_of(office, "flooding").answers[-1].text["en"] == "A flood next door"
    assert check_of(office, "flooding").answers[-1].ending == "left"
    likely = check_of(office, "flooding").likelihood["default"]
    assert likely == (*LIST.check("flooding").likelihood["default"], 0)
    push(window, f"answers_{many}_out")
    assert len(check_of(office, "flooding").answers) == many


def test_a_row_of_likelihoods_that_does_not_sum_to_one_is_said_under_it(
    window: OwnChecksWindow, office: Office
) -> None:
    mark(window, "danger")
    push(window, "own_take")
    write(window, "likelihood_default", "0.9 0.2")
    assert "sums to 1.1" in under(window, "likelihood_default")
    write(window, "likelihood_default", "0.9 0.1")
    assert under(window, "likelihood_default") == ""
    assert check_of(office, "danger").likelihood["default"] == (0.9, 0.1)


def test_a_check_is_taken_out_and_the_shipped_one_is_back(
    window: OwnChecksWindow, office: Office
) -> None:
    mark(window, "danger")
    push(window, "own_take")
    write(window, "title", "One")
    push(window, "own_out")
    assert check_of(office, "danger") == LIST.check("danger")
    push(window, "own_back")
    assert check_of(office, "danger").title["en"] == "One"


def test_what_was_broken_by_hand_is_said_at_the_counter_and_one_press_away(
    qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts, folder: Path
) -> None:
    file = folder / "checklists" / "hot-water" / "hand.toml"
    file.parent.mkdir(parents=True)
    file.write_text(NEW.replace("minutes = 1", "minutes = "))
    counter = CounterWindow(queue, prompts)
    counter.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(counter)
    counter.show()
    line = counter.findChild(QPushButton, "own_checks_line")
    assert line is not None
    qtbot.waitUntil(line.isVisible)
    assert "not used: 1 thing is wrong" in line.text()
    push(counter, "own_checks_line")
    [window] = counter.findChildren(OwnChecksWindow)
    found = window.found.line(0).text
    assert found.startswith("▲ checklists/hot-water/hand.toml, line 8: ")
    assert "none of your own checks is used" in said(window, "own_said")
    file.write_text(NEW)
    press(window, "F5")
    assert window.found.rowCount() == 0
    assert not line.isVisible()


def test_it_is_opened_from_the_menu_by_its_keys(
    qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts
) -> None:
    counter = CounterWindow(queue, prompts)
    counter.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(counter)
    counter.show()
    press(counter, "Ctrl+Shift+C")
    assert counter.findChildren(OwnChecksWindow)


def test_every_control_is_named_and_the_card_beside_is_not_come_to(
    window: OwnChecksWindow,
) -> None:
    mark(window, "danger")
    push(window, "own_take")
    assert unnamed_controls(window) == []
    for part in window.preview.findChildren(QPushButton):
        assert part.focusPolicy() is Qt.FocusPolicy.NoFocus
    QTest.mouseClick(
        window.preview.findChild(QPushButton, "acknowledge"), Qt.MouseButton.LeftButton
    )
    assert said(window, "check_title") == LIST.check("danger").title["en"]


def test_another_list_is_chosen(window: OwnChecksWindow) -> None:
    choose_list = window.which.box
    row = choose_list.findData("too-cool")
    choose_list.setCurrentIndex(row)
    choose_list.activated.emit(row)
    assert window.lines.rowCount() == len(CONTENT.checklists["too-cool"].checks)


def turn_to(window: OwnChecksWindow, shelf: str) -> None:
    row = window.which.box.findData(shelf)
    window.which.box.setCurrentIndex(row)
    window.which.box.activated.emit(row)
    QApplication.processEvents()


def test_a_cause_of_ones_own_is_used_when_an_answer_points_to_it(
    window: OwnChecksWindow, office: Office
) -> None:
    turn_to(window, "causes")
    push(window, "own_new")
    for key in CAUSE_WORDS:
        write(window, key, f"Mouse {key}")
    write(window, "weight", "0.5")
    [told] = [window.found.line(row).text for row in range(window.found.rowCount())]
    assert "no answer finds the cause own_cause_1" in told
    assert "draft" in line_of(window, "own_cause_1")
    turn_to(window, "hot-water")
    mark(window, "flooding")
    push(window, "own_take")
    choose(window, "choose_answers_0_finds", "Mouse name")
    assert window.found.rowCount() == 0
    causes = used(office).content.checklists["hot-water"].causes
    assert causes["own_cause_1"].weight == 0.5
    assert check_of(office, "flooding").answers[0].finds[-1] == "own_cause_1"
    turn_to(window, "causes")
    assert "(your own)" in line_of(window, "own_cause_1")


def test_a_caution_gets_ones_own_words_and_stays_serious(
    window: OwnChecksWindow, office: Office
) -> None:
    turn_to(window, "cautions")
    mark(window, "flooding")
    push(window, "own_take")
    write(window, "text", "Stay out of the wet.")
    assert used(office).content.cautions["flooding"].text["en"] == "Stay out of the wet."
    assert "Stay out of the wet." in said(window, "preview_words")
    choose(window, "edit_serious", "Shown")
    assert "stays so" in under(window, "serious")
    assert used(office).content.cautions["flooding"].serious
    assert unnamed_controls(window) == []


def test_an_answer_that_leads_on_by_the_sensing_kind_keeps_that(
    window: OwnChecksWindow, office: Office
) -> None:
    check = next(one for one in LIST.checks.values() if len(one.answers[0].next) > 1)
    mark(window, check.id)
    push(window, "own_take")
    write(window, "answers_0_text", "In our words")
    answer = check_of(office, check.id).answers[0]
    assert answer.text["en"] == "In our words"
    assert answer.next == check.answers[0].next


def test_what_a_check_waits_for_and_its_drawing_are_chosen(
    window: OwnChecksWindow, office: Office
) -> None:
    waiting = next(one for one in LIST.checks.values() if one.after)
    [(earlier, answers), *_more] = waiting.after.items()
    mark(window, waiting.id)
    push(window, "own_take")
    push(window, f"after_{earlier}:{answers[0]}")
    assert f"waits for {earlier}" in under(window, "after")
    asked = LIST.check(earlier)
    choose(
        window,
        "choose_after",
        f"{asked.title['en']} – {asked.answer(answers[0]).text['en']}",
    )
    assert under(window, "after") == ""
    assert set(check_of(office, waiting.id).after[earlier]) == set(answers)
    choose(window, "edit_drawing", say(next(iter(DRAWINGS.values())).caption))
    assert check_of(office, waiting.id).drawing == next(iter(DRAWINGS))


def test_what_stood_there_at_first_may_be_typed_again(
    window: OwnChecksWindow, office: Office
) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    for text in ("soon", "1", "x", "1"):
        write(window, "minutes", text)
    assert under(window, "minutes") == ""
    assert "(in your own words)" in line_of(window, "flooding")
    assert check_of(office, "flooding").minutes == 1


def test_a_folder_that_cannot_be_written_is_told(
    window: OwnChecksWindow, office: Office, folder: Path
) -> None:
    folder.write_text("a file stands where the folder would be")
    mark(window, "flooding")
    push(window, "own_take")
    assert said(window, "own_said").startswith("▲ ")
    assert folder.name in said(window, "own_said")
    assert check_of(office, "flooding") == LIST.check("flooding")


def test_nothing_typed_is_lost_when_the_disk_fails_in_between(
    window: OwnChecksWindow, office: Office, folder: Path
) -> None:
    mark(window, "flooding")
    push(window, "own_take")
    earlier = folder / "earlier"
    earlier.rename(folder / "was")
    earlier.write_text("in the way")
    write(window, "title", "Is it wet?")
    assert said(window, "own_said").startswith("▲ ")
    edit = window.form.findChild(QLineEdit, "edit_title")
    assert edit is not None
    assert edit.text() == "Is it wet?"
    earlier.unlink()
    write(window, "title", "Is it wet here?")
    assert check_of(office, "flooding").title["en"] == "Is it wet here?"


def test_a_check_that_others_lead_to_by_now_stays(window: OwnChecksWindow, office: Office) -> None:
    mark(window, "flooding")
    push(window, "own_new")
    for key, text in (("title", "Hose?"), ("why", "Dry."), ("how", "Look.\nBring it in.")):
        write(window, key, text)
    mark(window, "danger")
    push(window, "own_take")
    choose(window, "edit_answers_0_next", "Hose?")
    mark(window, "own_check_1")
    push(window, "own_out")
    assert "Others need what was to go" in said(window, "own_said")
    assert window.found.rowCount() > 0
    assert check_of(office, "own_check_1").title["en"] == "Hose?"


def test_typing_without_a_rest_is_kept_within_a_second_and_taken_up_again(
    qtbot: QtBot, queue: InlineQueue, office: Office, window: OwnChecksWindow
) -> None:
    check = LIST.start
    mark(window, check)
    press(window, "Ctrl+E")
    title = window.form.findChild(QLineEdit, "edit_title")
    assert title is not None
    title.setFocus()
    title.selectAll()
    for letter in "is it safe to come in " * 2:
        QTest.keyClicks(title, letter)
        qtbot.wait(25)
    place = on_own_check("check", LIST.id, check)
    with office.read() as session:
        kept = drafts.typed_at(session, place)["edit_title"]
    assert title.text().startswith(kept)
    assert len(kept) > 10
    again = OwnChecksWindow(queue)
    qtbot.addWidget(again)
    again.show()
    mark(again, check)
    taken_up = again.form.findChild(QLineEdit, "edit_title")
    assert taken_up is not None
    assert taken_up.text() == kept
    again.form.flush()
    assert check_of(office, check).title["en"] == kept.strip()
    with office.read() as session:
        assert drafts.typed_at(session, place) == {}
