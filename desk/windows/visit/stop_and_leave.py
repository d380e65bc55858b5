"""Stop and leave: the page that takes the whole sheet until everybody is out."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import Message, _, message, say
from desk.records.actions import visit as commands
from desk.records.views.visit_sheet import Stop, VisitSheet
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.stage_kit.large_controls import WideButton

KEYS_COUNT_AFTER_S = 3.0
"""Whoever presses keys by habit has stopped by then."""

_HEADS: dict[str, Message] = {
    "gas": message("■ STOP AND LEAVE"),
    "flooding": message("■ STOP AND LEAVE: WATER NEAR ELECTRICS"),
}
_INSIDE: dict[str, Message] = {
    "gas": message("Touch no switch, flame or phone inside. Leave with everybody."),
    "flooding": message(
        "Do not step into the water. Touch nothing electric. Leave with everybody on dry ground."
    ),
}
_CALL: dict[str, Message] = {
    "gas": message("Leave. From outside, call the emergency services and the gas supplier."),
    "flooding": message("Leave. From outside, call the emergency services."),
}
"""What is said where a number is missing."""


class OutButton(WideButton):
    """Takes the mouse at once, and keys when those that were pressed by habit are over.

    A letter that is typed on it belongs to a text, whose spaces are no answer either.
    """

    def __init__(self, clock: Callable[[], float]) -> None:
        super().__init__(_("We are out"), "we_are_out")
        self.lead()
        self._clock = clock
        self._since = 0.0

    def wait(self) -> None:
        """Let keys count only after a while."""
        self._since = self._clock()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key, unless it comes too soon or after a letter."""
        if event.text().strip():
            self.wait()
        if self._clock() - self._since < KEYS_COUNT_AFTER_S:
            event.accept()
            return
        super().keyPressEvent(event)


class LeavePage(QWidget):
    """Says what to do inside and whom to call from outside; nothing else can be done meanwhile.

    Signals:
        handed_in: a command, and this page, which is told when it is refused.
    """

    handed_in = Signal(object, object)

    def __init__(self, clock: Callable[[], float]) -> None:
        super().__init__()
        self.setObjectName("leave_page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._sheet: VisitSheet | None = None
        self.head = text_label(rank="question", loud=True, name="leave_title")
        self.inside = text_label(rank="head", name="leave_inside")
        self.outside = text_label(rank="large", name="leave_outside")
        self.out = OutButton(clock)
        self.out.clicked.connect(self._out)
        self.reason = TypedLine(
            "mistake", _("Only if nothing was found: why it was pressed by mistake")
        )
        self.mistake = WideButton(_("Pressed by mistake"), "pressed_by_mistake")
        self.mistake.clicked.connect(self._by_mistake)
        self.trouble = text_label(loud=True, name="leave_trouble")
        self.trouble.hide()
        layout = column(spacing=18, margins=16)
        for part in (self.head, self.inside, self.outside, self.out, self.trouble):
            layout.addWidget(part)
        layout.addStretch(1)
        layout.addWidget(self.reason)
        layout.addWidget(self.mistake)
        self.setLayout(layout)
        self.hide()

    def show_sheet(self, sheet: VisitSheet) -> bool:
        """Show what a visit says; return whether it says stop and leave."""
        self._sheet = sheet
        self.trouble.hide()
        stop = sheet.stop
        if stop is None or not stop.holds:
            self.hide()
            return False
        self.head.setText(say(_HEADS[stop.kind]))
        self.inside.setText(say(_INSIDE[stop.kind]))
        self.outside.setText(whom_to_call(stop))
        if self.isHidden():
            self.reason.put("")
            self.reason.settle()
            self.reason.show_error("")
            self.out.wait()
            self.show()
            self.out.setFocus()
        return True

    def show_error(self, error: DeskError) -> None:
        """Say a refusal where it was entered."""
        if isinstance(error, InputError) and error.field == self.reason.key:
            self.reason.show_error(str(error))
            self.reason.setFocus()
            return
        self.trouble.setText(f"{WRONG} {error}")
        self.trouble.show()

    def _out(self) -> None:
        if self._sheet is not None:
            self.handed_in.emit(commands.WeAreOut(self._sheet.visit_id), self)

    def _by_mistake(self) -> None:
        if self._sheet is not None:
            reason = self.reason.text().strip()
            self.handed_in.emit(commands.PressedByMistake(self._sheet.visit_id, reason), self)


def whom_to_call(stop: Stop) -> str:
    """Say whom to call from outside, with the numbers that the shop has given."""
    numbers = [(_("Emergency services: {number}"), stop.emergency)]
    if stop.kind == "gas":
        numbers.append((_("Gas supplier: {number}"), stop.gas_supplier))
    are_known = all(number for _words, number in numbers)
    lines = [_("From outside, call:") if are_known else say(_CALL[stop.kind])]
    numbers.append((_("Your shop: {number}"), stop.shop))
    lines += [words.format(number=number) for words, number in numbers if number]
    return "\n".join(lines)
