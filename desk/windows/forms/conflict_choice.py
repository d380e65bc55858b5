"""Two desks changed one field: what each wrote stands under it, and the person chooses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.texts import _
from desk.windows.kit.fields import ChoiceLine, Field
from desk.windows.kit.labels import WRONG, text_label

if TYPE_CHECKING:
    from desk.base.errors import ConflictError

LONGEST = 120
"""So much of a long text is shown; the whole of it stands in the field once it is chosen."""


class ConflictChoice(QWidget):
    """Shows what another desk wrote and what was typed here, with a button for each.

    What was typed stays in the field until the person chooses the other.

    Args:
        field: that both changed; the choice stands under it.
        error: says what the office holds now.
        theirs: the same as a text that could have been typed.

    Signals:
        chosen: the field's key, whether mine stays, and theirs.
    """

    chosen = Signal(str, bool, str)

    def __init__(self, field: Field, error: ConflictError, theirs: str) -> None:
        super().__init__(field)
        self.setObjectName("conflict")
        self._key, self._theirs = field.key, theirs
        self.words = text_label(f"{WRONG} {error}", "conflict_words")
        self.values = text_label(
            _(
                "There: {theirs}\nHere: {mine}",
                theirs=_in_words(field, theirs),
                mine=_in_words(field, field.text()),
            ),
            "conflict_values",
        )
        self.mine = self._button("keep_mine", _("Keep mine"), field)
        self.theirs = self._button("keep_theirs", _("Keep theirs"), field)
        self.mine.clicked.connect(self._keep_mine)
        self.theirs.clicked.connect(self._keep_theirs)
        row = QHBoxLayout()
        row.addWidget(self.mine)
        row.addWidget(self.theirs)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(4)
        column.addWidget(self.words)
        column.addWidget(self.values)
        column.addLayout(row)

    def _button(self, name: str, words: str, field: Field) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.setAutoDefault(False)  # Enter belongs to the line that is typed in
        button.setAccessibleName(f"{words}, {field.caption.text()}")
        return button

    def _keep_mine(self) -> None:
        self.chosen.emit(self._key, True, self._theirs)

    def _keep_theirs(self) -> None:
        self.chosen.emit(self._key, False, self._theirs)


def _in_words(field: Field, text: str) -> str:
    """Return what stands in a field as it is read: a choice by its words, nothing as that."""
    if isinstance(field, ChoiceLine):
        text = field.words_of(text)
    shown = " ".join(text.split())
    if len(shown) > LONGEST:
        shown = f"{shown[:LONGEST].rstrip()}…"
    return shown or _("(nothing)")
