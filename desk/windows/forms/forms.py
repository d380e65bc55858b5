"""Short forms: enter one thing, or mend it with every line kept as it is left."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from desk.base.errors import ConflictError, DeskError, InputError
from desk.base.texts import _
from desk.records.actions import Command
from desk.records.actions.drafts import SeeHalfTyped
from desk.records.fields.field import as_typed
from desk.records.views.changes import knowing
from desk.windows.forms.conflict_choice import ConflictChoice
from desk.windows.kit.draft_keeper import DraftKeeper
from desk.windows.kit.fields import Field, TypedLine
from desk.windows.kit.keys import answering, keys_at, lead_keys_to
from desk.windows.kit.labels import WRONG, brief, text_label
from desk.windows.work.work_queue import WorkQueue

ONE_COLUMN = 4
"""So many entries are read faster under one another."""

_LONGEST_TITLE = 120

type DeedOf = Callable[[Mapping[str, str]], Command[object]]


class Form(QWidget):
    """A few entries over a row of verbs; a slip is told under its line and stays in it.

    What is typed and not handed in is kept under the form's place until the form is opened again.

    Signals:
        kept: what the command returned.
        left: the form is done with.
    """

    kept = Signal(object)
    left = Signal()

    def __init__(
        self, queue: WorkQueue, title: str, entries: Sequence[Field], command: DeedOf, *, place: str
    ) -> None:
        super().__init__()
        self.setObjectName("form")
        self.title = title
        self._queue, self._command = queue, command
        self.entries = {entry.key: entry for entry in entries}
        self.trouble = text_label(name="form_trouble")
        self.trouble.hide()
        self.verbs = QHBoxLayout()
        self.verbs.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(text_label(brief(title, _LONGEST_TITLE), "form_title", loud=True))
        column.addWidget(self._scroll(entries), 1)
        column.addWidget(self.trouble)
        column.addLayout(self.verbs)
        for entry in entries:
            if isinstance(entry, TypedLine):
                entry.entered.connect(self.enter)
        self.half_typed = DraftKeeper(queue, place, self)
        self.half_typed.refused.connect(self._say)
        queue.ask(self, SeeHalfTyped(place), self.half_typed.take_up, self._say)

    @staticmethod
    def _scroll(entries: Sequence[Field]) -> QScrollArea:
        inside = QWidget()
        halves = QHBoxLayout(inside)
        halves.setContentsMargins(0, 0, 6, 0)
        halves.setSpacing(14)
        rows = _rows(len(entries))
        for first in range(0, len(entries), rows):
            lines = QVBoxLayout()
            for entry in entries[first : first + rows]:
                lines.addWidget(entry)
            lines.addStretch(1)
            halves.addLayout(lines, 1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        return scroll

    def _verb(self, words: str, name: str, slot: Callable[[], None]) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.setAutoDefault(False)  # Enter belongs to the line that is typed in
        button.clicked.connect(slot)
        self.verbs.addWidget(button)
        return button

    def typed(self) -> dict[str, str]:
        """Return everything typed, by key."""
        return {key: entry.text() for key, entry in self.entries.items()}

    def is_begun(self) -> bool:
        """Return whether something stands here that is kept nowhere else.

        Raises:
            NotImplementedError: each kind of form has its own.
        """
        raise NotImplementedError

    def enter(self) -> None:
        """Go on: Enter was pressed in a line.

        Raises:
            NotImplementedError: each kind of form has its own.
        """
        raise NotImplementedError

    def take_focus(self) -> None:
        """Go to the first entry."""
        next(iter(self.entries.values())).setFocus()

    def leave(self) -> None:
        """Be done with it."""
        self.half_typed.keep()
        self.left.emit()

    def hideEvent(self, event: QHideEvent) -> None:
        """Keep what stands here, also when the window around it is closed."""
        self.half_typed.keep()
        super().hideEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave with Esc."""
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
            return
        super().keyPressEvent(event)

    def _tell(self, error: DeskError) -> Field | None:
        """Say what is wrong where it was typed; return the entry."""
        entry = self.entries.get(getattr(error, "field", ""))
        if entry is None:
            self._say(error)
        else:
            entry.show_error(str(error))
        return entry

    def _say(self, error: DeskError) -> None:
        self.trouble.setText(f"{WRONG} {error}")
        self.trouble.show()


class EnterForm(Form):
    """Enters one thing with one verb."""

    def __init__(
        self,
        queue: WorkQueue,
        title: str,
        verb: str,
        entries: Sequence[Field],
        command: DeedOf,
        *,
        place: str,
    ) -> None:
        super().__init__(queue, title, entries, command, place=place)
        self.go = self._verb(_("Leave it"), "form_leave", self.leave)
        self.keep = self._verb(verb, "form_keep", self.enter)
        self._at_first = self.typed()
        self._handed_in_at = keys_at()

    def is_begun(self) -> bool:
        """Return whether anything was typed."""
        return self.typed() != self._at_first

    def enter(self) -> None:
        """Hand in what was typed."""
        if not self.keep.isEnabled():
            return
        for entry in self.entries.values():
            entry.show_error("")
        self.trouble.hide()
        try:
            command = self._command(self.typed())
        except InputError as error:
            self._refused(error)
            return
        self.keep.setEnabled(False)
        self._handed_in_at = keys_at()
        self._queue.act(self, command, self._done, self._not_kept)

    def _done(self, answer: object) -> None:
        self._at_first = self.typed()  # all of it is kept now
        for entry in self.entries.values():
            entry.settle()
        self.half_typed.keep()
        self.left.emit()
        self.kept.emit(answer)

    def _not_kept(self, error: DeskError) -> None:
        with answering(self._handed_in_at):
            self._refused(error)

    def _refused(self, error: DeskError) -> None:
        self.keep.setEnabled(True)
        entry = self._tell(error)
        if entry is not None:
            lead_keys_to(entry)


