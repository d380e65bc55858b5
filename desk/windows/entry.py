"""Lines to type in at the counter: a label, what was understood, and what is wrong under it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QShowEvent
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from desk.errors import InputError
from desk.windows.half_typed import keeper_of

WRONG = "▲"
"""Stands before a sentence that says what is expected: a shape, not a colour alone."""


def plain_label(text: str = "", name: str = "", *, bold: bool = False) -> QLabel:
    """Return a label that shows text as it is, never as markup, and breaks its lines."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setObjectName(name)
    if bold:
        font = label.font()
        font.setBold(True)
        label.setFont(font)
    return label


class Entry(QWidget):
    """A label over something typed, and a line under it for what was understood or is wrong.

    Signals:
        changed: something was typed or chosen.
        settled: the person has left it, or chosen; what stands there is meant.
        text_changed: what stands there, or what is kept of it, is another, whoever changed it.
    """

    changed = Signal()
    settled = Signal()
    text_changed = Signal()

    def __init__(self, key: str, label: str) -> None:
        super().__init__()
        self.key = self.half_typed_name = key
        self._kept = ""
        self.setObjectName(f"entry_{key}")
        self.caption = plain_label(label)
        self.under = plain_label(name=f"under_{key}")
        self.under.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(1)
        self._column.addWidget(self.caption)

    def _hold(self, control: QWidget, label: str) -> None:
        control.setObjectName(self.key)
        control.setAccessibleName(label)
        self.caption.setBuddy(control)
        self.setFocusProxy(control)
        self._column.addWidget(control)
        self._column.addWidget(self.under)

    def text(self) -> str:
        """Return what was typed or chosen."""
        raise NotImplementedError

    def put(self, text: str) -> None:
        """Start with a text."""
        self._put(text)
        self.settle()

    def _put(self, text: str) -> None:
        raise NotImplementedError

    def take_up(self, text: str) -> None:
        """Let a text stand there as if it had just been typed."""
        self._put(text)
        self.changed.emit()

    def give_up(self) -> str:
        """Return what is half typed here, which stands elsewhere from now on."""
        text = self.text() if self.is_half_typed() else ""
        self._put(self._kept)
        return text

    def settle(self) -> None:
        """Know that what stands there is kept now."""
        self._kept = self.text()
        self.text_changed.emit()

    def is_half_typed(self) -> bool:
        """Return whether what stands there is kept nowhere."""
        return self.text() != self._kept

    def showEvent(self, event: QShowEvent) -> None:
        """Take up what was left here half typed."""
        super().showEvent(event)
        keeper = keeper_of(self)
        if keeper is not None:
            keeper.follow(self)

    def show_error(self, sentence: str) -> None:
        """Say what is expected; what was typed stays."""
        self._show_under(f"{WRONG} {sentence}" if sentence else "")

    def show_understood(self, text: str) -> None:
        """Say how what was typed was understood."""
        self._show_under(f"= {text}" if text else "")

    def _show_under(self, text: str) -> None:
        self.under.setText(text)
        self.under.setVisible(bool(text))

    def _touched(self) -> None:
        self._show_under("")
        self.changed.emit()


class EntryLine(Entry):
    """One typed line; ``read`` says back what is typed while it is typed, if it can be."""

    entered = Signal(str)

    def __init__(
        self, key: str, label: str, hint: str = "", *, read: Callable[[str], str] | None = None
    ) -> None:
        super().__init__(key, label)
        self._read = read
        self.edit = QLineEdit()
        self.edit.setPlaceholderText(hint)
        self._hold(self.edit, label)
        self.edit.setAccessibleDescription(hint)
        self.edit.textEdited.connect(self._typed)
        self.edit.textChanged.connect(self._moved)
        self.edit.editingFinished.connect(self.settled)
        self.edit.returnPressed.connect(self._enter)

    def text(self) -> str:
        """Return what was typed."""
        return self.edit.text()

    def _put(self, text: str) -> None:
        self.edit.setText(text)

    def _moved(self, _text: str) -> None:
        self.text_changed.emit()

    def _typed(self, text: str) -> None:
        self._touched()
        if self._read is None or not text.strip():
            return
        try:
            self.show_understood(self._read(text))
        except InputError:
            return  # half a word is no mistake yet

    def _enter(self) -> None:
        self.entered.emit(self.edit.text())


class _TextEdit(QPlainTextEdit):
    """Several lines that say when they are left."""

    left = Signal()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Say so."""
        super().focusOutEvent(event)
        self.left.emit()


class EntryText(Entry):
    """Several typed lines; Tab goes on to the next entry."""

    def __init__(self, key: str, label: str, hint: str = "", lines: int = 3) -> None:
        super().__init__(key, label)
        self.edit = _TextEdit()
        self.edit.setTabChangesFocus(True)
        self.edit.setPlaceholderText(hint)
        self.edit.setFixedHeight(self.edit.fontMetrics().lineSpacing() * lines + 14)
        self._hold(self.edit, label)
        self.edit.textChanged.connect(self._touched)
        self.edit.textChanged.connect(self.text_changed)
        self.edit.left.connect(self.settled)

    def text(self) -> str:
        """Return what was typed."""
        return self.edit.toPlainText()

    def _put(self, text: str) -> None:
        self.edit.setPlainText(text)


class EntryChoice(Entry):
    """One of a few words."""

    def __init__(self, key: str, label: str, options: tuple[tuple[str, str], ...]) -> None:
        super().__init__(key, label)
        self.box = QComboBox()
        for option, words in options:
            self.box.addItem(words, option)
        self._kept = self.text()
        self._hold(self.box, label)
        self.box.activated.connect(self._chosen)

    def text(self) -> str:
        """Return the id of what is chosen."""
        return str(self.box.currentData() or "")

    def _put(self, text: str) -> None:
        """Choose an id; one that is not there changes nothing."""
        place = self.box.findData(text)
        if place >= 0:
            self.box.setCurrentIndex(place)

    def _chosen(self, _place: int) -> None:
        self._touched()
        self.text_changed.emit()
        self.settled.emit()

    def offer(self, options: tuple[tuple[str, str], ...]) -> None:
        """Offer other words, keeping what is chosen where it is still there."""
        chosen = self.text()
        self.box.clear()
        for option, words in options:
            self.box.addItem(words, option)
        self.put(chosen)
