"""A new call: the danger question first, then who, where, which appliance, and what they say."""

from __future__ import annotations

import uuid
from collections.abc import Mapping

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.text_folding import fold
from desk.base.texts import _
from desk.records.actions.calling import SeeJobBefore, SeePlace
from desk.records.actions.counter import SeeRecord, Slot
from desk.records.actions.entering import CallSoFar, CallTaken
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.field import as_typed
from desk.records.views.call import JobBefore, Likely
from desk.records.views.customer_record import PremisesCard, RecordView
from desk.records.views.drafts import Draft, on_call
from desk.windows.call.autosave import CallKeeper
from desk.windows.call.call_sheet import CallSheet
from desk.windows.call.caller import Caller
from desk.windows.call.candidates import Offers
from desk.windows.call.danger import DangerQuestion
from desk.windows.call.drafts import Drafts
from desk.windows.call.entries import CallEntries
from desk.windows.call.repeat_note import say_job_before
from desk.windows.day.booking_line import Booked, BookingLine
from desk.windows.day.pane import DayPane
from desk.windows.kit.draft_keeper import DraftKeeper
from desk.windows.kit.keys import answering, keys_at, lead_keys_to
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.work.work_queue import WorkQueue


class CallForm(QWidget):
    """One short form, kept while it is filled in once the danger question was answered.

    Signals:
        taken: the keys of the call (`CallTaken`), when all of it is entered.
        left: the person goes away from it; what was told stands with the calls without a time.
        outcome_asked: the key of a call; the person writes what became of its danger.
    """

    taken = Signal(object)
    left = Signal()
    outcome_asked = Signal(object)

    def __init__(self, queue: WorkQueue, day: DayPane) -> None:
        super().__init__()
        self._queue, self._day = queue, day
        self.half_typed = DraftKeeper(queue, "", self)
        self.half_typed.refused.connect(self._failed)
        self._keeper = CallKeeper(queue, self, self.half_typed)
        self._listen()
        self.danger = DangerQuestion()
        self.danger.answered.connect(self._danger_said)
        self.when = BookingLine(
            "when",
            _("When we can come"),
            _("such as: tue 10 ann; may stay empty"),
            queue,
            day=day.on_show,
            booked=self._what_is_booked,
        )
        self.entries = CallEntries(queue, self.when)
        self._handed_in_at = keys_at()
        self.caller = Caller(self.entries.name, self.entries.phone)
        self.offers = Offers(queue)
        self.drafts = Drafts(queue)
        self.drafts.asked.connect(self._go_on_with)
        self.drafts.refused.connect(self._failed)
        self.repeat = text_label(name="call_repeat", loud=True)
        self.repeat.hide()
        self.trouble = text_label(name="call_trouble")
        self.trouble.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(text_label(_("New call"), "call_head", loud=True))
        for part in (self.caller, self.drafts, self.repeat):
            column.addWidget(part)
        self._sheet = self._scrolled()
        column.addWidget(self._sheet, 1)
        column.addWidget(self.offers)
        column.addWidget(self.trouble)
        column.addLayout(self._verbs())
        self._follow_entries()

    def _scrolled(self) -> CallSheet:
        inside = QWidget()
        lines = QVBoxLayout(inside)
        lines.setContentsMargins(0, 0, 6, 0)
        lines.addWidget(self.danger)
        lines.addWidget(self.entries)
        lines.addStretch(1)
        return CallSheet(inside)

    def _verbs(self) -> QHBoxLayout:
        row = QHBoxLayout()
        self.leave = QPushButton(_("Go on later"))
        self.leave.setObjectName("call_leave")
        self.outcome = QPushButton(_("Write what became of the danger"))
        self.outcome.setObjectName("call_danger")
        self.outcome.clicked.connect(self._ask_for_outcome)
        self.keep = QPushButton(_("That is all of it"))
        self.keep.setObjectName("call_keep")
        self.keep.setProperty("act", True)
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.outcome)
        row.addWidget(self.keep)
        self.keep.clicked.connect(self._hand_in)
        self.leave.clicked.connect(self._leave)
        return row

    def _follow_entries(self) -> None:
        for entry in self.entries.all():
            entry.settled.connect(self.keep_so_far)
            entry.changed.connect(self._look_who_it_is)
            entry.changed.connect(self.drafts.leave)
        self.entries.about.connect(self._look_for_repeat)
        self.entries.complaint.changed.connect(self.when.read_back)  # the length is of its kind
        self.when.entered.connect(self._hand_in)
        self.offers.used.connect(self._use)

    def start(self, record: RecordView | None = None, *, phone: str = "") -> None:
        """Begin a call, from a record or from a number that is shown.

        A call that was begun in the same way and is half typed is offered, and comes back only
        where the person asks for it.
        """
        self._clear(record, phone=phone)
        place = "/".join(("call/new", str(record.customer_id) if record else phone))
        self.half_typed.begin(f"{place}/{uuid.uuid4()}")  # no two calls are typed at one place
        self._keep_with(CallKeeper(self._queue, self, self.half_typed))
        self.danger.setFocus()
        self._look_who_it_is()
        self.drafts.look(place)

    def _go_on_with(self, draft: Draft) -> None:
        """Bring back a call that was half typed and never written down."""
        self.half_typed.begin(draft.place)
        self._keep_with(CallKeeper(self._queue, self, self.half_typed))
        self._take_up(draft.typed)
        self.danger.setFocus()

    def propose(self, record: RecordView) -> None:
        """Offer whose record was open, or was taken by mistake; one key takes it."""
        at = record.at.card.premises_id if record.at else None
        self.offers.propose(Likely(("open",), record.customer_id, at, who=record.customer.name))

    def _clear(
        self, record: RecordView | None, place: PremisesCard | None = None, *, phone: str = ""
    ) -> None:
        """Show the form with nothing but what is known of the caller."""
        self.half_typed.keep()
        self.half_typed.begin("")
        self._say_danger(None)
        self.trouble.hide()
        self.drafts.leave()
        self.offers.forget()
        self.entries.clear()
        self.entries.phone.put(phone)
        self._know(record, place)
        self.entries.settle()

    def _know(self, record: RecordView | None, place: PremisesCard | None = None) -> None:
        """Know who calls, and premises that they call about; what was typed stays."""
        self.caller.know(record)
        if record is not None:
            self.offers.propose(None)
        own = record.premises if record else ()
        self.entries.offer_places(own, place, is_known=record is not None)
        if record is not None and record.at is not None:
            self.entries.choose(record.at.card.premises_id)

    def _mind_the_name(self) -> None:
        """Know nobody, and offer who it was, where the name of a known caller was typed over."""
        record = self.caller.let_go()
        if record is not None:
            self.entries.offer_places((), None, is_known=False)
            self.propose(record)

    def resume(self, visit_id: uuid.UUID, so_far: CallSoFar) -> None:
        """Go on with a call that was written down and is not all told."""
        call = so_far.call
        self._clear(so_far.record, so_far.place)
        self.half_typed.begin(on_call(visit_id))
        self._keep_with(CallKeeper(self._queue, self, self.half_typed, visit_id, call))
        self._say_danger(call.danger_reported, is_open=so_far.danger_open)
        self.entries.name.put(call.caller_name)
        self.caller.agree()
        self.entries.phone.put(call.caller_phone)
        self.entries.complaint.put(call.complaint)
        self.entries.words.put(call.words)
        self.entries.choose(call.premises_id or "", call.appliance_id or "")
        self._take_up(so_far.typed)
        (self.entries.words if so_far.record else self.entries.name).setFocus()

    def _take_up(self, typed: Mapping[str, str]) -> None:
        """Give back what was half typed, and look up again what it leads to."""
        self.half_typed.take_up(typed)
        self.entries.ask_for_model()
        self._mind_the_name()
        self._look_who_it_is()

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
        told = self.entries.words.text()
        if self.caller.record is None:
            told += self.entries.name.text() + self.entries.phone.text()
        is_written_down = self._keeper.visit_id is not None
        return danger is True or (danger is False and (is_written_down or bool(told.strip())))

    def keep_so_far(self) -> None:
        """Keep what was told: as a call, once the danger question was answered."""
        self._mind_the_name()
        self.half_typed.keep()
        if self._is_told():
            self.drafts.leave()
            self._keeper.keep(self._call())

    def _kept(self, call: CallDetails) -> None:
        """Know what the call itself keeps; the rest stays half typed."""
        for name, entry in self.entries.of_call().items():
            if entry.text().strip() == as_typed(getattr(call, name)):
                entry.settle()

    def _say_danger(self, danger: bool | None, *, is_open: bool = True) -> None:
        """Show the answer; a call whose danger is open is neither booked nor put aside."""
        self.danger.put(danger)
        is_open = is_open and danger is True
        self.leave.setVisible(not is_open)
        self.outcome.setVisible(is_open)
        self.when.setEnabled(not is_open)
        self.when.caption.setText(
            _("No visit before somebody has written what became of the danger")
            if is_open
            else _("When we can come")
        )

    def _ask_for_outcome(self) -> None:
        self.keep_so_far()
        if self._keeper.visit_id is not None:
            self.outcome_asked.emit(self._keeper.visit_id)

    def _danger_said(self, danger: bool) -> None:
        self._say_danger(danger)
        self.keep_so_far()
        if danger:
            return
        self.entries.next_to_ask(is_known=self.caller.record is not None).setFocus()

    def _look_who_it_is(self) -> None:
        """Offer who, where and what is likely in the records already."""
        self.offers.look(self.entries.told(is_known=self.caller.record is not None))

    def _use(self, likely: Likely) -> None:
        """Take somebody, or some place, for the one that is being typed in."""
        self._mind_the_name()
        keeper = self._keeper

        def use_record(record: RecordView) -> None:
            if keeper is self._keeper:  # no other call was begun meanwhile
                self._know(record)
                self._use_what(likely)

        def use_place(place: PremisesCard) -> None:
            if keeper is self._keeper:
                self._know(self.caller.record, place)
                self._use_what(likely)

        if self.caller.record is None and likely.customer_id and self._is_caller(likely):
            look = SeeRecord(likely.customer_id)
            self._queue.ask(self, look, use_record, self._failed, key="use")
        elif likely.premises_id is not None:
            at = SeePlace(likely.premises_id)
            self._queue.ask(self, at, use_place, self._failed, key="use")

    def _is_caller(self, likely: Likely) -> bool:
        """Return whether who is offered calls, and not somebody else from the same place."""
        name = self.entries.name.text()
        is_meant = not {"phone", "open"}.isdisjoint(likely.same)
        return is_meant or not name.strip() or fold(name) == fold(likely.who)

    def _use_what(self, likely: Likely) -> None:
        self.entries.choose(likely.premises_id, likely.appliance_id)
        self._look_who_it_is()
        self.keep_so_far()
        self.entries.next_to_ask(is_known=self.caller.record is not None).setFocus()
        QTimer.singleShot(0, self._sheet, self._sheet.show_focus)  # the lines have moved by then

    def _look_for_repeat(self) -> None:
        """Say at once what the call is about already, and what was done then."""
        appliance, complaint = self.entries.appliance.text(), self.entries.complaint.text()
        if not appliance or not complaint:
            self._say_job_before(None)
            return
        look = SeeJobBefore(
            uuid.UUID(appliance), complaint, self._queue.now(), self._keeper.visit_id
        )

        def say(job: JobBefore | None) -> None:
            if (self.entries.appliance.text(), self.entries.complaint.text()) == (
                appliance,
                complaint,
            ):
                self._say_job_before(job)

        self._queue.ask(self, look, say, self._failed, key="before")

    def _say_job_before(self, job: JobBefore | None) -> None:
        self.repeat.setText(say_job_before(job) if job else "")
        self.repeat.setVisible(job is not None)

    def _hand_in(self) -> None:
        self._mind_the_name()
        for entry in self.entries.all():
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
        self._handed_in_at = keys_at()
        self._keeper.finish(call, self.entries.new_caller(call), slot)

    def _slot(self) -> Slot | None:
        """Return when we come, None where that is left open."""
        if not self.when.isEnabled() or not self.when.text().strip():
            return None
        return self.when.slot()

    def _what_is_booked(self) -> Booked:
        return Booked(self._keeper.visit_id, complaint=self.entries.complaint.text())

    def _call(self) -> CallDetails:
        return CallDetails(
            self.entries.complaint.text(),
            self.entries.words.text().strip(),
            caller_name=self.entries.name.text().strip(),
            caller_phone=self.entries.phone.text().strip(),
            danger_reported=self.danger.said() is True,
            customer_id=self.caller.record.customer_id if self.caller.record else None,
            premises_id=_key(self.entries.premises.text()),
            appliance_id=_key(self.entries.appliance.text()),
        )

    def _taken(self, taken: CallTaken) -> None:
        self.entries.settle()
        slot = self._slot()
        if slot is not None:
            self._day.go_to(slot.start.date())
        self.taken.emit(taken)

    def _failed(self, error: DeskError) -> None:
        """Say what is wrong where it was typed."""
        field = getattr(error, "field", "")
        entries = {entry.key: entry for entry in self.entries.all()}
        entry = entries.get("when" if field in {"start", "minutes", "technician"} else field)
        if entry is None or not entry.isVisible():
            self._say(str(error))
            return
        entry.show_error(str(error))
        with answering(self._handed_in_at):
            lead_keys_to(entry)

    def _say(self, sentence: str) -> None:
        self.trouble.setText(f"{WRONG} {sentence}")
        self.trouble.show()


def _key(text: str) -> uuid.UUID | None:
    return uuid.UUID(text) if text else None
