"""Fields that save as they go, keep what was typed and say under themselves what is wrong."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLineEdit, QPlainTextEdit, QWidget

from desk.windows.entry import WRONG
from desk.windows.half_typed import keeper_of
from desk.windows.visit.controls import ChoiceBox, WideButton, column, text_label
from desk.wording import _

SAVE_AFTER_MS = 900
"""A pause in typing this long saves what stands in a field."""

LINE, _FRAME = 27, 9
"""Height of a line of the larger look, and what stands above and below the text of a field."""


class Line(QLineEdit):
    """One typed line, which leaves Ctrl+Z to the window when it has nothing to take back."""

    def event(self, event: QEvent) -> bool:
        """Let undo and redo through to the visit where the line itself has none."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            undo = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
            redo = event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()
            if undo or redo:
                event.ignore()
                return False
        return super().event(event)


class Lines(QPlainTextEdit):
    """Typed lines; Tab goes on to the next field."""

    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)

    def event(self, event: QEvent) -> bool:
        """Let undo and redo through to the visit where the text itself has none."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            document = self.document()
            undo = event.matches(QKeySequence.StandardKey.Undo) and not document.isUndoAvailable()
            redo = event.matches(QKeySequence.StandardKey.Redo) and not document.isRedoAvailable()
            if undo or redo:
                event.ignore()
                return False
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Report that the person has gone on."""
        super().focusOutEvent(event)
        self.left.emit()


class Field(QWidget):
    """A label, something typed, and a line under it that says what is wrong."""

    written = Signal(str, str)
    """The field's key and its text, when they differ from what is kept."""
    text_changed = Signal()
    """What stands in it, or what is kept of it, is another."""

    def __init__(self, key: str, label: str, hint: str = "") -> None:
        super().__init__()
        self.key = key
        self.half_typed_name = ""
        self.is_on_its_way = False
        self._kept = ""
        self._sent = ""
        self._was_refused = False
        self.setObjectName(f"field_{key}")
        self.caption = text_label(label, loud=True)
        self.error = text_label(name=f"error_{key}")
        self.error.hide()
        self._hint = hint
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(SAVE_AFTER_MS)
        self._pause.timeout.connect(self.flush)

    def text(self) -> str:
        """Return what stands in the field."""
        raise NotImplementedError

    def _put(self, text: str) -> None:
        raise NotImplementedError

    def put(self, text: str) -> None:
        """Let a text stand there that is not the person's and is kept elsewhere."""
        self._kept = self._sent = text
        self._put(text)
        self.text_changed.emit()

    def take_up(self, text: str) -> None:
        """Let a text stand there as if it had just been typed."""
        self._put(text)

    def give_up(self) -> str:
        """Return what is half typed here, which stands elsewhere from now on."""
        text = self.text()
        if self.is_on_its_way or not self.is_half_typed():
            return ""
        self._put(self._kept)
        self.show_error_gone()
        return text

    def settle(self) -> None:
        """Know that what stands there is kept now."""
        self._kept = self._sent = self.text()
        self.text_changed.emit()

    def is_half_typed(self) -> bool:
        """Return whether what stands there is kept nowhere."""
        return self.text().strip() != self._kept.strip()

    def keep_as(self, name: str) -> None:
        """Be called something else among the half-typed fields: it asks for another thing now."""
        keeper = keeper_of(self)
        if keeper is not None and self.half_typed_name:
            keeper.release(self)
        self.half_typed_name = name
        self.put("")
        if keeper is not None:
            keeper.follow(self)

    def showEvent(self, event: QShowEvent) -> None:
        """Take up what was left here half typed."""
        super().showEvent(event)
        keeper = keeper_of(self) if self.half_typed_name else None
        if keeper is not None:
            keeper.follow(self)

    def _hold(self, edit: Line | Lines, label: str, hint: str) -> None:
        """Put an edit between the label and the line for what is wrong."""
        edit.setObjectName(f"edit_{self.key}")
        edit.setAccessibleName(label)
        edit.setAccessibleDescription(hint)
        edit.setPlaceholderText(hint)
        layout = column(spacing=3)
        self.setLayout(layout)
        for part in (self.caption, edit, self.error):
            layout.addWidget(part)
        self.setFocusProxy(edit)

    def show_kept(self, text: str) -> None:
        """Show what is kept, unless something else was typed that is not kept yet."""
        untouched = self.text().strip() == self._kept.strip()
        if untouched and self.text().strip() != text.strip():
            self._put(text)
        self._kept = self._sent = text
        self.text_changed.emit()

    def show_error(self, sentence: str) -> None:
        """Say under the field what is expected; what was typed stays."""
        self._sent = self._kept
        self._was_refused |= bool(sentence)
        self.text_changed.emit()
        self.error.setText(f"{WRONG} {sentence}" if sentence else "")
        self.error.setVisible(bool(sentence))

    def flush(self) -> None:
        """Report what stands in the field, if it is not kept yet."""
        self._pause.stop()
        text = self.text()
        if text.strip() != self._sent.strip():
            self._sent = text
            self.written.emit(self.key, text)

    def _typed(self) -> None:
        self.show_error_gone()
        self._pause.start()

    def show_error_gone(self) -> None:
        """Take the sentence away: something else is being typed."""
        self.error.hide()
        self.error.clear()


