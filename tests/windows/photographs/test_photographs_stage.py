"""Photographs on the visit sheet: every way in, what is said of them, and the way out."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from desk.base.pictures import LARGEST_FILE, photograph_of, sha256_of
from desk.records.actions.photographs import AddPhotographs, SeePictures, SeeSmall
from desk.records.office.office import Office
from desk.records.views.report import PhotographLine
from desk.records.visits.photographs import LONGEST_CAPTION
from desk.windows.kit.fields import LineEdit
from desk.windows.photographs.camera_folder import MOST_OFFERED
from desk.windows.photographs.large_picture import LargePicture
from desk.windows.photographs.photograph_card import PhotographCard
from desk.windows.photographs.picture_button import PictureButton
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import WorkQueue
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.photographs import photograph_file
from tests.records.jobs import Job, begin_job
from tests.windows.conftest import Sit
from tests.windows.visit.sheets import Person, Ready, StopWatch

COPY, LEFT, NONE = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier(0)


@pytest.fixture
def prompts() -> Ready:
    return Ready()


@pytest.fixture
def person(sit: Sit, begun: Job, prompts: Ready) -> Person:
    """Somebody at the first check of the list that is about no danger."""
    person = sit(begun, prompts)
    person.answer("none")
    person.press("Ctrl+2")
    return person


def files(folder: Path, *numbers: int) -> tuple[Path, ...]:
    """Write photographs into a folder, each a minute younger than the one before."""
    folder.mkdir(exist_ok=True)
    paths = tuple(folder / f"P{number:04d}.jpg" for number in numbers)
    for number, path in zip(numbers, paths, strict=True):
        path.write_bytes(photograph_file(number))
        os.utime(path, (1_760_000_000 + 60 * number,) * 2)
    return paths


def shown(person: Person) -> tuple[PhotographLine, ...]:
    return person.sheet().report.photographs


def cards(person: Person) -> list[PhotographCard]:
    return [one for one in person.window.photographs.list.cards() if one.isVisible()]


def corner(button: PictureButton) -> tuple[int, ...]:
    """Return the colour that a small picture shows in its left upper corner."""
    seen = button.grab().toImage().pixelColor(12, 12)
    return (seen.red(), seen.green(), seen.blue())


def choose_files(person: Person, prompts: Ready, *paths: Path) -> None:
    prompts.chosen = paths
    person.click("photographs_files")


def drop(onto: QWidget, given: QMimeData) -> bool:
    """Drag something over a control and let it go; return whether it was taken."""
    at = QPointF(5, 5)
    enter = QDragEnterEvent(at, COPY | Qt.DropAction.MoveAction, given, LEFT, NONE)
    QApplication.sendEvent(onto, enter)
    if not enter.isAccepted():
        return False
    assert enter.dropAction() is COPY
    let_go = QDropEvent(at, COPY | Qt.DropAction.MoveAction, given, LEFT, NONE)
    QApplication.sendEvent(onto.window(), let_go)
    return let_go.isAccepted()


def as_files(*paths: Path) -> QMimeData:
    given = QMimeData()
    given.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return given


def picture(number: int) -> QImage:
    return QImage.fromData(photograph_file(number))


def test_from_the_check_and_back_again(person: Person, prompts: Ready, tmp_path: Path) -> None:
    check = person.next_check()
    person.press("P")
    assert person.window.stage() == "photographs"
    assert person.find(QComboBox, "edit_new_photographs").currentText().startswith("Check: ")
    choose_files(person, prompts, *files(tmp_path, 1))
    [line] = shown(person)
    assert line.check == check
    person.press("Esc")
    assert person.window.stage() == "check"
    assert person.find(QWidget, "photographs_check").said() == "Photos: 1"


@pytest.mark.parametrize(
    ("keys", "stage", "shows"),
    every_day(
        [("Ctrl+5", "prove", "After the work"), ("Ctrl+4", "repair", ""), ("Ctrl+6", "sign", "")],
        1,
        several_names=True,
    ),
)
def test_from_the_stages_behind_it(  # noqa: PLR0917 - three of them are one case
    sit: Sit, begun: Job, tmp_path: Path, keys: str, stage: str, shows: str
) -> None:
    prompts = Ready()
    person = sit(begun, prompts)
    person.press(keys)
    button = f"photographs_stage_{stage}"
    person.window.stack.currentWidget().ensureWidgetVisible(person.find(QWidget, button))
    person.click(button)
    assert person.window.top.rail.findChild(QWidget, f"go_{stage}").isChecked()
    choose_files(person, prompts, *files(tmp_path, 1))
    assert [line.about for line in shown(person)] == [shows]
    assert person.find(QWidget, "photographs_back").said() == f"Back to {stage.title()}"
    person.click("photographs_back")
    assert person.window.stage() == stage
    assert person.find(QWidget, button).said() == "Photos: 1"


def test_the_empty_page_says_how_the_first_comes_in(person: Person) -> None:
    person.press("P")
    assert person.reads("photographs_empty").startswith("No photograph yet. Press F")
    assert person.reads("photographs_head") == "Photographs of this visit: 0"


def test_several_files_come_in_one_act(person: Person, prompts: Ready, tmp_path: Path) -> None:
    person.press("P")
    choose_files(person, prompts, *files(tmp_path, 3, 1, 2))
    assert len(shown(person)) == 3
    assert person.reads("photographs_said") == "3 photographs are added; Ctrl+Z takes them back."
    assert [card.head.text() for card in cards(person)] == [
        f"Photograph {number}" for number in (1, 2, 3)
    ]
    assert not person.sees("photographs_empty")
    for card in cards(person):
        red, green, _blue = corner(card.picture)
        assert red > 200
        assert green < 80
    assert cards(person)[0].caption.edit.hasFocus()
    person.press("Ctrl+Z")
    assert shown(person) == ()
    assert cards(person) == []


def test_what_is_there_already_is_said(person: Person, prompts: Ready, tmp_path: Path) -> None:
    person.press("P")
    choose_files(person, prompts, *files(tmp_path, 1))
    choose_files(person, prompts, *files(tmp_path, 1, 2))
    assert len(shown(person)) == 2
    assert person.reads("photographs_said").endswith("1 was there already.")
    choose_files(person, prompts, *files(tmp_path, 2))
    assert "among the photographs of this visit" in person.reads("photographs_refused")


def _cut_off(path: Path) -> None:
    path.write_bytes(photograph_file(5)[:4000])


def _no_picture(path: Path) -> None:
    path.write_text("<html>")


def _heic(path: Path) -> None:
    path.write_bytes(b"\0\0\0\x18ftypheic" + bytes(64))


def _too_large(path: Path) -> None:
    with path.open("wb") as stream:
        stream.truncate(LARGEST_FILE + 1)


def _not_there(path: Path) -> None:
    assert not path.exists()


@pytest.mark.parametrize(
    ("spoil", "why"),
    every_day(
        [
            (_cut_off, "no picture that can be read"),
            (_no_picture, "no picture that can be read"),
            (_heic, "HEIC"),
            (_too_large, "larger than 40 MB"),
            (_not_there, "cannot be read"),
        ],
        1,
        several_names=True,
    ),
)
def test_a_bad_file_is_named_and_keeps_no_good_one_out(
    person: Person, prompts: Ready, tmp_path: Path, spoil: object, why: str
) -> None:
    assert callable(spoil)
    spoil(tmp_path / "<b>bad<b>.jpg")
    person.press("P")
    good = files(tmp_path, 1, 2)
    choose_files(person, prompts, good[0], tmp_path / "<b>bad<b>.jpg", good[1])
    said = person.find(QLabel, "photographs_refused")
    assert said.textFormat() is Qt.TextFormat.PlainText
    assert "<b>bad<b>.jpg" in said.text()
    assert why in said.text()
    assert len(shown(person)) == 2
    choose_files(person, prompts, *files(tmp_path, 3))
    assert not person.sees("photographs_refused")


def test_of_many_bad_files_a_few_are_named_and_the_others_counted(
    person: Person, prompts: Ready, tmp_path: Path
) -> None:
    person.press("P")
    choose_files(person, prompts, *(tmp_path / f"gone {number}.jpg" for number in range(20)))
    said = person.reads("photographs_refused").splitlines()
    assert said[0].startswith("▲ ")
    assert said[-1] == "And 14 more."


def test_more_than_a_visit_holds_is_refused_before_it_is_read(
    person: Person, prompts: Ready, tmp_path: Path
) -> None:
    person.press("P")
    choose_files(person, prompts, *(tmp_path / f"{number}.jpg" for number in range(101)))
    assert person.reads("photographs_refused") == "▲ A visit holds 100 photographs at most."


@pytest.mark.parametrize("name", every_day(["edit_note", "check_title", "path", "go_sign"], 1))
def test_files_are_dropped_anywhere_on_the_visit(person: Person, tmp_path: Path, name: str) -> None:
    check = person.next_check()
    person.turn_to("path")
    person.open_line("edit_note")
    folder = tmp_path / "card"
    files(folder, 2, 1)
    loose = files(tmp_path, 3)
    assert drop(person.find(QWidget, name), as_files(folder, *loose))
    assert person.window.stage() == "photographs"
    assert [line.check for line in shown(person)] == [check] * 3
    assert person.window.photographs.came_from == "check"
    person.press("Esc")
    assert person.window.check.card.note.text() == ""


def test_several_lines_let_files_through_too(person: Person, tmp_path: Path) -> None:
    person.press("Ctrl+4")
    work_done = person.find(QWidget, "edit_work_done")
    assert drop(work_done.viewport(), as_files(*files(tmp_path, 1)))
    assert len(shown(person)) == 1


def test_a_picture_is_dropped_and_what_is_none_is_not(person: Person) -> None:
    text, given = QMimeData(), QMimeData()
    text.setText("only words")
    given.setImageData(picture(4))
    where = person.find(QWidget, "check_title")
    assert not drop(where, text)
    assert drop(where, given)
    assert len(shown(person)) == 1


@pytest.mark.parametrize("on_the_page", [False, True])
def test_a_picture_that_was_copied(person: Person, *, on_the_page: bool) -> None:
    QApplication.clipboard().setImage(picture(1))
    if on_the_page:
        person.press("P")
    person.press("Ctrl+V")
    assert person.window.stage() == "photographs"
    assert len(shown(person)) == 1
    assert QImage.fromData(_bytes(person)).size() == picture(1).size()


def _bytes(person: Person) -> bytes:
    [content] = person.job.office.answer(SeePictures(shown(person))).values()
    return content


def test_files_that_were_copied(person: Person, tmp_path: Path) -> None:
    person.press("P")
    QApplication.clipboard().setMimeData(as_files(*files(tmp_path, 1, 2)))
    person.click("photographs_paste")
    assert len(shown(person)) == 2


def test_text_that_was_copied_belongs_to_the_field(person: Person) -> None:
    QApplication.clipboard().setImage(picture(1))
    person.press("P")
    person.press("Ctrl+V")
    QApplication.clipboard().setText("Plate on the left side")
    caption = cards(person)[0].caption
    assert caption.edit.hasFocus()
    person.press("Ctrl+V")
    assert caption.text() == "Plate on the left side"
    assert len(shown(person)) == 1


def test_a_picture_comes_in_though_a_field_has_the_keys(person: Person) -> None:
    person.open_line("edit_note")
    line = person.find(LineEdit, "edit_note")
    line.setFocus()
    QApplication.clipboard().setImage(picture(1))
    person.press("Ctrl+V")
    assert len(shown(person)) == 1


def test_pasting_words_where_there_is_no_field_says_what_is_missing(person: Person) -> None:
    QApplication.clipboard().setText("only words")
    person.press("Ctrl+V")
    assert person.window.stage() == "check"
    person.press("P")
    person.press("Ctrl+V")
    assert person.reads("photographs_refused").startswith("▲ No picture was copied.")


def offered(person: Person) -> list[str]:
    """Return the names under the pictures of the camera, as they are read out."""
    buttons = person.window.photographs.camera.buttons
    return [one.accessibleName().removeprefix("Take over ") for one in buttons if one.isVisible()]


@pytest.fixture
def camera(tmp_path: Path, prompts: Ready) -> Path:
    """A camera with eleven pictures, some of them in a folder of a folder."""
    folder = tmp_path / "DCIM"
    files(folder, *range(1, 6))
    (folder / "100").mkdir()
    files(folder / "100" / "more", *range(6, 12))
    (folder / "notes.txt").write_text("no picture")
    (folder / ".hidden.jpg").write_bytes(photograph_file(99))
    prompts.folder = folder
    return folder


def test_the_newest_of_the_camera_are_offered_and_taken_with_a_digit(
    person: Person, prompts: Ready, camera: Path
) -> None:
    person.press("P")
    assert not person.sees("camera")
    person.press("K")
    assert offered(person) == [f"P{number:04d}.jpg" for number in range(11, 2, -1)]
    assert "newest 9 of 11" in person.reads("camera_said")
    assert all(corner(one)[0] > 200 for one in person.window.photographs.camera.buttons)
    person.press("2")
    assert len(shown(person)) == 1
    assert offered(person)[:2] == ["P0011.jpg", "P0009.jpg"]
    person.press("Esc")  # from the caption back to the check
    person.press("P")
    assert offered(person)[0] == "P0011.jpg"  # the folder is asked for once
    assert len(prompts.asked) == 1
    person.click("camera_1")
    assert len(shown(person)) == 2


def test_all_that_are_offered_are_taken_oldest_first(person: Person, camera: Path) -> None:
    person.press("P")
    person.press("K")
    person.press("A")
    assert len(shown(person)) == MOST_OFFERED
    assert offered(person) == ["P0002.jpg", "P0001.jpg"]
    newest = photograph_of(photograph_file(11))
    assert _last_content(person) == newest.content
    person.press("Ctrl+Z")
    assert offered(person)[0] == "P0011.jpg"


def _last_content(person: Person) -> bytes:
    return person.job.office.answer(SeePictures(shown(person)[-1:])).popitem()[1]


def test_what_is_on_another_visit_is_not_offered_again(
    person: Person, camera: Path, sit: Sit, office: Office, clock: StillClock
) -> None:
    person.press("P")
    person.press("K")
    person.press("1")
    another = begin_job(office, clock)
    other = sit(another)
    other.press("P")
    assert offered(other)[0] == "P0010.jpg"
    other.press("1")
    person.window.activateWindow()
    person.click("camera_again")
    assert offered(person)[0] == "P0009.jpg"


def test_a_camera_that_was_pulled_out_is_said(person: Person, camera: Path) -> None:
    person.press("P")
    person.press("K")
    camera.rename(camera.with_name("gone"))
    person.press("R")
    assert "is not there. Connect the camera" in person.reads("camera_said")
    assert offered(person) == []
    camera.with_name("gone").rename(camera)
    files(camera, 12)
    person.press("R")
    assert offered(person)[0] == "P0012.jpg"


@pytest.fixture
def three(person: Person, prompts: Ready, tmp_path: Path) -> Person:
    """Somebody on the page of a visit with three photographs."""
    person.press("P")
    choose_files(person, prompts, *files(tmp_path, 1, 2, 3))
    return person


def test_a_caption_is_kept_as_it_is_typed(three: Person) -> None:
    card = cards(three)[1]
    card.caption.edit.setFocus()
    QTest.keyClicks(card.caption.edit, "  Screen of the inlet")
    three.press("Tab")
    assert [line.caption for line in shown(three)] == ["", "Screen of the inlet", ""]
    assert cards(three)[1] is card
    assert "Screen of the inlet" in card.picture.accessibleName()


def test_a_caption_is_kept_when_the_window_closes_over_it(three: Person, sit: Sit) -> None:
    QTest.keyClicks(cards(three)[0].caption.edit, "Half a wo")
    three.window.close()
    again = sit(three.job)
    assert [line.caption for line in shown(again)] == ["Half a wo", "", ""]


def test_a_caption_that_is_too_long_stays_with_what_is_expected(three: Person, sit: Sit) -> None:
    words = "x" * (LONGEST_CAPTION + 1)
    caption = cards(three)[2].caption
    caption.edit.setFocus()
    QTest.keyClicks(caption.edit, words)
    three.press("Tab")
    assert f"{LONGEST_CAPTION} letters at most" in caption.under.text()
    assert caption.text() == words
    three.window.close()
    again = sit(three.job)
    again.press("Ctrl+2")
    again.press("P")
    assert [card.caption.text() for card in cards(again)] == ["", "", words]


def test_what_a_photograph_shows_is_chosen(three: Person) -> None:
    box = cards(three)[0].shows.box
    words = [box.itemText(place) for place in range(box.count())]
    assert words[:5] == [
        "The visit as a whole",
        "Before the work",
        "After the work",
        "Nameplate",
        "Fault code",
    ]
    assert box.currentText().startswith("Check: ")
    three.choose(box.objectName(), "Nameplate")
    first, second, _third = shown(three)
    assert (first.kind, first.check, first.about) == ("nameplate", "", "Nameplate")
    assert second.check


def test_another_choice_keeps_the_caption_that_is_typed(three: Person) -> None:
    card = cards(three)[0]
    QTest.keyClicks(card.caption.edit, "E4")
    three.choose(card.shows.box.objectName(), "Fault code")
    first = shown(three)[0]
    assert (first.caption, first.about) == ("E4", "Fault code")


def test_one_is_taken_out_and_comes_back(three: Person) -> None:
    before = [line.sha256 for line in shown(three)]
    QTest.mouseClick(cards(three)[1].out, LEFT)
    assert [line.sha256 for line in shown(three)] == [before[0], before[2]]
    assert three.reads("photographs_said") == ("Photograph 2 is taken out; Ctrl+Z brings it back.")
    three.window.setFocus()
    three.press("Ctrl+Z")
    assert [line.sha256 for line in shown(three)] == before
    assert [card.head.text() for card in cards(three)] == [
        "Photograph 1",
        "Photograph 2",
        "Photograph 3",
    ]


def test_one_is_moved_by_its_arrows(three: Person) -> None:
    first, second, third = hashes(three)
    QTest.mouseClick(cards(three)[0].later, LEFT)
    assert hashes(three) == [second, first, third]
    moved = cards(three)[1]
    assert moved.head.text() == "Photograph 2"
    moved.later.setFocus()
    three.press("Space")
    assert hashes(three) == [second, third, first]
    three.press("Space")  # it is the last already
    assert hashes(three) == [second, third, first]
    QTest.mouseClick(cards(three)[1].earlier, LEFT)
    assert hashes(three) == [third, second, first]
    three.window.setFocus()
    three.press("Ctrl+Z")
    assert hashes(three) == [second, third, first]


def test_tab_goes_through_them_in_their_order(three: Person) -> None:
    QTest.mouseClick(cards(three)[2].earlier, LEFT)
    QTest.mouseClick(cards(three)[0].out, LEFT)
    three.window.setFocus()
    three.press("Ctrl+Z")
    cards(three)[0].picture.setFocus()
    for card in cards(three):
        for part in card.in_turn():
            assert part.hasFocus(), part.objectName()
            three.press("Tab")


def test_enter_shows_it_large_and_the_arrows_go_on(three: Person) -> None:
    cards(three)[0].picture.setFocus()
    three.press("Return")
    large = three.window.findChild(LargePicture)
    assert isinstance(large, LargePicture)
    assert large.isVisible()
    assert large.canvas.image.width() == 800
    told = []
    for keys in ("Right", "Right", "Right", "Left"):
        QTest.keySequence(large.windowHandle(), keys)
        told.append(large.told.text().split(" · ")[0])
    assert told == [f"Photograph {number} of 3" for number in (2, 3, 3, 2)]
    QTest.keySequence(large.windowHandle(), "Esc")
    assert not isValid(large) or not large.isVisible()
    assert three.window.stage() == "photographs"


def test_a_sealed_visit_shows_them_and_takes_none(three: Person, tmp_path: Path) -> None:
    three.press("Ctrl+4")
    three.type("edit_words", "A mouse")
    three.press("Ctrl+6")
    three.prove("Ctrl+6")
    three.click("finish_mended")
    three.enter("edit_signature", "M. Quill")
    three.click("seal")
    three.press("P")
    assert three.reads("lock_photographs").startswith("■ Sealed")
    assert [card.caption.edit.isEnabled() for card in cards(three)] == [False] * 3
    for name in ("photograph_out", "photograph_earlier", "photograph_later"):
        assert not three.can_press(name)
    assert not three.can_press("photographs_files")
    drop(three.find(QWidget, "photographs_head"), as_files(*files(tmp_path, 9)))
    QApplication.clipboard().setImage(picture(8))
    three.press("Ctrl+V")
    assert len(shown(three)) == 3
    QTest.mouseClick(cards(three)[0].picture, LEFT)
    assert three.window.findChild(LargePicture)


def test_every_photograph_can_be_read_out(three: Person) -> None:
    names = {card.picture.accessibleName() for card in cards(three)}
    assert len(names) == 3
    assert all("Enter shows it large" in name for name in names)
    assert len({card.out.accessibleName() for card in cards(three)}) == 3


def test_small_pictures_are_fetched_once(
    person: Person, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken = tuple(photograph_of(_tiny(number)) for number in range(40))
    office.carry_out(AddPhotographs(person.job.visit, taken))
    asked: list[str] = []
    answer = office.answer

    def counted(look: object) -> object:
        if getattr(look, "function", None) is SeeSmall.function:
            asked.extend(look.args[0])
        return answer(look)

    monkeypatch.setattr(office, "answer", counted)
    person.window.presenter.refresh()
    person.press("P")
    assert len(cards(person)) == len(asked) == 40
    assert all(card.picture.is_told() for card in cards(person))
    person.press("Esc")
    person.press("P")
    assert len(asked) == 40


def _tiny(number: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), (number * 6, 90, 120)).save(out, "PNG")
    return out.getvalue()


SLOW = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
"""A pipe takes as long as a very slow disk: until somebody writes into it."""


@pytest.fixture
def threaded(begun: Job, qtbot: QtBot, prompts: Ready) -> Iterator[Person]:
    """Somebody on the page of photographs of a window whose work goes to other threads."""
    queue = WorkQueue(begun.office)
    window = VisitWindow(queue, prompts, begun.visit)
    with qtbot.waitActive(window):
        window.show()
    qtbot.waitUntil(lambda: window.presenter.sheet is not None)
    window.go_to("photographs")
    yield Person(window, StopWatch(), begun)
    window.close()
    queue.close()


def hashes(person: Person) -> list[str]:
    return [line.sha256 for line in shown(person)]


def hash_of(number: int) -> str:
    return sha256_of(photograph_of(photograph_file(number)).content)


@SLOW
def test_long_reading_is_told_and_can_be_stopped(
    threaded: Person, prompts: Ready, tmp_path: Path, qtbot: QtBot
) -> None:
    slow = tmp_path / "slow.jpg"
    os.mkfifo(slow)
    choose_files(threaded, prompts, *files(tmp_path, 1), slow)
    qtbot.waitUntil(lambda: threaded.sees("busy_words"))
    assert threaded.reads("busy_words").startswith("Reading photographs:")
    threaded.click("busy_stop")
    assert not threaded.sees("busy_words")
    assert threaded.reads("photographs_said") == "Stopped: what was being read is not added."
    slow.write_bytes(photograph_file(2))
    choose_files(threaded, prompts, *files(tmp_path, 3))
    qtbot.waitUntil(lambda: hashes(threaded) == [hash_of(3)])
    qtbot.waitUntil(cards(threaded)[0].picture.is_told)


@SLOW
def test_what_is_dropped_while_others_are_read_waits_its_turn(
    threaded: Person, prompts: Ready, tmp_path: Path, qtbot: QtBot
) -> None:
    slow = tmp_path / "slow.jpg"
    os.mkfifo(slow)
    choose_files(threaded, prompts, slow)
    qtbot.waitUntil(lambda: threaded.sees("busy_words"))
    threaded.choose("edit_new_photographs", "Nameplate")
    assert drop(threaded.find(QWidget, "photographs_head"), as_files(*files(tmp_path, 2)))
    slow.write_bytes(photograph_file(1))
    qtbot.waitUntil(lambda: hashes(threaded) == [hash_of(1), hash_of(2)])
    assert [line.kind for line in shown(threaded)] == ["photograph", "nameplate"]