class MendForm(Form):
    """Mends one thing; every line is kept when it is left, and one that is wrong holds up no other.

    Args:
        queue: takes the commands.
        title: what is mended.
        entries: with what stands in them now.
        command: makes the command from everything that holds, with the line that was left.
        place: where what is wrong is kept until it is mended.
        once: keys of lines that add something and are empty afterwards.
        says: by key, how what the office holds is typed where it is no text.
    """

    def __init__(
        self,
        queue: WorkQueue,
        title: str,
        entries: Sequence[Field],
        command: DeedOf,
        *,
        place: str,
        once: frozenset[str] = frozenset(),
        says: Mapping[str, Callable[[Any], str]] | None = None,
    ) -> None:
        super().__init__(queue, title, entries, command, place=place)
        self._once, self._says = once, says or {}
        self._choices: dict[str, ConflictChoice] = {}
        self._holds = self.typed()
        self._tried = dict(self._holds)
        self._under_way = ""
        self._wants_to_leave = False
        self.done = self._verb(_("Done"), "form_done", self.enter)
        for entry in entries:
            entry.settled.connect(self._settled)

    def is_begun(self) -> bool:
        """Return whether a line stands here that is wrong, or not kept yet."""
        return self.typed() != self._holds

    def show_kept(self, kept: Mapping[str, str]) -> None:
        """Show what is kept now; a line that says something else, typed meanwhile, stays."""
        for key, text in kept.items():
            entry = self.entries[key]
            if key != self._under_way and entry.text() == self._holds[key]:
                entry.show_kept(text)
                self._holds[key] = self._tried[key] = entry.text()

    def enter(self) -> None:
        """Leave when everything is kept; a line that is wrong is shown once more."""
        self._wants_to_leave = True
        self._settled()

    def leave(self) -> None:
        """Keep what can be kept, and leave; a line that is wrong keeps nobody here."""
        if self._under_way or self._next_to_keep():
            self.enter()
        else:
            super().leave()

    def _settled(self) -> None:
        """Hand in the next line that was changed; the one under way comes back first."""
        if self._under_way:
            return
        key = self._next_to_keep()
        if key:
            self._hand_in(key, self.entries[key].text())
            return
        if not self._wants_to_leave:
            return
        wrong = [key for key, text in self.typed().items() if text != self._holds[key]]
        if wrong:
            self._wants_to_leave = False
            self.entries[wrong[0]].setFocus()
        else:
            super().leave()

    def _next_to_keep(self) -> str:
        """Return a line that was changed and not handed in yet, "" where there is none."""
        changed = (
            key
            for key, text in self.typed().items()
            if text not in {self._tried[key], self._holds[key]}
        )
        return next(changed, "")

    def _hand_in(self, key: str, text: str) -> None:
        self._under_way, self._tried[key] = key, text
        self.entries[key].show_error("")
        self.trouble.hide()
        try:
            command = knowing(self._command(self._holds | {key: text}), self._command(self._holds))
        except InputError as error:
            self._refused(error)
            return
        self._queue.act(self, command, self._done, self._refused)

    def _done(self, answer: object) -> None:
        key, self._under_way = self._under_way, ""
        self._end_choice(key)
        self._holds[key] = self._tried[key]
        if self.entries[key].text() == self._holds[key]:
            self.entries[key].settle()
        if key in self._once:
            self._holds[key] = self._tried[key] = ""
            self.entries[key].put("")
        self.kept.emit(answer)
        self._settled()

    def _refused(self, error: DeskError) -> None:
        key, self._under_way = self._under_way, ""
        if isinstance(error, ConflictError) and error.field:
            self._ask_which(key, error)
        else:
            self._tell(error)
        self._settled()

    def _ask_which(self, key: str, error: ConflictError) -> None:
        """Show what another desk wrote under the line, which keeps what was typed here."""
        self._end_choice(key)
        entry = self.entries[key]
        choice = ConflictChoice(entry, error, self._says.get(key, as_typed)(error.theirs))
        choice.chosen.connect(self._choose)
        entry.add_under(choice)
        self._choices[key] = choice

    def _choose(self, key: str, is_mine: bool, theirs: str) -> None:
        """Go on with the line, knowing what the office holds."""
        self._end_choice(key)
        self._holds[key] = self._tried[key] = theirs
        if is_mine:
            self.entries[key].show_kept(theirs)  # what was typed stays
        else:
            self.entries[key].put(theirs)
        self.entries[key].setFocus()
        self._settled()

    def _end_choice(self, key: str) -> None:
        choice = self._choices.pop(key, None)
        if choice is not None:
            choice.hide()
            choice.deleteLater()


def _rows(count: int) -> int:
    """Return how many entries stand under one another; many of them stand in two columns."""
    return count if count <= ONE_COLUMN else -(-count // 2)


class FormDialog(QDialog):
    """A form in a window of its own, over the list that it belongs to."""

    def __init__(self, form: Form, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(form.title)
        self.setObjectName("form_dialog")
        column = QVBoxLayout(self)
        column.addWidget(form)
        form.left.connect(self.close)
        count = len(form.entries)
        rows = _rows(count)
        self.resize(460 if rows == count else 640, min(640, 140 + 56 * rows))
        form.take_focus()