class TypedLine(Field):
    """One line that is handed in by Enter or on leaving it, and not by a pause."""

    def __init__(self, key: str, label: str, hint: str = "") -> None:
        super().__init__(key, label, hint)
        self.edit = Line()
        self._hold(self.edit, label, hint)
        self.edit.textEdited.connect(self.show_error_gone)
        self.edit.textChanged.connect(self._changed)

    def text(self) -> str:
        """Return what stands in the line."""
        return self.edit.text()

    def _put(self, text: str) -> None:
        self.edit.setText(text)

    def _changed(self, _text: str) -> None:
        self.text_changed.emit()

    def start_with(self, text: str) -> None:
        """Put a text into an empty line for the person to change."""
        if not self.edit.text():
            self.put(text)

    def showEvent(self, event: QShowEvent) -> None:
        """Be known by the name of its line, and take up what was left in it."""
        self.half_typed_name = self.half_typed_name or self.edit.objectName()
        super().showEvent(event)


class TypedText(Field):
    """Several lines that are handed in with what stands around them."""

    def __init__(self, key: str, label: str, hint: str = "", lines: int = 3) -> None:
        super().__init__(key, label, hint)
        self.edit = Lines()
        self.edit.setFixedHeight(lines * LINE + 2 * _FRAME)
        self._hold(self.edit, label, hint)
        self.edit.textChanged.connect(self.text_changed)

    def text(self) -> str:
        """Return what stands in the field."""
        return self.edit.toPlainText()

    def _put(self, text: str) -> None:
        self.edit.setPlainText(text)

    def showEvent(self, event: QShowEvent) -> None:
        """Be known by the name of its lines, and take up what was left in them."""
        self.half_typed_name = self.half_typed_name or self.edit.objectName()
        super().showEvent(event)


class WrittenLine(TypedLine):
    """One line that is kept as it is written."""

    def __init__(self, key: str, label: str, hint: str = "") -> None:
        super().__init__(key, label, hint)
        self.edit.textEdited.connect(self._typed)
        self.edit.editingFinished.connect(self.flush)

    def is_half_typed(self) -> bool:
        """Return whether what stands there was refused: anything else is kept by itself."""
        return self._was_refused and super().is_half_typed()


class WrittenText(TypedText):
    """Several lines that are kept as they are written."""

    def __init__(self, key: str, label: str, hint: str = "", lines: int = 3) -> None:
        super().__init__(key, label, hint, lines)
        self.edit.textChanged.connect(self._typed)
        self.edit.left.connect(self.flush)

    def is_half_typed(self) -> bool:
        """Return whether what stands there was refused: anything else is kept by itself."""
        return self._was_refused and super().is_half_typed()

    def _put(self, text: str) -> None:
        self.edit.blockSignals(True)  # what the office says is not typed
        super()._put(text)
        self.edit.blockSignals(False)


class Choice(Field):
    """A few words of which one holds, each a large button."""

    def __init__(self, key: str, label: str, options: tuple[tuple[str, str], ...]) -> None:
        super().__init__(key, label)
        self._options = options
        self._group = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(6)
        for place, (option, words) in enumerate(options):
            button = WideButton(words, f"{key}_{option}")
            button.setCheckable(True)
            self._group.addButton(button, place)
            row.addWidget(button, 1)
        layout = column(spacing=3)
        self.setLayout(layout)
        layout.addWidget(self.caption)
        layout.addLayout(row)
        layout.addWidget(self.error)
        self._group.idClicked.connect(self._chosen)
        self._mark()

    def text(self) -> str:
        """Return the id of what is chosen, "" while nothing is."""
        place = self._group.checkedId()
        return "" if place < 0 else self._options[place][0]

    def _put(self, text: str) -> None:
        self._group.setExclusive(False)
        for place, (option, _words) in enumerate(self._options):
            self._group.button(place).setChecked(option == text)
        self._group.setExclusive(True)
        self._mark()

    def show_kept(self, text: str) -> None:
        """Show which one is kept."""
        self.put(text)

    def _chosen(self, _place: int) -> None:
        self._mark()
        self.show_error_gone()
        self.text_changed.emit()
        self.flush()

    def _mark(self) -> None:
        """Say by a shape, not by colour alone, which one holds."""
        for place, (_option, words) in enumerate(self._options):
            button = self._group.button(place)
            if isinstance(button, WideButton):
                button.say(f"{'●' if button.isChecked() else '○'} {words}")


class ChoiceLine(Field):
    """One of many, from a list; the first line says that nothing is chosen."""

    def __init__(
        self, key: str, label: str, options: tuple[tuple[str, str], ...], none: str = ""
    ) -> None:
        super().__init__(key, label)
        self.box = ChoiceBox(f"edit_{key}", label)
        self._wanted = ""
        self.box.addItem(none or _("not chosen"), "")
        for option, words in options:
            self.box.addItem(words, option)
        layout = column(spacing=3)
        self.setLayout(layout)
        for part in (self.caption, self.box, self.error):
            layout.addWidget(part)
        self.setFocusProxy(self.box)
        self.box.activated.connect(self._chosen)

    def text(self) -> str:
        """Return the id of what is chosen, "" while nothing is."""
        return str(self.box.currentData() or "")

    def _put(self, text: str) -> None:
        self._wanted = text
        self.box.setCurrentIndex(max(0, self.box.findData(text)))

    def offer(self, options: tuple[tuple[str, str], ...]) -> None:
        """Offer other ones, the choice of none still first; what was to be chosen is."""
        while self.box.count() > 1:
            self.box.removeItem(1)
        for option, words in options:
            self.box.addItem(words, option)
        self._put(self._wanted)

    def _chosen(self, _place: int) -> None:
        self._wanted = self.text()
        self.show_error_gone()
        self.text_changed.emit()
        self.flush()


def left_state_choice() -> Choice:
    """Return the question how the appliance was left."""
    return Choice(
        "left_state",
        _("The appliance is left"),
        (("on", _("on")), ("off", _("off")), ("tagged", _("off and tagged"))),
    )
