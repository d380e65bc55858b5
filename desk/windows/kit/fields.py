"""Fields to type and choose in: they keep what was typed and say under themselves what is wrong."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QMimeData, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QDragEnterEvent, QFocusEvent, QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import InputError
from desk.windows.kit.controls import ChoiceBox, column
from desk.windows.kit.draft_keeper import keeper_of
from desk.windows.kit.labels import WRONG, text_label

TEXT = "text/plain"
SAVE_AFTER_MS = 900
"""A pause in typing this long hands in what stands in a field; until then it is half typed."""

_FRAME = 9
"""What stands above and below the text of several lines, in device-independent pixels."""


class LineEdit(QLineEdit):
    """One typed line, which leaves to the window what it cannot use itself.

    That is Ctrl+Z when it has nothing to take back, Ctrl+V when no text was copied, and files.
    Enter is its own and is told by ``returnPressed`` alone: what stands around it would hear it
    once more.
    """

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hear Enter once a press, and let it go no further."""
        is_enter = event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}
        if is_enter and event.isAutoRepeat():
            event.accept()  # held down, it is still one press
            return
        offers = self.completer()
        offered = offers.popup() if offers is not None else None
        is_offered = offered is not None and offered.isVisible()
        super().keyPressEvent(event)
        if is_enter and not is_offered:  # the list that offers words has still to close
            event.accept()

    def event(self, event: QEvent) -> bool:
        """Let keys through to the window that are nothing to the line itself."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            undo = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
            redo = event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()
            if undo or redo or _pastes_no_text(event):
                event.ignore()
                return False
        return super().event(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files through to the window."""
        if _are_files(event.mimeData()):
            event.ignore()
        else:
            super().dragEnterEvent(event)


def _are_files(given: QMimeData) -> bool:
    return any(url.isLocalFile() for url in given.urls())


def _pastes_no_text(event: QKeyEvent) -> bool:
    """Return whether a key would paste something that is no text, as a picture or copied files."""
    if not event.matches(QKeySequence.StandardKey.Paste):
        return False
    copied = QApplication.clipboard().mimeData()
    return bool(copied.formats()) and not copied.hasFormat(TEXT)


