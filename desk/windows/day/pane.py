"""The day or its week: a strip of days, visits by technician, calls without a time."""

from __future__ import annotations

import uuid
from datetime import date, timedelta

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, plural
from desk.records.actions.counter import Book, SeeDay, Slot
from desk.records.views.day import STRIP_DAYS, WAITING, DayList, DayVisit
from desk.trade.scheduling.booking_text import say_day
from desk.windows.day.booking_line import Booked, BookingLine
from desk.windows.day.lines import lines_of, short_day
from desk.windows.day.list_view import DayView
from desk.windows.day.moves import Move, moved
from desk.windows.kit.item_models import LineModel
from desk.windows.kit.labels import text_label
from desk.windows.work.work_queue import WorkQueue

_DAYS_A_ROW = 7


class DayPane(QWidget):
    """Shows a day or its week, and books the visit that is chosen, by typing.

    Signals:
        opened: the key of a visit to open.
        chosen: the visit (`DayVisit`) that is marked now.
        print_asked: the day whose sheets are wanted.
        outcome_asked: the key of a call; the person writes what became of its danger.
    """

    opened = Signal(object)
    chosen = Signal(object)
    print_asked = Signal(object)
    outcome_asked = Signal(object)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._day: date | None = None
        self._booked_on: date | None = None
        self._wanted: uuid.UUID | None = None
        self._awaited = False
        self._is_showing = False
        self._is_booking = self._is_week = False
        self.shown: DayList | None = None
        self.title = text_label(name="day_title", loud=True)
        self._build_strip()
        self.model = LineModel()
        self.list = DayView()
        self.list.setObjectName("day_list")
        self.list.setAccessibleName(_("Visits of the day"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setModel(self.model)
        self.empty = text_label(name="day_empty")
        self.booking = BookingLine(
            "booking",
            _("Book it"),
            _("such as: tue 10 ann 90 min; or Alt and the arrows"),
            queue,
            day=self.on_show,
            booked=self._what_is_booked,
        )
        self.booking.setEnabled(False)
        self.outcome = QPushButton(_("Write what became of the danger"))
        self.outcome.setObjectName("day_danger")
        self.outcome.clicked.connect(self.ask_for_outcome)
        self.outcome.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(self._head())
        column.addLayout(self._strip)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addWidget(self.outcome)
        column.addWidget(self.booking)
        self.list.selectionModel().currentChanged.connect(self._marked)
        self.list.activated.connect(self._activated)
        self.booking.entered.connect(self._book)

    def _head(self) -> QHBoxLayout:
        """Return the row of the title, with what may be done with the whole day."""
        row = QHBoxLayout()
        row.addWidget(self.title, 1)
        self.span = QPushButton(_("Show the week"))
        self.span.setObjectName("day_span")
        self.span.clicked.connect(self.turn)
        self.printing = QPushButton(_("Print the day"))
        self.printing.setObjectName("day_print")
        self.printing.clicked.connect(self.ask_for_print)
        row.addWidget(self.span)
        row.addWidget(self.printing)
        return row

    def _build_strip(self) -> None:
        self._strip = QVBoxLayout()
        self._strip.setSpacing(3)
        moves = QHBoxLayout()
        for name, words, slot in (
            ("day_before", _("◂ Week before"), self._week_before),
            ("day_today", _("Today"), self.go_to_today),
            ("day_after", _("Week after ▸"), self._week_after),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.clicked.connect(slot)
            moves.addWidget(button)
        self._strip.addLayout(moves)
        self._days = QButtonGroup(self)
        self._days.idClicked.connect(self._pick)
        grid = QGridLayout()
        grid.setSpacing(2)
        for place in range(STRIP_DAYS):
            button = QPushButton("\n")
            button.setCheckable(True)
            self._days.addButton(button)
            grid.addWidget(button, place // _DAYS_A_ROW, place % _DAYS_A_ROW)
        self._strip.addLayout(grid)

    def refresh(self) -> None:
        """Look at the day again."""
        look = SeeDay(self._queue.now(), self._day, is_week=self._is_week)
        self._queue.ask(self, look, self._show, self._failed, key="day")

    def on_show(self) -> DayList | None:
        """Return what is shown; None while nothing is."""
        return self.shown

    def turn(self) -> None:
        """Show the week around the day, or the day again."""
        self._is_week = not self._is_week
        self.refresh()

    def shown_day(self) -> date | None:
        """Return the day that is shown; None before the first was looked up."""
        return self._day

    def ask_for_print(self) -> None:
        """Ask for the sheets of the day that is shown."""
        if self._day is not None:
            self.print_asked.emit(self._day)

    def ask_for_outcome(self) -> None:
        """Ask what became of the danger that was reported with the call that is marked."""
        visit = self.marked()
        if visit is not None and visit.danger_open:
            self.outcome_asked.emit(visit.visit_id)

    def go_to_today(self) -> None:
        """Show today."""
        self._day = None
        self.refresh()

    def go_to(self, day: date) -> None:
        """Show a day."""
        self._day = day
        self.refresh()

    def _week_before(self) -> None:
        self._go(-7)

    def _week_after(self) -> None:
        self._go(7)

    def _go(self, days: int) -> None:
        if self.shown is not None:
            self.go_to(self.shown.day + timedelta(days=days))

    def _pick(self, ordinal: int) -> None:
        self.go_to(date.fromordinal(ordinal))

    def _show(self, day: DayList) -> None:
        marked = self.marked()
        wanted = self._wanted or (marked.visit_id if marked else None)
        self._wanted = None
        self.shown, self._day = day, day.day
        self._show_head(day)
        self._show_strip(day)
        lines = lines_of(day)
        self._is_showing = True  # what was marked is marked again below
        self.model.show_lines(lines)
        booked = any(technician.visits for technician in day.technicians)
        self.empty.setVisible(not booked)
        if wanted is not None:
            self._mark(wanted)
        self._is_showing = False
        self._offer_booking()
        if self._awaited:
            self._awaited = False
            if self.window().focusWidget() is self.list:
                self.take_focus()

    def _show_head(self, day: DayList) -> None:
        """Say which days are listed, and what the buttons beside it do."""
        if self._is_week:
            title = _("Week of {day}", day=say_day(day.first, day.today))
            empty = _("No visit is booked in this week. Choose a call and type its time below.")
        else:
            said = say_day(day.day, day.today)
            title = _("Today, {day}", day=said) if day.day == day.today else said
            empty = _("No visit is booked for this day. Choose a call and type its time below.")
        self.title.setText(title)
        self.empty.setText(empty)
        self.span.setText(_("Show the day") if self._is_week else _("Show the week"))
        self.printing.setText(_("Print {day}", day=short_day(day.day)))

    def _show_strip(self, day: DayList) -> None:
        """Put the days on the buttons; they stay, and so does the focus on one of them."""
        for button, (one, count) in zip(self._days.buttons(), day.counts, strict=True):
            button.setText(f"{short_day(one)}\n{count or '–'}")
            button.setAccessibleName(
                f"{say_day(one)}, " + plural("{count} visit booked", "{count} visits booked", count)
            )
            button.setObjectName(f"day_{one.isoformat()}")
            self._days.setId(button, one.toordinal())
            if one == day.day:
                button.setChecked(True)

    def marked(self) -> DayVisit | None:
        """Return the visit that is marked, if one is."""
        row = self.list.currentIndex().row()
        value = self.model.line(row).value if row >= 0 else None
        return value if isinstance(value, DayVisit) else None

    def look_for(self, visit_id: uuid.UUID) -> None:
        """Look at the day again and mark a visit, ready to be booked."""
        self._wanted = visit_id
        self.refresh()

    def _mark(self, visit_id: uuid.UUID) -> None:
        for row in self.model.rows_that_can_be_chosen():
            value = self.model.line(row).value
            if isinstance(value, DayVisit) and value.visit_id == visit_id:
                self.list.setCurrentIndex(self.model.index(row, 0))

    def take_focus(self) -> None:
        """Go to the list, on a visit and not on a heading; on the first as soon as there is one.

        Who presses the key while the first day still loads gets what was meant.
        """
        self._awaited = self.shown is None
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        rows = self.model.rows_that_can_be_chosen()
        if self.marked() is None and rows:
            self.list.setCurrentIndex(self.model.index(rows[0], 0))

    def _marked(self, _now: QModelIndex, _before: QModelIndex) -> None:
        if self._is_showing:
            return
        self._offer_booking()
        visit = self.marked()
        if visit is not None:
            self.chosen.emit(visit)

    def _offer_booking(self) -> None:
        """Let a visit be booked that has not begun and whose danger, if any, is settled."""
        visit = self.marked()
        is_open = visit is not None and visit.danger_open
        can_book = visit is not None and visit.state in WAITING and not is_open
        had_focus = self.booking.isAncestorOf(self.focusWidget() or self)
        self.outcome.setVisible(is_open)
        self.booking.setEnabled(can_book)
        self.booking.caption.setText(_booking_words(visit))
        if is_open and had_focus:
            self.outcome.setFocus()
        if self.booking.is_half_typed():
            self.booking.read_back()  # it is said of the visit that is marked now

    def _what_is_booked(self) -> Booked:
        visit = self.marked()
        return Booked(visit.visit_id, visit.technician_id) if visit else Booked()

    def _activated(self, _index: QModelIndex) -> None:
        visit = self.marked()
        if visit is not None:
            self.opened.emit(visit.visit_id)

    def _book(self, _text: str) -> None:
        """Book the visit that is marked; a slip is told under the line and stays in it."""
        visit = self.marked()
        if visit is None or self._is_booking:
            return
        try:
            slot = self.booking.slot()
        except InputError as error:
            self.booking.show_error(str(error))
            return
        self._hand_in(visit.visit_id, slot)

    def shift(self, move: Move) -> None:
        """Move the visit that is marked; a call without a time is put on this day first."""
        visit, shown = self.marked(), self.shown
        if visit is None or shown is None or self._is_booking:
            return
        slot = moved(visit, shown, move, self._queue.now())
        if slot is None:
            self.booking.show_error(_("Enter a technician first, with Ctrl+Shift+T."))
            return
        self._hand_in(visit.visit_id, slot)

    def _hand_in(self, visit_id: uuid.UUID, slot: Slot) -> None:
        """Book; the day that is booked on is shown when it is done."""
        self._is_booking = True
        self._booked_on = slot.start.date()
        command = Book(visit_id, slot.start, slot.technician_id, slot.minutes)
        self._queue.act(self, command, self._booked, self._not_booked)

    def _booked(self, _answer: object) -> None:
        self._is_booking = False
        self._day = self._booked_on
        self.booking.put("")
        self.booking.show_understood("")
        self.refresh()

    def _not_booked(self, error: DeskError) -> None:
        self._is_booking = False
        self.booking.show_error(str(error))

    def _failed(self, error: DeskError) -> None:
        self.title.setText(str(error))


def _booking_words(visit: DayVisit | None) -> str:
    """Say over the line what is booked in it, or why nothing can be."""
    if visit is None or visit.state not in WAITING:
        return _("Book it")
    if visit.danger_open:
        return _("{number} cannot be booked: danger is reported, and nobody has written what became"
                 " of it", number=visit.number)  # fmt: skip
    return _("Book {number}", number=visit.number)
