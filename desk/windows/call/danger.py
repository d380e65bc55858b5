"""The danger question that begins every call, and what to tell the caller when it is yes."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.texts import _, message
from desk.records.fields.call_fields import DANGER_QUESTION
from desk.windows.kit.labels import text_label

TELL_THE_CALLER = message(
    "Tell the caller:\n"
    "Get everybody out now.\n"
    "Touch no switch, no flame and no phone inside; step into no water.\n"
    "From outside, call the emergency number and the gas supplier.\n"
    "Stay out until they say that it is safe."
)


class AnswerButton(QPushButton):
    """An answer that a text does not press which somebody types here by mistake.

    Once a letter or a figure was typed on it, neither a space nor Enter presses it until the keys
    have been elsewhere.
    """

    def __init__(self, caption: str, name: str) -> None:
        super().__init__(caption)
        self.setObjectName(name)
        self.setCheckable(True)  # in no group: there Tab would reach one of them alone
        self._is_typed_on = False

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Take Space and Enter anew."""
        self._is_typed_on = False
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key, unless it belongs to a text."""
        if event.text().strip() and event.text().isprintable():
            self._is_typed_on = True
        if self._is_typed_on and event.key() == Qt.Key.Key_Space:
            event.accept()
            return
        super().keyPressEvent(event)


class DangerQuestion(QWidget):
    """Asks, and shows what to tell the caller.

    The question itself takes the keys and no answer does: what is pressed by habit answers
    nothing. Each answer has a key of its own.

    Signals:
        answered: whether there is danger.
    """

    answered = Signal(bool)

    def __init__(self) -> None:
        super().__init__()
        self.no = AnswerButton(_("Alt+N   No, none of these"), "danger_no")
        self.yes = AnswerButton(_("Alt+Y   Yes, danger"), "danger_yes")
        self.yes.setProperty("danger", True)
        row = QHBoxLayout()
        for button, keys, slot in (
            (self.no, "Alt+N", self._no_danger),
            (self.yes, "Alt+Y", self._danger),
        ):
            button.clicked.connect(slot)
            QShortcut(QKeySequence(keys), button).activated.connect(button.click)
            row.addWidget(button)
        row.addStretch(1)
        self.advice = text_label(str(TELL_THE_CALLER), "danger_advice", rank="large", loud=True)
        self.advice.setProperty("means", "danger")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(text_label(str(DANGER_QUESTION), "danger_question", loud=True))
        column.addLayout(row)
        column.addWidget(self.advice)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(str(DANGER_QUESTION))
        self.put(None)

    def said(self) -> bool | None:
        """Return whether there is danger; None while the question is not answered."""
        if self.yes.isChecked():
            return True
        return False if self.no.isChecked() else None

    def put(self, danger: bool | None) -> None:
        """Show an answer that was given before, or ask anew."""
        self.no.setChecked(danger is False)
        self.yes.setChecked(danger is True)
        self.no.setEnabled(danger is not True)  # it is not unsaid: its outcome is written
        self.advice.setVisible(danger is True)

    def _no_danger(self) -> None:
        self._answer(danger=False)

    def _danger(self) -> None:
        self._answer(danger=True)

    def _answer(self, *, danger: bool) -> None:
        self.put(danger)
        self.answered.emit(danger)