class LinesEdit(QPlainTextEdit):
    """Typed lines; Tab goes on to the next field."""

    left = Signal()

    def __init__(self, lines: int) -> None:
        super().__init__()
        self._lines = lines
        self.setTabChangesFocus(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Return a height for so many lines of the letters that it has."""
        height = self._lines * self.fontMetrics().lineSpacing() + 2 * _FRAME
        return QSize(super().sizeHint().width(), height)

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(super().minimumSizeHint().width(), self.sizeHint().height())

    def canInsertFromMimeData(self, source: QMimeData) -> bool:
        """Let files through to the window."""
        return not _are_files(source) and super().canInsertFromMimeData(source)

    def event(self, event: QEvent) -> bool:
        """Let keys through to the window that are nothing to the text itself."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            document = self.document()
            undo = event.matches(QKeySequence.StandardKey.Undo) and not document.isUndoAvailable()
            redo = event.matches(QKeySequence.StandardKey.Redo) and not document.isRedoAvailable()
            if undo or redo or _pastes_no_text(event):
                event.ignore()
                return False
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Report that the person has gone on."""
        super().focusOutEvent(event)
        self.left.emit()


class Field(QWidget):
    """A label over something typed or chosen, and a line under it for what is said about it.

    What is wrong is said there, or how it was understood. How large it is the theme says, and the
    visit sheet for itself.

    Attributes:
        key: what it is for; a refusal names it by this.
        half_typed_name: what it is called among the half-typed fields of its window.
        is_on_its_way: what stands in it is handed in and not answered yet.

    Signals:
        changed: the person typed or chose something.
        settled: the person has left it, or chosen; what stands there is meant.
        written: the key and the text, when they differ from what is kept.
        text_changed: what stands there, or what is kept of it, is another, whoever changed it.
    """

    changed = Signal()
    settled = Signal()
    written = Signal(str, str)
    text_changed = Signal()

    def __init__(self, key: str, label: str) -> None:
        super().__init__()
        self.key = key
        self.half_typed_name = ""
        self.is_on_its_way = False
        self._kept = ""
        self._sent = ""
        self.setObjectName(f"field_{key}")
        self.caption = text_label(label, rank="caption")
        self.under = text_label(name=f"under_{key}")
        self.under.hide()
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(SAVE_AFTER_MS)
        self._pause.timeout.connect(self.flush)

    def text(self) -> str:
        """Return what stands in the field.

        Raises:
            NotImplementedError: each kind of field has its own.
        """
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
        self.text_changed.emit()
        self.changed.emit()

    def give_up(self) -> str:
        """Return what is half typed here, which stands elsewhere from now on."""
        text = self.text()
        if self.is_on_its_way or not self.is_half_typed():
            return ""
        self._put(self._kept)
        self._say_under("")
        return text

    def settle(self) -> None:
        """Know that what stands there is kept now."""
        self._kept = self._sent = self.text()
        self.text_changed.emit()

    def is_half_typed(self) -> bool:
        """Return whether what stands there is kept nowhere."""
        return self.text().strip() != self._kept.strip()

    def is_unsent(self) -> bool:
        """Return whether what stands there is neither kept nor on its way."""
        return self.text().strip() != self._sent.strip()

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

    def _hold(self, control: QWidget, hint: str = "") -> None:
        """Put what is typed or chosen in between the label and the line under it."""
        label = self.caption.text()
        control.setObjectName(f"edit_{self.key}")
        control.setAccessibleName(label)
        control.setAccessibleDescription(hint)
        self.caption.setBuddy(control)
        layout = column(spacing=2)
        self.setLayout(layout)
        for part in (self.caption, control, self.under):
            layout.addWidget(part)
        layout.addStretch(1)  # a sentence under a neighbour moves nothing here
        self.setFocusProxy(control)

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
        self.text_changed.emit()
        self._say_under(f"{WRONG} {sentence}" if sentence else "")

    def show_understood(self, text: str) -> None:
        """Say how what was typed was understood."""
        self._say_under(f"= {text}" if text else "")

    def _say_under(self, text: str) -> None:
        self.under.setText(text)
        self.under.setVisible(bool(text))

    def add_under(self, part: QWidget) -> None:
        """Let something stand under the field, below what is said about it."""
        layout = self.layout()
        if isinstance(layout, QVBoxLayout):
            layout.insertWidget(layout.indexOf(self.under) + 1, part)
            part.show()

    def flush(self) -> None:
        """Report what stands in the field, if it is not kept yet."""
        self._pause.stop()
        if self.is_unsent():
            self._sent = text = self.text()
            self.written.emit(self.key, text)
            keeper = keeper_of(self)
            if keeper is not None:
                keeper.keep()  # half typed no longer: forgotten behind what was just handed in

    def _touched(self) -> None:
        """Know that the person typed or chose something."""
        self._say_under("")
        self.text_changed.emit()
        self.changed.emit()


class TypedLine(Field):
    """One line that is handed in by Enter or on leaving it, and not by a pause.

    ``read`` says back what is typed while it is typed, where it can be.

    Signals:
        entered: Enter was pressed; the text.
    """

    entered = Signal(str)

    def __init__(
        self, key: str, label: str, hint: str = "", *, read: Callable[[str], str] | None = None
    ) -> None:
        super().__init__(key, label)
        self._read = read
        self.edit = LineEdit()
        self.edit.setPlaceholderText(hint)
        self._hold(self.edit, hint)
        self.edit.textEdited.connect(self._typed)
        self.edit.textChanged.connect(self._moved)
        self.edit.editingFinished.connect(self.settled)
        self.edit.returnPressed.connect(self._enter)

    def text(self) -> str:
        """Return what stands in the line."""
        return self.edit.text()

    def _put(self, text: str) -> None:
        self.edit.setText(text)
        self.edit.setCursorPosition(0)  # a long text is read from its beginning

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
        super().__init__(key, label)
        self.edit = LinesEdit(lines)
        self.edit.setPlaceholderText(hint)
        self._hold(self.edit, hint)
        self.edit.textChanged.connect(self._touched)
        self.edit.left.connect(self.settled)

    def text(self) -> str:
        """Return what stands in the field."""
        return self.edit.toPlainText()

    def _put(self, text: str) -> None:
        self.edit.blockSignals(True)  # what the office says is not typed
        self.edit.setPlainText(text)
        self.edit.blockSignals(False)

    def showEvent(self, event: QShowEvent) -> None:
        """Be known by the name of its lines, and take up what was left in them."""
        self.half_typed_name = self.half_typed_name or self.edit.objectName()
        super().showEvent(event)


class WrittenLine(TypedLine):
    """One line that is kept as it is written."""

    def __init__(self, key: str, label: str, hint: str = "") -> None:
        super().__init__(key, label, hint)
        self.changed.connect(self._pause.start)
        self.settled.connect(self.flush)

    def is_half_typed(self) -> bool:
        """Return whether what stands there is not handed in: no pause came yet, or a refusal."""
        return self.is_unsent()


class WrittenText(TypedText):
    """Several lines that are kept as they are written."""

    def __init__(self, key: str, label: str, hint: str = "", lines: int = 3) -> None:
        super().__init__(key, label, hint, lines)
        self.changed.connect(self._pause.start)
        self.settled.connect(self.flush)

    def is_half_typed(self) -> bool:
        """Return whether what stands there is not handed in: no pause came yet, or a refusal."""
        return self.is_unsent()


class ChoiceLine(Field):
    """One of many, from a list; the first line may say that nothing is chosen."""

    def __init__(
        self, key: str, label: str, options: tuple[tuple[str, str], ...], none: str = ""
    ) -> None:
        super().__init__(key, label)
        self._none: tuple[tuple[str, str], ...] = (("", none),) if none else ()
        self._wanted = ""
        self.box = ChoiceBox("", label)
        self._fill(options)
        self._kept = self.text()
        self._hold(self.box)
        self.box.activated.connect(self._chosen)

    def text(self) -> str:
        """Return the id of what is chosen, "" while nothing is."""
        return str(self.box.currentData() or "")

    def _put(self, text: str) -> None:
        """Choose an id; one that is not there is chosen when it is offered."""
        self._wanted = text
        place = self.box.findData(text)
        if place >= 0:
            self.box.setCurrentIndex(place)

    def words_of(self, option: str) -> str:
        """Return the words of an id; the id itself where it is not offered."""
        place = self.box.findData(option)
        return self.box.itemText(place) if place >= 0 else option

    def offer(self, options: tuple[tuple[str, str], ...]) -> None:
        """Offer other ones; what is chosen, or was to be, is so where it is among them."""
        wanted = self._wanted or self.text()
        self._fill(options)
        self._put(wanted)

    def _fill(self, options: tuple[tuple[str, str], ...]) -> None:
        self.box.clear()
        for option, words in (*self._none, *options):
            self.box.addItem(words, option)

    def _chosen(self, _place: int) -> None:
        self._wanted = self.text()
        self._touched()
        self.settled.emit()
        self.flush()

    def showEvent(self, event: QShowEvent) -> None:
        """Be known by the name of its list, and take up what was left chosen in it."""
        self.half_typed_name = self.half_typed_name or self.box.objectName()
        super().showEvent(event)
