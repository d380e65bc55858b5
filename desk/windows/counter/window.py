"""The counter: the window that opens, where the office lives while the phone is at its ear."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QActionGroup, QCloseEvent, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from desk.base.texts import _, say
from desk.records.views.customer_record import RecordView, SearchHit
from desk.records.views.day import DayVisit
from desk.windows.counter.finder import Finder
from desk.windows.counter.papers import CounterPapers
from desk.windows.counter.theme_menu import add_looks, add_text_sizes
from desk.windows.day.moves import MOVES
from desk.windows.day.pane import DayPane
from desk.windows.forms.undo_bar import StepsBar
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.words import saved_words
from desk.windows.own_checks.status_line import OwnChecksLine, open_own_checks
from desk.windows.record.pane import RecordPane
from desk.windows.recurrence.warm_up import make_ready_later
from desk.windows.work.change_note import ChangeNote
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.records.actions.entering import CallSoFar, CallTaken
    from desk.windows.call.form import CallForm
    from desk.windows.forms.forms import Form


class CounterWindow(QMainWindow):
    """Find on top, the day on the left, the open record or a new call on the right.

    Signals:
        look_asked: the name of a theme to wear.
        text_size_asked: in per cent, or None to go with the system.
        other_office_asked: the person wants to open another office.
    """

    look_asked = Signal(str)
    text_size_asked = Signal(object)
    other_office_asked = Signal()

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("counter")
        self.setWindowTitle(_("Counter"))
        self._queue, self._prompts = queue, prompts
        self._sheets: dict[uuid.UUID, QWidget] = {}
        self.finder = Finder(queue)
        self.day = DayPane(queue)
        self.record = RecordPane(queue)
        self.steps = StepsBar(queue)
        self._call: CallForm | None = None
        self._form: Form | None = None
        self._aside: list[Form] = []
        self._resumed: uuid.UUID | None = None
        self.welcome = text_label(
            _(
                "The record that is open stands here.\nFind a name, a street, a number above, or"
                " choose a visit on the left. Ctrl+N writes down a new call."
            ),
            "welcome",
        )
        self.welcome.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._build()
        self._build_menus()
        self._connect()
        self.resize(1220, 760)
        self.day.refresh()
        self.finder.take_focus()
        make_ready_later(self._queue, self)

    def _build(self) -> None:
        self.right = QStackedWidget()
        for pane in (self.welcome, self.record):
            self.right.addWidget(pane)
        halves = QSplitter()
        halves.addWidget(self.day)
        halves.addWidget(self.right)
        halves.setStretchFactor(0, 2)
        halves.setStretchFactor(1, 3)
        halves.setSizes([400, 600])  # what is empty at first has no say in how wide it comes to be
        halves.setChildrenCollapsible(False)
        halves.setHandleWidth(14)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(10, 8, 10, 4)
        column.addWidget(self.finder)
        column.addWidget(OwnChecksLine(self._queue), 0, Qt.AlignmentFlag.AlignLeft)
        if self._queue.clock_warning is not None:
            words = f"{WRONG} {say(self._queue.clock_warning)}"
            column.addWidget(text_label(words, "clock_line"))
        column.addWidget(halves, 1)
        self.setCentralWidget(inside)
        self.saved = text_label(name="saved")
        self.saved.setWordWrap(False)
        self.steps.setMinimumHeight(self.steps.back.sizeHint().height() + 2)  # nothing jumps
        self.statusBar().addWidget(self.steps, 1)
        self.statusBar().addPermanentWidget(ChangeNote(self._queue))
        self.statusBar().addPermanentWidget(self.saved)

    def _build_menus(self) -> None:
        work = self.menuBar().addMenu(_("&Work"))
        self._add(work, _("Find"), "Ctrl+K", self.come_to_find, "act_find", everywhere=True)
        self._add(work, _("New call"), "Ctrl+N", self._new_call, "act_call")
        self._add(work, _("New customer"), "Ctrl+Shift+N", self._new_customer, "act_customer")
        self._add(work, _("Go to the day"), "Ctrl+D", self.day.take_focus, "act_day")
        self._add(work, _("Open the visit"), "Ctrl+Return", self._open_marked, "act_open")
        work.addSeparator()
        self._add(work, _("Take it back"), "Ctrl+Z", self.steps.take_back, "act_back")
        self._add(work, _("Do it again"), "Ctrl+Shift+Z", self.steps.do_again, "act_again")
        self._add(work, _("Go on with what was put aside"), "Ctrl+J", self._go_on, "act_go_on")
        self._build_booking_menu()
        lists = self.menuBar().addMenu(_("&Lists"))
        self._add(lists, _("What comes back"), "Ctrl+B", self._open_repeats, "act_repeats")
        self._add(lists, _("Service reports"), "Ctrl+R", self._open_reports, "act_reports")
        self._add(lists, _("Parts"), "Ctrl+T", self._open_parts, "act_parts")
        self._add(lists, _("Parts on order"), "Ctrl+Shift+P", self._open_orders, "act_orders")
        self._add(lists, _("People of the shop"), "Ctrl+Shift+T", self._open_people, "act_people")
        self._add(lists, _("Withdrawn and joined"), "Ctrl+Shift+W", self._open_withdrawn,
                  "act_withdrawn")  # fmt: skip
        self._add(lists, _("The shop's own checks"), "Ctrl+Shift+C", self._open_own_checks,
                  "act_own_checks")  # fmt: skip
        self._add(lists, _("Your shop"), "Ctrl+Shift+S", self._open_shop, "act_shop")
        view = self.menuBar().addMenu(_("&View"))
        add_looks(view, self._ask_for_look)
        add_text_sizes(view.addMenu(_("Text size")), self._ask_for_text_size)
        office = self.menuBar().addMenu(_("&Office"))
        self._add(office, _("Bring customers in"), "Ctrl+Shift+I", self._open_bringing_in,
                  "act_bring_in")  # fmt: skip
        self._add(office, _("Open another office"), "Ctrl+Shift+O", self._ask_for_other,
                  "act_other")  # fmt: skip
        self._add(office, _("Close"), "Ctrl+Q", self.close, "act_close")

    def _build_booking_menu(self) -> None:
        """Offer the keys that book; they are the day's own and leave other lists alone."""
        menu = self.menuBar().addMenu(_("&Booking"))
        moves = QActionGroup(self)
        moves.triggered.connect(self._move)
        for move in MOVES:
            action = moves.addAction(str(move.words))
            action.setObjectName(f"act_{move.name}")
            action.setShortcut(QKeySequence(move.keys))
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            action.setData(move)
            menu.addAction(action)
            self.day.addAction(action)
        menu.addSeparator()
        self._add(menu, _("Show the week or the day"), "Ctrl+Shift+D", self.day.turn, "act_week")
        self._add(menu, _("Print the day"), "Ctrl+P", self.day.ask_for_print, "act_print_day")
        self._add(menu, _("Write what became of the danger"), "Ctrl+Shift+G",
                  self.day.ask_for_outcome, "act_danger")  # fmt: skip
        self._add(menu, _("Call it off"), "Ctrl+Del", self._call_off, "act_call_off")

    def _add(
        self,
        menu: QMenu,
        words: str,
        keys: str,
        slot: object,
        name: str,
        *,
        everywhere: bool = False,
    ) -> None:
        """Put an action into a menu; its keys hold in this window, or in every one."""
        action = QAction(words, self)
        action.setObjectName(name)
        if keys:
            action.setShortcut(QKeySequence(keys))
        if everywhere:
            action.setShortcutContext(Qt.ShortcutContext.ApplicationShortcut)
        action.triggered.connect(slot)
        menu.addAction(action)
        self.addAction(action)

    def _connect(self) -> None:
        self.finder.chosen.connect(self._open_found)
        self.finder.caller_unknown.connect(self._call_from_number)
        self.day.chosen.connect(self._visit_chosen)
        self.day.opened.connect(self.open_visit)
        self.record.opened.connect(self.open_visit)
        self.record.call_asked.connect(self._call_from_record)
        self.record.form_asked.connect(self._show_form)
        self.record.gone.connect(self._record_gone)
        self.record.refused.connect(self.steps.tell)
        self.papers = CounterPapers(self._queue, self._prompts, self)
        self.record.labels_asked.connect(self.papers.show_labels)
        self.record.history_asked.connect(self.papers.show_history)
        self.day.print_asked.connect(self.papers.show_day)
        self.day.outcome_asked.connect(self._write_outcome)
        self.steps.go_on_asked.connect(self._go_on)
        self.steps.stepped.connect(self._leave_what_is_out_of_date)
        self._queue.saved.connect(self._show_saved)
        self._queue.changed.connect(self._look_again)

    @property
    def call(self) -> CallForm:
        """The form of a new call; it is made when the first call comes."""
        if self._call is None:
            from desk.windows.call.form import CallForm

            self._call = CallForm(self._queue, self.day)
            self._call.taken.connect(self._call_taken)
            self._call.left.connect(self._leave_call)
            self._call.outcome_asked.connect(self._write_outcome)
            self.right.addWidget(self._call)
        return self._call

    def come_to_find(self) -> None:
        """Come to the front, from whatever window it is asked in, ready to find."""
        self.setWindowState(self.windowState() & ~Qt.WindowState.WindowMinimized)
        self.show()
        self.raise_()
        self.activateWindow()
        self.finder.take_focus()

    def _open_found(self, hit: SearchHit) -> None:
        if hit.kind == "visit":
            self.open_visit(hit.key)
        if hit.customer_id is not None:
            self._open_record(hit.customer_id, hit.key)

    def _open_record(self, customer_id: uuid.UUID, at: uuid.UUID | None = None) -> None:
        self.record.open(customer_id, at)
        self._turn_to(self.record)

    def _record_gone(self, _why: str) -> None:
        if self.right.currentWidget() is self.record:
            self.right.setCurrentWidget(self.welcome)

    def _visit_chosen(self, visit: DayVisit) -> None:
        if self._call is not None and self.right.currentWidget() is self._call:
            return  # the phone is at their ear
        if visit.customer_id is not None:
            self._open_record(visit.customer_id, visit.visit_id)
        if visit.state in {"new_call", "booked"}:
            from desk.records.actions.entering import SeeCall

            self._resumed = visit.visit_id
            look = SeeCall(visit.visit_id)
            self._queue.ask(self, look, self._resume_call, self.steps.tell, key="call")

    def _resume_call(self, so_far: CallSoFar) -> None:
        """Go on with a call whose caller is not in the records yet, or that is half told."""
        visit = self.day.marked()
        half_told = so_far.call.customer_id is None or bool(so_far.typed)
        if visit is not None and visit.visit_id == self._resumed and half_told:
            self._turn_to(self.call)
            self.call.keep_so_far()
            self.call.resume(visit.visit_id, so_far)

    def open_visit(self, visit_id: uuid.UUID) -> None:
        """Open a visit's sheet, or bring it to the front where it is open already."""
        sheet = self._sheets.get(visit_id)
        if sheet is None:
            from desk.windows.visit.window import VisitWindow

            sheet = VisitWindow(self._queue, self._prompts, visit_id)
            sheet.destroyed.connect(self._forget_sheets)
            self._sheets[visit_id] = sheet
        sheet.show()
        sheet.raise_()
        sheet.activateWindow()

    def _forget_sheets(self) -> None:
        from shiboken6 import isValid

        self._sheets = {key: sheet for key, sheet in self._sheets.items() if isValid(sheet)}

    def _open_marked(self) -> None:
        visit = self.day.marked()
        if visit is not None:
            self.open_visit(visit.visit_id)

    def _new_call(self) -> None:
        """Begin an empty call; whose record is open is offered and not taken for the caller."""
        number = self.finder.number()
        is_open = self.right.currentWidget() is self.record
        self._start_call(None, number)
        if is_open and self.record.view is not None and not number:
            self.call.propose(self.record.view)

    def _call_from_record(self, view: RecordView) -> None:
        self._start_call(view)

    def _call_from_number(self, number: str) -> None:
        self._start_call(None, number)

    def _start_call(self, view: RecordView | None, phone: str = "") -> None:
        if phone:
            self.finder.box.clear()  # the next call is not from there
        self._turn_to(self.call)
        self.call.keep_so_far()
        self.call.start(view, phone=phone)

    def _call_taken(self, taken: CallTaken) -> None:
        """Show the call in the day, ready to be booked, and its record."""
        self.right.setCurrentWidget(self.welcome)
        self.day.booking.setEnabled(True)
        self.day.booking.setFocus()
        self.day.look_for(taken.visit_id)
        if taken.customer_id is not None:
            self._open_record(taken.customer_id)

    def _leave_call(self) -> None:
        self.right.setCurrentWidget(self.record if self.record.view else self.welcome)
        self.finder.take_focus()

    def _new_customer(self) -> None:
        from desk.windows.record import forms

        form = forms.new_customer(self._queue)
        form.kept.connect(self._customer_entered)
        self._show_form(form)

    def _show_form(self, form: Form) -> None:
        """Put a form in the record's place; one of the same place that was put aside goes on."""
        self._put_aside()
        for before in self._aside:
            if before.half_typed.place == form.half_typed.place:
                self._aside.remove(before)
                form.half_typed.begin("")
                form.deleteLater()
                self._bring_back(before)
                return
        self._form = form
        form.left.connect(self._leave_form)
        self.right.addWidget(form)
        self.right.setCurrentWidget(form)
        form.take_focus()

    def _put_aside(self) -> None:
        """Keep a form in which something was typed for later; drop one that says nothing."""
        form, self._form = self._form, None
        if form is None:
            return
        if form.is_begun():
            self._aside.append(form)
            self.steps.put_aside(form.title)
        else:
            self.right.removeWidget(form)
            form.deleteLater()

    def _leave_form(self) -> None:
        if self.right.currentWidget() is self._form:
            self._leave_call()
        self._put_aside()

    def _turn_to(self, pane: QWidget) -> None:
        """Show a pane; a form that stood there is put aside with what was typed in it."""
        self.right.setCurrentWidget(pane)
        self._put_aside()

    def _go_on(self) -> None:
        """Bring back the form that was put aside last."""
        if self._aside:
            form = self._aside.pop()
            self._put_aside()
            self._bring_back(form)

    def _bring_back(self, form: Form) -> None:
        self._form = form
        self.right.setCurrentWidget(form)
        form.take_focus()
        self.steps.clear()

    def _leave_what_is_out_of_date(self) -> None:
        """Leave a form that shows what was just taken back; one with something typed stays."""
        seen = self.right.currentWidget()
        if self._call is not None and seen is self._call:
            self._call.start()
            self._leave_call()
        elif self._form is not None and seen is self._form and not self._form.is_begun():
            self._leave_form()

    def _move(self, action: QAction) -> None:
        self.day.shift(action.data())

    def _call_off(self) -> None:
        """Call off the visit that is marked; Ctrl+Z takes it back."""
        visit = self.day.marked()
        if visit is None:
            return
        reason = self._prompts.reason(
            _("Call off {number}", number=visit.number), _("Why is the visit called off?")
        )
        if reason is None:
            return
        from desk.records.actions.entering import CallOff

        command = CallOff(visit.visit_id, reason)
        self._queue.act(self, command, self._called_off, self.steps.tell)

    def _called_off(self, _answer: object) -> None:
        self.day.take_focus()

    def _write_outcome(self, visit_id: uuid.UUID) -> None:
        """Ask what became of a danger; after it the call can be booked."""
        from desk.windows.record import forms

        form = forms.danger_outcome(self._queue, visit_id)
        form.kept.connect(self._outcome_written)
        self._show_form(form)
        self.day.look_for(visit_id)

    def _outcome_written(self, _answer: object) -> None:
        self.day.booking.setEnabled(True)
        self.day.booking.setFocus()

    def _customer_entered(self, customer_id: object) -> None:
        if isinstance(customer_id, uuid.UUID):
            self._open_record(customer_id)

    def _open_repeats(self) -> None:
        from desk.windows.recurrence.window import RepeatsWindow

        repeats = RepeatsWindow(self._queue, self._prompts, self)
        repeats.opened.connect(self.open_visit)
        repeats.show()

    def _open_reports(self) -> None:
        from desk.windows.documents.reports_window import ReportsWindow

        day = self.day.shown_day() or self._queue.now().date()
        ReportsWindow(self._queue, self._prompts, day, self).show()

    def _open_parts(self) -> None:
        from desk.windows.back_office.parts_window import PartsWindow

        PartsWindow(self._queue, self._prompts, self).show()

    def _open_orders(self) -> None:
        from desk.windows.back_office.orders_window import OrdersWindow

        OrdersWindow(self._queue, self._prompts, self).show()

    def _open_people(self) -> None:
        from desk.windows.back_office.people_window import PeopleWindow

        PeopleWindow(self._queue, self).show()

    def _open_withdrawn(self) -> None:
        from desk.windows.counter.restore_window import WithdrawnWindow

        WithdrawnWindow(self._queue, self).show()

    def _open_shop(self) -> None:
        from desk.windows.back_office.shop_window import ShopWindow

        ShopWindow(self._queue, self._prompts, self).show()

    def _open_bringing_in(self) -> None:
        from desk.windows.back_office.import_window import BringingInWindow

        BringingInWindow(self._queue, self._prompts, self).show()

    def _open_own_checks(self) -> None:
        open_own_checks(self._queue, self)

    def _ask_for_look(self, action: QAction) -> None:
        self.look_asked.emit(action.data())

    def _ask_for_text_size(self, action: QAction) -> None:
        self.text_size_asked.emit(action.data())

    def _ask_for_other(self) -> None:
        self.other_office_asked.emit()

    def _show_saved(self, when: datetime) -> None:
        self.saved.setText(saved_words(when, self._queue.zone))

    def _look_again(self, _change: object) -> None:
        self.day.refresh()
        self.record.refresh()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what was typed, here and on the sheets that are open."""
        if self._call is not None:
            self._call.keep_so_far()
        for sheet in list(self._sheets.values()):
            sheet.close()
        super().closeEvent(event)
