"""The day: a strip of days, visits by technician in order of time, calls without a time."""

from __future__ import annotations

import uuid
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from PySide6.QtCore import QLocale, QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QListView,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from desk.errors import DeskError, InputError
from desk.records.days import STRIP_AFTER, STRIP_BEFORE
from desk.records.deeds.counter import Book, SeeDay, Slot
from desk.records.views import DayList, DayVisit
from desk.trade.bookings import DAY_NAMES, Booking, Technician, parse_booking, say_booking, say_day
from desk.windows.counter.moves import Move, moved
from desk.windows.fields import TypedLine
from desk.windows.labels import text_label
from desk.windows.rows import Line, LineModel
from desk.windows.words import state_words
from desk.windows.worker import Desk
from desk.wording import _, message, plural

_DAYS_A_ROW = 7
_LONGEST_NAME = 40


class DayPane(QWidget):
    """Shows a day and books the visit that is chosen, by typing.

    Signals:
        opened: the key of a visit to open.
        chosen: the visit (`DayVisit`) that is marked now.
    """

    opened = Signal(object)
    chosen = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._day: date | None = None
        self._booked_on: date | None = None
        self._wanted: uuid.UUID | None = None
        self._is_showing = False
        self._is_booking = False
        self.shown: DayList | None = None
        self.title = text_label(name="day_title", loud=True)
        self._build_strip()
        self.model = LineModel()
        self.list = QListView()
        self.list.setObjectName("day_list")
        self.list.setAccessibleName(_("Visits of the day"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setModel(self.model)
        self.empty = text_label(
            _("No visit is booked for this day. Choose a call and type its time below."),
            "day_empty",
        )
        self.booking = TypedLine(
            "booking",
            _("Book it"),
            _("such as: tue 10 ann; or Alt and the arrows"),
            read=self.read_back,
        )
        self.booking.setEnabled(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.title)
        column.addLayout(self._strip)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        column.addWidget(self.booking)
        self.list.selectionModel().currentChanged.connect(self._marked)
        self.list.activated.connect(self._activated)
        self.booking.entered.connect(self._book)

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
        for place in range(STRIP_BEFORE + 1 + STRIP_AFTER):
            button = QPushButton("\n")
            button.setCheckable(True)
            self._days.addButton(button)
            grid.addWidget(button, place // _DAYS_A_ROW, place % _DAYS_A_ROW)
        self._strip.addLayout(grid)

    def look(self) -> None:
        """Look at the day again."""
        self._desk.ask(
            self, SeeDay(self._desk.now(), self._day), self._show, self._failed, key="day"
        )

    def go_to_today(self) -> None:
        """Show today."""
        self._day = None
        self.look()

    def go_to(self, day: date) -> None:
        """Show a day."""
        self._day = day
        self.look()

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
        today = say_day(day.day, day.today)
        self.title.setText(_("Today, {day}", day=today) if day.day == day.today else today)
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

    def _show_strip(self, day: DayList) -> None:
        """Put the days on the buttons; they stay, and so does the focus on one of them."""
        for button, (one, count) in zip(self._days.buttons(), day.counts, strict=True):
            name = str(DAY_NAMES[one.weekday()])
            button.setText(f"{name[:3]} {one.day}\n{count or '–'}")
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
        self.look()

    def _mark(self, visit_id: uuid.UUID) -> None:
        for row in self.model.rows_that_can_be_chosen():
            value = self.model.line(row).value
            if isinstance(value, DayVisit) and value.visit_id == visit_id:
                self.list.setCurrentIndex(self.model.index(row, 0))

    def take_focus(self) -> None:
        """Go to the list, on a visit and not on a heading."""
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
        """Let a visit be booked that has not begun."""
        visit = self.marked()
        can_book = visit is not None and visit.state in {"new_call", "booked"}
        self.booking.setEnabled(can_book)
        self.booking.caption.setText(
            _("Book {number}", number=visit.number) if visit and can_book else _("Book it")
        )

    def _activated(self, _index: QModelIndex) -> None:
        visit = self.marked()
        if visit is not None:
            self.opened.emit(visit.visit_id)

    def _technicians(self) -> list[Technician]:
        if self.shown is None:
            return []
        return [Technician(one.technician_id, one.name) for one in self.shown.technicians]

    def read_back(self, text: str) -> str:
        """Say in words how a booking is understood.

        Raises:
            InputError: it cannot be understood yet.
        """
        today = self.shown.today if self.shown else date.min
        return say_booking(self._parsed(text), today)

    def _parsed(self, text: str) -> Booking:
        return parse_booking(
            text,
            today=self.shown.today if self.shown else date.min,
            technicians=self._technicians(),
            month_first=month_first(),
        )

    def understood(self, text: str, technician_id: uuid.UUID | None = None) -> Slot:
        """Return the time and the technician that a text asks for.

        Args:
            text: a day, a time and a name, as typed.
            technician_id: who is meant where nobody is named.

        Raises:
            InputError: it cannot be understood, or nobody is named.
        """
        booking = self._parsed(text)
        technician = booking.technician.key if booking.technician else technician_id
        if not isinstance(technician, uuid.UUID):
            raise InputError(message("Say who goes, such as {name}.", name=self._first_name()))
        hour, minute = divmod(booking.minute, 60)
        zone = ZoneInfo(self.shown.zone if self.shown else self._desk.zone)
        start = datetime.combine(booking.day, time(hour, minute), zone)
        return Slot(start, technician, booking.minutes)

    def _book(self, text: str) -> None:
        """Book the visit that is marked; a slip is told under the line and stays in it."""
        visit = self.marked()
        if visit is None:
            return
        try:
            slot = self.understood(text, visit.technician_id)
        except InputError as error:
            self.booking.show_error(str(error))
            return
        self._hand_in(Book(visit.visit_id, slot.start, slot.technician_id, slot.minutes))

    def shift(self, move: Move) -> None:
        """Move the visit that is marked; a call without a time is put on this day first."""
        visit, shown = self.marked(), self.shown
        if visit is None or shown is None or self._is_booking:
            return
        deed = moved(visit, shown, move, self._desk.now())
        if deed is None:
            self.booking.show_error(_("Enter a technician first, with Ctrl+Shift+T."))
            return
        self._hand_in(deed)

    def _hand_in(self, deed: Book) -> None:
        """Book; the day that is booked on is shown when it is done."""
        self._is_booking = True
        self._booked_on = deed.start.date()
        self._desk.act(self, deed, self._booked, self._not_booked)

    def _first_name(self) -> str:
        names = self._technicians()
        return names[0].name.split()[0] if names else _("a technician")

    def _booked(self, _answer: object) -> None:
        self._is_booking = False
        self._day = self._booked_on
        self.booking.put("")
        self.booking.show_understood("")
        self.look()

    def _not_booked(self, error: DeskError) -> None:
        self._is_booking = False
        self.booking.show_error(str(error))

    def _failed(self, error: DeskError) -> None:
        self.title.setText(str(error))


def month_first() -> bool:
    """Return whether the machine's locale writes the month before the day."""
    short = QLocale.system().dateFormat(QLocale.FormatType.ShortFormat).casefold()
    return short.find("m") < short.find("d")


def lines_of(day: DayList) -> list[Line]:
    """Return a day as lines: each technician with the visits, then the calls without a time."""
    zone = ZoneInfo(day.zone)
    lines: list[Line] = []
    for technician in day.technicians:
        free = "" if technician.visits else _("   nothing booked")
        lines.append(Line(technician.name + free))
        lines += [Line(_line(visit, zone), visit) for visit in technician.visits]
    if day.without_time:
        lines.append(Line(_("Calls without a time")))
        lines += [Line(_line(visit, zone), visit) for visit in day.without_time]
    return lines


def _line(visit: DayVisit, zone: ZoneInfo) -> str:
    """Return a visit in words: when, who, where, what, and its state with a shape."""
    when = f"{visit.booked_for.astimezone(zone):%H:%M}  " if visit.booked_for else ""
    back = (
        plural("  ↺ {count} day after a finished visit", "  ↺ {count} days after a finished visit",
               visit.days_since)
        if visit.days_since is not None
        else ""
    )  # fmt: skip
    who = ", ".join(_short(part) for part in (visit.who, visit.where) if part)
    who = who or _("Nobody named yet")
    return f"{when}{who}\n{state_words(visit.state)}  ·  {visit.complaint_text}{back}"


def _short(text: str) -> str:
    """Return a name that leaves room for what stands beside it; the record tells all of it."""
    return text if len(text) <= _LONGEST_NAME else f"{text[: _LONGEST_NAME - 1].rstrip()}…"
