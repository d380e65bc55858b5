"""What is looked at: grouping, window, complaint and period, in one row."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import InputError
from desk.base.texts import _
from desk.records.views.recurrence import RepeatChoice
from desk.trade.recurrence.repeat_rule import Alike
from desk.trade.scheduling.booking_text import MONTH_NAMES
from desk.windows.forms.field_lines import whole
from desk.windows.kit.controls import ChoiceBox
from desk.windows.kit.fields import ChoiceLine, Field, LineEdit, TypedLine
from desk.windows.kit.labels import text_label
from desk.windows.recurrence.words import BY, OF_PEOPLE, named
from desk.windows.work.work_queue import WorkQueue

WINDOWS = ("30", "90", "365")
_LETTERS = 4
"""What is chosen can be told by so few letters, where the window is narrow."""


class DaysLine(Field):
    """A number of days: one of the usual ones, or typed."""

    def __init__(self, key: str, label: str, usual: tuple[str, ...]) -> None:
        super().__init__(key, label)
        self.box = ChoiceBox("", label)
        line = LineEdit()
        line.setStyleSheet("border: none; padding: 0; min-height: 0;")  # the box has its own
        self.box.setLineEdit(line)
        self.box.setInsertPolicy(ChoiceBox.InsertPolicy.NoInsert)
        self.box.setCompleter(None)  # type: ignore[arg-type]  # a 3 is not yet 30 or 365
        self.box.setMinimumContentsLength(4)
        self.box.addItems(usual)
        self._hold(self.box)
        line.setObjectName(f"edit_{key}")
        line.setAccessibleName(label)
        line.textEdited.connect(self._touched)
        line.editingFinished.connect(self.settled)
        self.box.activated.connect(self.settled)

    def text(self) -> str:
        """Return what stands in the line."""
        return self.box.currentText()

    def _put(self, text: str) -> None:
        self.box.setEditText(text)


class QuestionBar(QWidget):
    """A row of what is chosen, and under it the groups to which all is narrowed.

    Attributes:
        only: those groups: grouping, key and what it is called.

    Signals:
        chosen: something else is chosen, or was typed and is meant.
    """

    chosen = Signal()

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self.only: tuple[tuple[str, str, str], ...] = ()
        self._build_fields()
        row = QHBoxLayout()
        for entry in (self.by, self.within, self.complaint, self.since, self.until):
            row.addWidget(entry, 2 if entry in (self.by, self.complaint) else 1)
        for button in self._build_periods():
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addLayout(row)
        layout.addWidget(self._build_narrowed())

    def _build_fields(self) -> None:
        self.by = ChoiceLine("by", _("By"), _offered(tuple(BY)))
        self.within = DaysLine("within", _("Back within, days"), WINDOWS)
        self.within.put("90")
        self.complaint = ChoiceLine(
            "complaint",
            _("Counts as back"),
            (("same", _("Same complaint")), ("any", _("Any complaint"))),
        )
        self.since = TypedLine("since", _("Since"), _("from the first"), read=self._read_day)
        self.until = TypedLine("until", _("Until"), _("to the last"), read=self._read_day)
        for choice in (self.by, self.complaint):
            choice.box.setMinimumContentsLength(_LETTERS)
        for entry in (self.by, self.within, self.complaint, self.since, self.until):
            entry.settled.connect(self.chosen)

    def _build_periods(self) -> list[QWidget]:
        """Return what chooses a period at one press, level with the lines that it fills."""
        level = self.since.caption.sizeHint().height() + 2
        buttons: list[QWidget] = []
        for name, words, slot in (
            ("this_month", _("This month"), self._take_month),
            ("this_year", _("This year"), self._take_year),
            ("all_time", _("All"), self._take_all),
        ):
            button = QPushButton(words)
            button.setObjectName(f"repeats_{name}")
            button.clicked.connect(slot)
            holder = QWidget()
            column = QVBoxLayout(holder)
            column.setContentsMargins(0, level, 0, 0)
            column.addWidget(button)
            buttons.append(holder)
        return buttons

    def _build_narrowed(self) -> QWidget:
        self.narrowed = QWidget()
        self.narrowed_to = text_label(name="repeats_only", loud=True)
        self.widen = QPushButton(_("Back to all"))
        self.widen.setObjectName("repeats_widen")
        self.widen.setToolTip("Alt+Left")
        self.widen.clicked.connect(self._widen)
        QShortcut(QKeySequence("Alt+Left"), self).activated.connect(self._widen)
        row = QHBoxLayout(self.narrowed)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.widen)
        row.addWidget(self.narrowed_to, 1)
        self.narrowed.hide()
        return self.narrowed

    def show_for(self, groups: tuple[str, ...], by: str, *, counts_repeats: bool) -> None:
        """Offer what a view can be asked.

        Args:
            groups: what the view can be grouped by; none hides the choice.
            by: the grouping that is chosen.
            counts_repeats: whether window and complaint are shown.
        """
        self.by.setVisible(bool(groups))
        self.by.offer(_offered(groups))
        self.by.put(by)
        self.within.setVisible(counts_repeats)
        self.complaint.setVisible(counts_repeats)

    def choice(self) -> RepeatChoice:
        """Return what is chosen; a slip is told under its line.

        Raises:
            InputError: something typed is not understood.
        """
        typed: tuple[Field, ...] = (self.within, self.since, self.until)
        for entry in typed:
            entry.show_error("")
        alike: Alike = "any" if self.complaint.text() == "any" else "same"
        try:
            return RepeatChoice(
                by=self.by.text() or "cause",
                within_days=whole(self.within.text(), "within"),
                complaint=alike,
                since=self._day(self.since),
                until=self._day(self.until),
                as_of=self.today(),
                only=tuple((by, key) for by, key, _label in self.only),
            )
        except InputError as error:
            self.show_error(error)
            raise

    def show_error(self, error: InputError) -> bool:
        """Tell a slip under its line; say whether there is one."""
        entry = {"within": self.within, "since": self.since, "until": self.until}.get(
            error.field or ""
        )
        if entry is not None:
            entry.show_error(str(error))
        return entry is not None

    def narrow(self, key: str, label: str) -> None:
        """Look at one group alone, by something else within it."""
        by = self.by.text()
        self.only = (*(one for one in self.only if one[0] != by), (by, key, label))
        self.by.put("cause" if by == "model" else "model")
        self._show_narrowed()

    def _widen(self) -> None:
        if self.only:
            by = self.only[-1][0]
            self.only = self.only[:-1]
            self.by.put(by)
            self._show_narrowed()

    def _show_narrowed(self) -> None:
        said = ", ".join(f"{BY[by]}: {named(label)}" for by, _key, label in self.only)
        self.narrowed_to.setText(_("Narrowed to {groups}", groups=said) if said else "")
        self.narrowed.setVisible(bool(said))
        self.chosen.emit()

    def today(self) -> date:
        """Return the day by the office's calendar."""
        return self._queue.calendar().today

    def _day(self, entry: TypedLine) -> date | None:
        return self._queue.calendar().read(entry.text(), entry.key)

    def _read_day(self, text: str) -> str:
        return self._queue.calendar().read_back(text)

    def _take_month(self) -> None:
        self._take(self.today().replace(day=1))

    def _take_year(self) -> None:
        self._take(self.today().replace(month=1, day=1))

    def _take_all(self) -> None:
        self._take(None)

    def _take(self, since: date | None) -> None:
        self.since.put(f"{since.day} {MONTH_NAMES[since.month - 1]} {since.year}" if since else "")
        self.until.put("")
        self.chosen.emit()


def _offered(groups: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    return tuple(
        (key, _("Technician, if asked for") if key == OF_PEOPLE else str(BY[key])) for key in groups
    )
