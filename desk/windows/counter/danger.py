"""The danger question that begins every call, and what to tell the caller when it is yes."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.windows.labels import text_label
from desk.wording import _, message

DANGER_QUESTION = message(
    "Ask first: a smell of gas, a CO alarm, headaches or dizziness, water near electrics?"
)
TELL_THE_CALLER = message(
    "Tell the caller:\n"
    "Get everybody out now.\n"
    "Touch no switch, no flame and no phone inside.\n"
    "From outside, call the emergency number and the gas supplier.\n"
    "Stay out until they say that it is safe."
)


class DangerQuestion(QWidget):
    """Asks, and shows what to tell the caller.

    Signals:
        answered: whether there is danger.
    """

    answered = Signal(bool)

    def __init__(self) -> None:
        super().__init__()
        self._answers = QButtonGroup(self)
        self.no = QPushButton(_("No, none of these"))
        self.no.setObjectName("danger_no")
        self.yes = QPushButton(_("Yes"))
        self.yes.setObjectName("danger_yes")
        row = QHBoxLayout()
        for button in (self.no, self.yes):
            button.setCheckable(True)
            self._answers.addButton(button)
            row.addWidget(button)
        row.addStretch(1)
        self.advice = text_label(str(TELL_THE_CALLER), "danger_advice", rank="large", loud=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(text_label(str(DANGER_QUESTION), "danger_question", loud=True))
        column.addLayout(row)
        column.addWidget(self.advice)
        self.setFocusProxy(self.no)
        self._answers.buttonClicked.connect(self._clicked)
        self.put(None)

    def said(self) -> bool | None:
        """Return whether there is danger; None while the question is not answered."""
        return None if self._answers.checkedButton() is None else self.yes.isChecked()

    def put(self, danger: bool | None) -> None:
        """Show an answer that was given before, or ask anew."""
        self._answers.setExclusive(False)
        self.no.setChecked(danger is False)
        self.yes.setChecked(danger is True)
        self._answers.setExclusive(True)
        self.advice.setVisible(danger is True)

    def _clicked(self) -> None:
        self.advice.setVisible(self.yes.isChecked())
        self.answered.emit(self.yes.isChecked())
