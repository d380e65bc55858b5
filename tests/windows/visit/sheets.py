"""A visit window driven as a person drives it: by clicks and keys on what can be seen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QListView, QWidget

from desk.base.files import Target
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.diagnosis.walk import walk_said
from desk.windows.visit.window import VisitWindow
from sample_db.trial import answer_to
from tests.records.jobs import Job

PROOF = {
    "tap_temperature": "117 F",
    "leak_test": "looked at, dry",
    "co_in_room": "0 ppm",
    "relief_valve": "free, dry",
}
"""What is read after the work where all is well, by kind."""


class Ready:
    """Answers questions as it was told beforehand."""

    def __init__(self, *, yes: bool = True, path: Path | None = None) -> None:
        self.yes, self.path = yes, path
        self.chosen: tuple[Path, ...] = ()
        self.folder: Path | None = None
        self.asked: list[str] = []
        self.shown: list[Path] = []

    def confirm(self, question: str, verb: str) -> bool:
        self.asked.append(f"{question} [{verb}]")
        return self.yes

    def save_as(self, _title: str, name: str, _kinds: str) -> Target | None:
        self.asked.append(name)
        return Target(self.path, replace=True) if self.path is not None else None

    def open_file(self, _title: str, _kinds: str) -> Path | None:
        raise AssertionError("the visit sheet opens no file by itself")

    def open_files(self, title: str, _kinds: str) -> tuple[Path, ...]:
        self.asked.append(title)
        return self.chosen

    def open_folder(self, title: str) -> Path | None:
        self.asked.append(title)
        return self.folder

    def reason(self, _title: str, _question: str) -> str | None:
        raise AssertionError("reasons are written on the sheet itself")

    def tell(self, sentence: str) -> None:
        raise AssertionError(f"nothing is told in a window of its own: {sentence}")

    def show_file(self, path: Path) -> None:
        self.shown.append(path)

    def choose_printer(self, printer: QPrinter, title: str, _page_count: int) -> bool:
        self.asked.append(title)
        if self.yes and self.path is not None:
            printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
            printer.setOutputFileName(str(self.path))
        return self.yes


class StopWatch:
    """A watch that shows what it is told."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


