"""The box on top: name, street, phone, serial or visit number; what it finds as one types."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.base.texts import Message, _, message
from desk.records.actions.counter import Find
from desk.records.views.customer_record import SearchHit
from desk.windows.kit.fields import LineEdit
from desk.windows.kit.item_models import Line, LineModel
from desk.windows.kit.labels import text_label
from desk.windows.kit.line_view import LineView
from desk.windows.work.work_queue import WorkQueue

HEADINGS: dict[str, Message] = {
    "customer": message("People"),
    "premises": message("Premises"),
    "appliance": message("Appliances"),
    "visit": message("Visits"),
}
_FEWEST_DIGITS = 7


class Finder(QWidget):
    """Looks as one types; Enter opens the first, arrows go through the rest.

    Signals:
        chosen: a hit (`SearchHit`) to open.
        caller_unknown: a telephone number that nobody has, to start a new call with.
    """

    chosen = Signal(object)
    caller_unknown = Signal(str)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._found: tuple[SearchHit, ...] = ()
        self._is_looking = False
        self._wants_first = False
        self.box = LineEdit()
        self.box.setObjectName("find")
        self.box.setAccessibleName(_("Find"))
        self.box.setPlaceholderText(_("Name, street, phone, serial or visit number"))
        self.box.setClearButtonEnabled(True)
        self.model = LineModel()
        self.list = LineView(self)
        self.list.setObjectName("found")
        self.list.setAccessibleName(_("What was found"))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setModel(self.model)
        self.list.hide()
        self.nothing = text_label(name="nothing_found")
        self.nothing.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for part in (self.box, self.nothing):
            column.addWidget(part)
        self.box.textEdited.connect(self._look)
        self.box.returnPressed.connect(self._enter)
        self.box.installEventFilter(self)
        self.list.installEventFilter(self)
        self.list.activated.connect(self._activated)
        self.list.clicked.connect(self._activated)

    def take_focus(self) -> None:
        """Go to the box and mark what stands in it, ready to be typed over."""
        self.box.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.box.selectAll()

    def _look(self, text: str) -> None:
        self._wants_first = False
        self._is_looking = bool(text.strip())
        if not self._is_looking:
            self._show(())
            return
        self._queue.ask(self, Find(text), self._show, self._failed, key="find")

    def _show(self, found: tuple[SearchHit, ...]) -> None:
        if found and not self.box.text().strip():
            return  # the box was emptied while this answer was on its way
        self._found = found
        self._is_looking = False
        lines: list[Line] = []
        kind = ""
        if found and found[0].near:
            lines.append(Line(_("Nothing is written like this. Meant, perhaps:")))
        for hit in found:
            if hit.kind != kind:
                kind = hit.kind
                lines.append(Line(str(HEADINGS[kind])))
            lines.append(Line(f"{hit.title}   {hit.detail}".rstrip(), hit))
        self.model.show_lines(lines)
        self.list.setVisible(bool(lines))
        self._lay_over()
        self.nothing.setVisible(bool(self.box.text().strip()) and not found)
        self.nothing.setText(
            _("Nobody has this number yet: Enter starts a new call with it.")
            if self._is_number()
            else _("Nothing found. Ctrl+N starts a new call.")
        )
        if self._wants_first:
            self._wants_first = False
            self._enter()

    def _lay_over(self) -> None:
        """Lay the list over what stands below the box, so that nothing has to move for it."""
        below = self.parentWidget()
        if below is None or not self._found:
            return
        if self.list.parentWidget() is not below:
            self.list.setParent(below)
            self.list.show()
            QWidget.setTabOrder(self.box, self.list)
        corner = self.mapTo(below, self.box.geometry().bottomLeft()) + QPoint(0, 2)
        wanted = self.list.sizeHintForRow(0) * self.model.rowCount() + 8
        room = below.height() - corner.y() - 8
        self.list.setGeometry(corner.x(), corner.y(), self.box.width(), min(wanted, room))
        self.list.raise_()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the list under the box."""
        super().resizeEvent(event)
        self._lay_over()

    def _uncover(self) -> None:
        """Take the list away when the person has gone elsewhere; what was typed stays."""
        if not (self.box.hasFocus() or self.list.hasFocus()) and self.isActiveWindow():
            self.list.hide()

    def _failed(self, error: DeskError) -> None:
        self._is_looking = False
        self.nothing.setText(str(error))
        self.nothing.show()

    def number(self) -> str:
        """Return the telephone number that stands in the box, "" where it is none."""
        return self.box.text().strip() if self._is_number() else ""

    def _is_number(self) -> bool:
        text = self.box.text()
        digits = sum(sign.isdecimal() for sign in text)
        return digits >= _FEWEST_DIGITS and not any(sign.isalpha() for sign in text)

    def _enter(self) -> None:
        """Open the first hit, or start a new call with a number that nobody has.

        Fast fingers press Enter before the answer is there; it is opened when it comes.
        """
        if self._is_looking:
            self._wants_first = True
        elif self._found:
            self._open(self._found[0])
        elif self._is_number():
            number = self.box.text().strip()
            self._leave()
            self.caller_unknown.emit(number)

    def _activated(self, _index: QModelIndex) -> None:
        row = self.list.currentIndex().row()
        if row >= 0 and isinstance(hit := self.model.line(row).value, SearchHit):
            self._open(hit)

    def _open(self, hit: SearchHit) -> None:
        self._leave()
        self.chosen.emit(hit)

    def _leave(self) -> None:
        self.box.clear()
        self._show(())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go from the box into the list and back with the arrows; Esc clears the box."""
        if event.type() == QEvent.Type.FocusOut:
            QTimer.singleShot(0, self, self._uncover)
        elif event.type() == QEvent.Type.FocusIn and watched is self.box and self._found:
            self.list.show()
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if watched is self.box and event.key() == Qt.Key.Key_Down and self._found:
                self.list.setFocus()
                self.list.setCurrentIndex(
                    self.model.index(self.model.rows_that_can_be_chosen()[0], 0)
                )
                return True
            first = self.model.rows_that_can_be_chosen()[:1]
            at_top = [self.list.currentIndex().row()] == first
            if watched is self.list and event.key() == Qt.Key.Key_Up and at_top:
                self.take_focus()
                return True
            if event.key() == Qt.Key.Key_Escape:
                self._leave()
                self.box.setFocus()
                return True
        return super().eventFilter(watched, event)
