"""A new call: the danger question first, then who, where, which appliance, and what they say."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from desk.errors import DeskError, InputError
from desk.records.deeds.counter import Slot
from desk.records.deeds.entering import CallSoFar, CallTaken, NewCaller
from desk.records.deeds.half_typed import SeeHalfTyped
from desk.records.half_typed import on_call
from desk.records.places import ApplianceDetails
from desk.records.views import HistoryLine, RecordView
from desk.records.visits import CallDetails
from desk.trade.complaints import COMPLAINTS
from desk.windows.counter.booking_line import Booked, BookingLine
from desk.windows.counter.danger import DangerQuestion
from desk.windows.counter.day import DayPane
from desk.windows.counter.entering import address_entries, address_of
from desk.windows.counter.keeper import CallKeeper
from desk.windows.counter.record import appliance_words
from desk.windows.counter.repeated import repeat_words, repeated
from desk.windows.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.half_typed import HalfTypedKeeper
from desk.windows.labels import WRONG, text_label
from desk.windows.words import APPLIANCE_KINDS, ROLES, options
from desk.windows.worker import Desk
from desk.wording import _


class CallForm(QWidget):
    """One short form, kept while it is filled in once the danger question was answered.

    Signals:
        taken: the keys of the call (`CallTaken`), when all of it is entered.
        left: the person goes away from it; what was told stands with the calls without a time.
    """

    taken = Signal(object)
    left = Signal()

    def __init__(self, desk: Desk, day: DayPane) -> None:
        super().__init__()
        self._desk, self._day = desk, day
        self._record: RecordView | None = None
        self.half_typed = HalfTypedKeeper(desk, "", self)
        self.half_typed.refused.connect(self._failed)
        self._keeper = CallKeeper(desk, self, self.half_typed)
        self._listen()
        self.danger = DangerQuestion()
        self.danger.answered.connect(self._danger_said)
        self._build_entries()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(text_label(_("New call"), "call_head", loud=True))
        column.addWidget(self._scroll, 1)
        row = QHBoxLayout()
        self.leave = QPushButton(_("Go on later"))
        self.leave.setObjectName("call_leave")
        self.keep = QPushButton(_("That is all of it"))
        self.keep.setObjectName("call_keep")
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.keep)
        self.trouble = text_label(name="call_trouble")
        self.trouble.hide()
        column.addWidget(self.trouble)
        column.addLayout(row)
        self.keep.clicked.connect(self._hand_in)
        self.leave.clicked.connect(self._leave)
        for entry in self._entries():
            entry.settled.connect(self.keep_so_far)

    def _build_entries(self) -> None:
        self.name = TypedLine("name", _("Who calls"))
        self.phone = TypedLine("phone", _("Phone"))
        self.premises = ChoiceLine("premises", _("Where"), ())
        self.address = address_entries()
        self.role = ChoiceLine("role", _("The caller is"), options(ROLES))
        self.access = TypedLine("access_note", _("How to get in"))
        self.appliance = ChoiceLine("appliance", _("Which appliance"), ())
        self.new_kind = ChoiceLine(
            "kind", _("What kind of appliance"), (("", _("Not known yet")),
                                                  *options(APPLIANCE_KINDS))
        )  # fmt: skip
        self.complaint = ChoiceLine("complaint", _("What kind of complaint"), options(COMPLAINTS))
        self.words = TypedText("words", _("What they say, in their words"))
        self.when = BookingLine(
            "when",
            _("When we can come"),
            _("such as: tue 10 ann; may stay empty"),
            self._desk,
            day=self._day.on_show,
            booked=self._what_is_booked,
        )
        self.repeat = text_label(name="call_repeat", loud=True)
        self.repeat.hide()
        inside = QWidget()
        lines = QVBoxLayout(inside)
        lines.setContentsMargins(0, 0, 6, 0)
        lines.addWidget(self.danger)
        lines.addWidget(self.repeat)
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        for row, entries in enumerate(self._lines()):
            width = 2 // len(entries)
            for place, entry in enumerate(entries):
                grid.addWidget(entry, row, place, 1, width)
        lines.addLayout(grid)
        lines.addStretch(1)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        self._scroll.setWidget(inside)
        self.premises.changed.connect(self._premises_chosen)
        self.appliance.changed.connect(self._look_for_repeat)
        self.complaint.changed.connect(self._look_for_repeat)
        self.complaint.changed.connect(self.when.read_back)  # the length is the complaint's

    def _lines(self) -> list[list[Field]]:
        """Return the entries line by line, one or two in each."""
        street, town, region, postcode = self.address
        return [
            [self.name, self.phone],
            [self.premises],
            [street, town],
            [region, postcode],
            [self.role, self.access],
            [self.appliance],
            [self.new_kind],
            [self.complaint],
            [self.words],
            [self.when],
        ]

    def _entries(self) -> list[Field]:
        return [entry for line in self._lines() for entry in line]

    def start(self, record: RecordView | None = None, *, phone: str = "") -> None:
        """Begin a call, from a record or from a number that nobody has.

        What was half typed when a call was begun in the same way comes back.
        """
        self._clear(record, phone)
        place = "/".join(("call/new", str(record.customer_id) if record else phone))
        self.half_typed.begin(place)
        self._keep_with(CallKeeper(self._desk, self, self.half_typed))
        self.danger.setFocus()

        def take_up(typed: Mapping[str, str]) -> None:
            if self.half_typed.place == place:
                self.half_typed.take_up(typed)

        self._desk.ask(self, SeeHalfTyped(place), take_up, self._failed, key="half typed")

    def _clear(self, record: RecordView | None, phone: str = "") -> None:
        """Show the form with nothing but what is known of the caller."""
        self.half_typed.keep()
        self.half_typed.begin("")
        self._record = record
        for entry in self._entries():
            entry.show_error("")
            if not isinstance(entry, ChoiceLine):
                entry.put("")
        self.danger.put(None)
        self.trouble.hide()
        self.complaint.put("no_response")
        if record is not None:
            self.name.put(record.customer.name)
            self.phone.put(record.customer.phones[0] if record.customer.phones else "")
            self.premises.offer(
                (*((str(card.premises_id), ", ".join(card.line.address))
                   for card in record.premises), ("", _("Somewhere else")))
            )  # fmt: skip
        else:
            self.phone.put(phone)
            self.premises.offer((("", _("Somewhere new")),))
        self.premises.box.setCurrentIndex(0)
        self.premises.setVisible(record is not None and bool(record.premises))
        self._premises_chosen()
        for entry in self._entries():
            entry.settle()

    def resume(self, visit_id: uuid.UUID, so_far: CallSoFar) -> None:
        """Go on with a call that was written down and is not all told."""
        call = so_far.call
        self._clear(so_far.record)
        self.half_typed.begin(on_call(visit_id))
        self._keep_with(CallKeeper(self._desk, self, self.half_typed, visit_id, call))
        self.danger.put(call.danger_reported)
        self.name.put(call.caller_name)
        self.phone.put(call.caller_phone)
        self.complaint.put(call.complaint)
        self.words.put(call.words)
        self.premises.put(str(call.premises_id or ""))
        self._premises_chosen()
        self.appliance.put(str(call.appliance_id or ""))
        self._look_for_repeat()
        self.half_typed.take_up(so_far.typed)
        (self.words if so_far.record else self.name).setFocus()

    def _keep_with(self, keeper: CallKeeper) -> None:
        """Keep another call from now on; the one before ends what it has under way."""
        self._keeper.kept.disconnect(self._kept)
        self._keeper.finished.disconnect(self._taken)
        self._keeper.refused.disconnect(self._failed)
        self._keeper.retire()
        self._keeper = keeper
        self._listen()

    def _listen(self) -> None:
        self._keeper.kept.connect(self._kept)
        self._keeper.finished.connect(self._taken)
        self._keeper.refused.connect(self._failed)

    def _leave(self) -> None:
        self.keep_so_far()
        self.left.emit()

    def _is_told(self) -> bool:
        """Return whether there is anything to keep, and the danger question was answered."""
        danger = self.danger.said()
        told = self.words.text()
        if self._record is None:
            told += self.name.text() + self.phone.text()
        return danger is True or (danger is False and bool(told.strip()))

    def keep_so_far(self) -> None:
        """Keep what was told: as a call, once the danger question was answered."""
        self.half_typed.keep()
        if self._is_told():
            self._keeper.keep(self._call())

    def _kept(self, call: CallDetails) -> None:
        """Know what the call itself keeps; the rest stays half typed."""
        for entry, text in (
            (self.name, call.caller_name),
            (self.phone, call.caller_phone),
            (self.complaint, call.complaint),
            (self.words, call.words),
            (self.premises, str(call.premises_id or "")),
            (self.appliance, str(call.appliance_id or "")),
        ):
            if entry.text().strip() == text:
                entry.settle()

    def _danger_said(self, danger: bool) -> None:
        self.keep_so_far()
        if not danger:
            (self.words if self._record else self.name).setFocus()

    def _premises_chosen(self) -> None:
        """Offer the appliances of the premises; a new place shows the lines of an address."""
        chosen = self.premises.text()
        card = next(
            (card for card in (self._record.premises if self._record else ())
             if str(card.premises_id) == chosen),
            None,
        )  # fmt: skip
        for entry in (*self.address, self.role, self.access):
            entry.setVisible(card is None)
        known = card.appliances if card else ()
        self.appliance.offer(
            (*((str(one.appliance_id), appliance_words(one.line)) for one in known),
             ("", _("Another one")))
        )  # fmt: skip
        self.appliance.box.setCurrentIndex(0)
        self.appliance.setVisible(bool(known))
        self.new_kind.setVisible(not known)
        self._look_for_repeat()

    def _look_for_repeat(self) -> None:
        """Say at once when the call repeats a finished visit, and what was done then."""
        self.new_kind.setVisible(not self.appliance.text())
        line = self._repeated()
        self.repeat.setVisible(line is not None)
        if line is None:
            return
        self.repeat.setText(repeat_words(line, self._today()))

    def _today(self) -> date:
        return self._desk.now().astimezone(ZoneInfo(self._desk.zone)).date()

    def _repeated(self) -> HistoryLine | None:
        number = self._appliance_number()
        if self._record is None or not number:
            return None
        return repeated(self._record.history, number, self.complaint.text(), self._today())

    def _appliance_number(self) -> str:
        chosen = self.appliance.text()
        return next(
            (
                one.line.number
                for card in (self._record.premises if self._record else ())
                for one in card.appliances
                if str(one.appliance_id) == chosen
            ),
            "",
        )

    def _hand_in(self) -> None:
        for entry in self._entries():
            entry.show_error("")
        self.trouble.hide()
        if self.danger.said() is None:
            self._say(_("Ask the danger question first."))
            self.danger.setFocus()
            return
        try:
            slot = self._slot()
        except InputError as error:
            self.when.show_error(str(error))
            self.when.setFocus()
            return
        call = self._call()
        self._keeper.finish(call, self._new_caller(call), slot)

    def _slot(self) -> Slot | None:
        """Return when we come, None where that is left open."""
        if not self.when.text().strip():
            return None
        return self.when.slot()

    def _what_is_booked(self) -> Booked:
        return Booked(self._keeper.visit_id, complaint=self.complaint.text())

    def _call(self) -> CallDetails:
        return CallDetails(
            self.complaint.text(),
            self.words.text().strip(),
            caller_name=self.name.text().strip(),
            caller_phone=self.phone.text().strip(),
            danger_reported=self.danger.said() is True,
            customer_id=self._record.customer_id if self._record else None,
            premises_id=_key(self.premises.text()),
            appliance_id=_key(self.appliance.text()),
        )

    def _new_caller(self, call: CallDetails) -> NewCaller | None:
        """Return what has to be entered with the call; None where all of it is known."""
        typed = {entry.key: entry.text() for entry in self._entries()}
        kind = self.new_kind.text() if call.appliance_id is None else ""
        if call.customer_id and call.premises_id and not kind:
            return None
        caller = NewCaller(
            name=typed["name"],
            phone=typed["phone"],
            address=address_of(typed),
            access_note=typed["access_note"],
            role=typed["role"] or "owner",
        )
        return replace(caller, appliance=ApplianceDetails(kind)) if kind else caller

    def _taken(self, taken: CallTaken) -> None:
        for entry in self._entries():
            entry.settle()
        if self.when.text().strip():
            self._day.go_to(self.when.slot().start.date())
        self.taken.emit(taken)

    def _failed(self, error: DeskError) -> None:
        """Say what is wrong where it was typed."""
        field = getattr(error, "field", "")
        entries = {entry.key: entry for entry in self._entries()}
        entry = entries.get("when" if field in {"start", "minutes", "technician"} else field)
        if entry is None or not entry.isVisible():
            self._say(str(error))
            return
        entry.show_error(str(error))
        entry.setFocus()

    def _say(self, sentence: str) -> None:
        self.trouble.setText(f"{WRONG} {sentence}")
        self.trouble.show()


def _key(text: str) -> uuid.UUID | None:
    return uuid.UUID(text) if text else None