class Person:
    """Sits before one visit window and does what a technician does."""

    def __init__(self, window: VisitWindow, watch: StopWatch, job: Job) -> None:
        self.window, self.watch, self.job = window, watch, job

    def find[W: QWidget](self, kind: type[W], name: str) -> W:
        """Return the widget of a name that can be seen."""
        there = [one for one in self.window.findChildren(kind, name) if one.isVisible()]
        assert there, f"{name} is not to be seen on {self.window.stage()}"
        return there[0]

    def sees(self, name: str) -> bool:
        return any(one.isVisible() for one in self.window.findChildren(QWidget, name))

    def can_press(self, name: str) -> bool:
        there = self.window.findChildren(QAbstractButton, name)
        return any(one.isVisible() and one.isEnabled() for one in there)

    def click(self, name: str) -> None:
        button = self.find(QAbstractButton, name)
        assert button.isEnabled(), f"{name} cannot be pressed"
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)

    def type(self, name: str, text: str) -> None:
        """Write into a field and go on to the next one."""
        self.open_line(name)
        field = self.find(QWidget, name)
        field.setFocus()
        QTest.keySequence(field, "Ctrl+A")
        QTest.keyClick(field, Qt.Key.Key_Delete)
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Tab)

    def open_line(self, name: str) -> None:
        """Let a line be seen that a key opens, where it is one."""
        opens = {"edit_note": "N", "edit_reason": "0"}
        if name in opens and not self.sees(name):
            self.press(opens[name])

    def enter(self, name: str, text: str) -> None:
        """Write into a line and press Enter."""
        self.open_line(name)
        field = self.find(QWidget, name)
        field.setFocus()
        QTest.keySequence(field, "Ctrl+A")
        QTest.keyClick(field, Qt.Key.Key_Delete)
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)

    def prove(self, then: str) -> None:
        """Type on Prove what a mended appliance owes, and go on by keys."""
        self.press("Ctrl+5")
        for kind, read in PROOF.items():
            self.enter(f"reading_{kind}_left", read)
        self.press(then)

    def press(self, keys: str) -> None:
        """Press keys on the keyboard; they go wherever the focus is."""
        QTest.keySequence(self.window.windowHandle(), keys)

    def reads(self, name: str) -> str:
        return self.find(QLabel, name).text()

    def written(self, name: str) -> str:
        """Return what stands in a line."""
        return self.find(QLineEdit, name).text()

    def choose(self, name: str, words: str) -> None:
        """Choose an entry of a list of choices by its first words."""
        box = self.find(QComboBox, name)
        box.setFocus()
        place = next(i for i in range(box.count()) if box.itemText(i).startswith(words))
        while box.currentIndex() != place:
            QTest.keyClick(box, Qt.Key.Key_Down if box.currentIndex() < place else Qt.Key.Key_Up)

    def turn_to(self, name: str) -> None:
        """Let a list beside the check be seen: the causes, or the path so far."""
        if not self.sees(name):
            self.press({"path": "L", "causes": "W"}[name])

    def click_row(self, name: str, row: int) -> None:
        self.turn_to(name)
        view = self.find(QListView, name)
        index = view.model().index(row, 0)
        view.scrollTo(index)
        QTest.mouseClick(
            view.viewport(),
            Qt.MouseButton.LeftButton,
            pos=view.visualRect(index).center() if index.isValid() else QPoint(),
        )

    def sheet(self) -> VisitSheet:
        sheet = self.window.presenter.sheet
        assert sheet is not None
        return sheet

    def next_check(self) -> str:
        walk = self.sheet().walk
        assert walk is not None
        return walk.next or ""

    def read_cautions(self) -> None:
        if self.sees("acknowledge"):
            self.click("acknowledge")

    def answer(self, answer: str) -> None:
        """Read the cautions of the check that is shown and press an answer."""
        self.job.clock.pass_minutes(1)
        self.read_cautions()
        self.click(f"answer_{answer}")

    def answer_next(self, found: Mapping[str, str]) -> str:
        """Return what is answered to the check that comes next, by what is found on the job."""
        checklist = self.sheet().checklist
        assert checklist is not None
        return answer_to(checklist.check(self.next_check()), found)

    def work(self, found: Mapping[str, str], until: str = "") -> None:
        """Answer check after check by hand until the list has ended, or comes to a check."""
        while (check := self.next_check()) and check != until:
            if self.sees("to_checks"):
                self.click("to_checks")
            self.answer(self.answer_next(found))

    def walk(self, found: Mapping[str, str], until: str = "") -> None:
        """Come to a check or to the end: only the last answer is given by hand.

        Those before stand when the sheet is looked at, as on a visit that is taken up again; that
        each can be given by hand is the journeys' matter.
        """
        job = replace(self.job, visit=self.sheet().visit_id)
        checklist = self.sheet().checklist
        assert checklist is not None
        walked = job.standing()
        while (check := walked.next) and check != until:
            answer = answer_to(checklist.check(check), found)
            said = walk_said(checklist, {**walked.answers, check: answer}, walked.sensing_kind)
            if said.next in {None, until}:
                break
            walked = job.answer(check, answer)
        self.window.presenter.refresh()
        self.work(found, until)
        if not self.next_check() and self.sees("to_checks"):
            self.click("to_checks")

    def measure(self, moment: str, *fills: float) -> None:
        """Time fills of a container with the keys alone."""
        for seconds in fills:
            self.find(QWidget, f"timer_{moment}").setFocus()
            self.press("Space")
            self.watch.seconds += seconds
            self.press("Space")
            self.press("Return")
