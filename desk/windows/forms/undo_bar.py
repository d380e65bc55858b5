"""Take back and do again at the counter: a quiet bar in place of questions beforehand."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QPushButton, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.work.change_note import ChangeNote
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.records.actions import Command
    from desk.records.actions.undoing import StepsView
    from desk.records.views.changes import Extent


class StepsBar(QWidget):
    """Says what was done last, and offers to take it back.

    Signals:
        go_on_asked: the person wants the form back that was put aside.
        stepped: something was taken back or done again; a form that shows it is out of date.
    """

    go_on_asked = Signal()
    stepped = Signal()

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._is_stepping = False
        self.said = text_label(name="steps_said")
        self.said.setWordWrap(False)
        self.back = self._button("take_back", _("Take it back"), self.take_back)
        self.again = self._button("do_again", _("Do it again"), self.do_again)
        self.go_on = self._button("go_on", _("Go on with it"), self.go_on_asked.emit)
        row = QHBoxLayout(self)
        row.setContentsMargins(6, 0, 0, 0)
        for part in (self.said, self.back, self.again, self.go_on):
            row.addWidget(part)
        row.addStretch(1)
        queue.changed.connect(self._hear)

    @staticmethod
    def _button(name: str, words: str, slot: object) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.clicked.connect(slot)
        button.hide()
        return button

    def take_back(self) -> None:
        """Take back what was done last."""
        from desk.records.actions.undoing import TakeBack

        self._step(TakeBack(), _("Being taken back …"), self._taken_back)

    def do_again(self) -> None:
        """Do again what was taken back last."""
        from desk.records.actions.undoing import DoAgain

        self._step(DoAgain(), _("Being done again …"), self._done_again)

    def _step(
        self, command: Command[StepsView], under_way: str, done: Callable[[StepsView], None]
    ) -> None:
        """Take a step, and no other one before it is taken: what is large takes seconds."""
        if self._is_stepping:
            return

        def answered(view: StepsView) -> None:
            self._is_stepping = False
            done(view)

        def refused(error: DeskError) -> None:
            self._is_stepping = False
            self.tell(error)

        self._is_stepping = True
        self._show(under_way)
        self._queue.act(self, command, answered, refused)

    def tell(self, error: DeskError) -> None:
        """Say why something could not be done."""
        self._show(f"{WRONG} {error}")

    def put_aside(self, title: str) -> None:
        """Say that a form was put aside with what was typed in it."""
        self._show(_("Put aside as you left it: {title}.", title=title))
        self.go_on.show()

    def clear(self) -> None:
        """Say nothing."""
        self._show("")

    def _hear(self, command: Command[object]) -> None:
        from desk.records.actions.undoing import OF_THE_COUNTER

        if command.what.id in OF_THE_COUNTER:
            self._show(f"{command.what}.")
            self.back.show()

    def _taken_back(self, view: StepsView) -> None:
        self._show(_("Taken back: {what}.", what=_whole(view.redo, view.redo_extent)))
        self.back.setVisible(bool(view.undo))
        self.again.show()
        self.stepped.emit()

    def _done_again(self, view: StepsView) -> None:
        self._show(_("Done again: {what}.", what=_whole(view.undo, view.undo_extent)))
        self.back.show()
        self.again.setVisible(bool(view.redo))
        self.stepped.emit()

    def _show(self, sentence: str) -> None:
        self.said.setText(sentence)
        for button in (self.back, self.again, self.go_on):
            button.hide()


def _whole(what: str, extent: Extent | None) -> str:
    """Return what was done, with how many it was of where it was of many."""
    if extent is None:
        return say(what)
    said = _("{what} ({count})", what=say(what), count=f"{extent.count:,}")
    if not extent.stayed:
        return said
    return _("{said}; {stayed} stayed, as they are in use", said=said, stayed=extent.stayed)


def add_steps(window: QMainWindow, queue: WorkQueue) -> StepsBar:
    """Put a bar under a window that has no menu, with its keys."""
    bar = StepsBar(queue)
    window.statusBar().addWidget(bar, 1)
    window.statusBar().addPermanentWidget(ChangeNote(queue))
    for keys, slot in (
        (QKeySequence.StandardKey.Undo, bar.take_back),
        (QKeySequence.StandardKey.Redo, bar.do_again),
    ):
        shortcut = QShortcut(QKeySequence(keys), window)
        shortcut.activated.connect(slot)
    return bar
