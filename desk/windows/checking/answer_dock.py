"""The answers of a check, at the lower edge of the sheet: never scrolled and never covered."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from desk.trade.content.model import Check
from desk.windows.kit.controls import column
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.stage_kit.style import NO_LIMIT, restyle
from desk.windows.theme.tokens import ANSWER, SMALL_ANSWER

_COULD_NOT = 216
"""Width of the button for what could not be checked, in device-independent pixels."""
_IN_ONE_ROW = 4
_GAP, _SMALL_GAP = 12, 8
_SMALL_LETTERS_FROM = 7
"""So many answers in a small window are written no larger than the rest."""
_NARROW_COLUMNS = {1: 1, 2: 2, 3: 3, 4: 2, 5: 3, 6: 3, 7: 4, 8: 4, 9: 3}
"""In a narrow window, in how many columns so many buttons stand; more of them in four."""
_WIDE_FROM = 960


class AnswerDock(QWidget):
    """Buttons in one row or two, what could not be checked at their end, and a line above them.

    Signals:
        answered: the place of an answer, from 0.

    Attributes:
        lines: what is typed with an answer stands there, where it is asked for.
    """

    answered = Signal(int)

    def __init__(self, could_not: WideButton) -> None:
        super().__init__()
        self.setObjectName("answer_dock")
        self._answers: list[WideButton] = []
        self._made: list[WideButton] = []
        self._could_not = could_not
        self._is_compact = self._is_narrow = False
        self.lines = QHBoxLayout()
        self.lines.setSpacing(_GAP)
        self._grid = QGridLayout()
        self._grid.addWidget(could_not)
        layout = column(spacing=_SMALL_GAP)
        layout.addLayout(self.lines)
        layout.addLayout(self._grid)
        self.setLayout(layout)

    def buttons_for(self, check: Check) -> list[WideButton]:
        """Return a button for each answer of a check, in their places and yet without words.

        They are made once and named anew: a check is shown within the blink of an eye.
        """
        while len(self._made) < len(check.answers):
            self._made.append(self._make(len(self._made)))
        self._answers = self._made[: len(check.answers)]
        for answer, button in zip(check.answers, self._answers, strict=True):
            button.setObjectName(f"answer_{answer.id}")
            restyle(button, "danger", answer.ending == "left")
        for button in self._made[len(check.answers) :]:
            button.setObjectName("")
            button.hide()
        self._arrange()
        for button in self._answers:
            button.show()
        return self._answers

    def _make(self, place: int) -> WideButton:
        button = WideButton()
        button.emphasize()
        press(button, str((place + 1) % 10))
        button.clicked.connect(partial(self.answered.emit, place))
        return button

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        if compact != self._is_compact:
            self._is_compact = compact
            self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand otherwise in a narrow window."""
        super().resizeEvent(event)
        narrow = event.size().width() < _WIDE_FROM
        if narrow != self._is_narrow:
            self._is_narrow = narrow
            self._arrange()

    def _arrange(self) -> None:
        """Put each button in its place: the last at the end, over all rows where there is room."""
        for place in range(self._grid.columnCount()):
            self._grid.setColumnStretch(place, 0)
        for button in (*self._answers, self._could_not):
            self._grid.removeWidget(button)
        self._grid.setSpacing(_SMALL_GAP if self._is_compact else _GAP)
        if self._is_narrow:
            self._arrange_narrow()
            return
        count = max(len(self._answers), 1)
        columns = count if count <= _IN_ONE_ROW else -(-count // 2)
        self._fill(self._answers, columns)
        self._could_not.setFixedWidth(_COULD_NOT)
        self._grid.addWidget(self._could_not, 0, columns, -(-count // columns), 1)

    def _arrange_narrow(self) -> None:
        buttons = [*self._answers, self._could_not]
        self._could_not.setMinimumWidth(0)
        self._could_not.setMaximumWidth(NO_LIMIT)
        self._fill(buttons, _NARROW_COLUMNS.get(len(buttons), 4))

    def _fill(self, buttons: list[WideButton], columns: int) -> None:
        for place, button in enumerate(buttons):
            self._grid.addWidget(button, place // columns, place % columns)
            self._grid.setColumnStretch(place % columns, 1)
        is_small = self._is_compact and len(buttons) > _SMALL_LETTERS_FROM
        for button in (*self._answers, self._could_not):
            button.be_close(self._is_compact)
            button.let_be_high(SMALL_ANSWER if self._is_compact else ANSWER)
            if button is not self._could_not:
                restyle(button, "rank", "caption" if is_small else "large")
