"""From which day to which: two lines, and the whole month at a press."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _
from desk.paper.kit.date_text import show_date
from desk.trade.scheduling.booking_text import Calendar
from desk.trade.scheduling.months import month_of
from desk.windows.kit.fields import TypedLine


class Period(QWidget):
    """Two days as they are typed; what is left out is taken from the other, or from today.

    Signals:
        chosen: a day was entered, or a month was taken.
    """

    chosen = Signal()

    def __init__(
        self, name: str, labels: tuple[str, str], days: tuple[date, date], calendar: Calendar
    ) -> None:
        super().__init__()
        self._calendar = calendar
        self.since = TypedLine("since", labels[0], read=self._read)
        self.until = TypedLine("until", labels[1], read=self._read)
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(0, 0, 0, 0)
        for line, day in zip((self.since, self.until), days, strict=True):
            line.put(show_date(day))
            line.entered.connect(self._enter)
            self.row.addWidget(line, 1)
        self.month = QPushButton(_("The whole month"))
        self.month.setObjectName(f"{name}_month")
        self.month.clicked.connect(self._take_month)
        self.add_button(self.month)

    def add_button(self, button: QPushButton) -> None:
        """Put another button behind, on the height of the lines."""
        self.row.addWidget(button, 0, Qt.AlignmentFlag.AlignBottom)

    def days(self) -> tuple[date, date]:
        """Return the first and the last day.

        Raises:
            InputError: one of them is no day.
        """
        for line in (self.since, self.until):
            line.show_error("")
        since = self._parse(self.since)
        until = self._parse(self.until)
        first = since or until or self._calendar.today
        return first, until or first

    def show_error(self, error: DeskError) -> bool:
        """Say a refusal under the line that it names; return whether it names one."""
        line = {"since": self.since, "until": self.until}.get(getattr(error, "field", ""))
        if line is not None:
            line.show_error(str(error))
        return line is not None

    def _parse(self, line: TypedLine) -> date | None:
        return self._calendar.read(line.text(), line.key)

    def _read(self, text: str) -> str:
        return self._calendar.read_back(text)

    def _enter(self, _text: str) -> None:
        self.chosen.emit()

    def _take_month(self) -> None:
        """Take the month of the first day, from its first day to its last."""
        try:
            typed = self._parse(self.since)
        except InputError:
            typed = None
        first, last = month_of(typed or self._calendar.today)
        self.since.put(show_date(first))
        self.until.put(show_date(last))
        self.chosen.emit()
