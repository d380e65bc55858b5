"""The record that is open: the customer, their premises, and every visit in one dated line."""

from __future__ import annotations

import uuid
from dataclasses import replace
from types import ModuleType
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QModelIndex, QObject, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListView,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import DeskError
from desk.base.texts import _, message
from desk.records.actions import Query
from desk.records.actions.counter import SeeOpened, SeeRecord, SeeVisits
from desk.records.views.customer_record import HistoryLine, PlaceView, RecordView, VisitPage
from desk.windows.forms.more_button import MoreButton
from desk.windows.kit.item_models import Line, PagedModel
from desk.windows.kit.labels import brief, text_label, tip_text
from desk.windows.record.phrases import appliance_words, history_words
from desk.windows.record.place_list import PlacesList
from desk.windows.record.place_pane import PlacePane
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.records.actions import Command

__all__ = ["RecordPane", "appliance_words"]

_LONGEST_HEAD, _LONGEST_REACH = 100, 400

_OF_CUSTOMER = (
    ("join", message("Join with the same customer")),
    ("withdraw", message("Withdraw the customer")),
)


class RecordPane(QWidget):
    """Shows a customer's record; of several premises the one that is chosen.

    Signals:
        opened: the key of a visit to open.
        call_asked: the record, to start a new call from.
        form_asked: a form (`Form`) to stand in the record's place.
        gone: the record is no longer there, such as one that was taken back.
        labels_asked: the key of premises whose appliances are to be labelled.
        history_asked: the appliance (`ApplianceCard`, `GoneAppliance`) whose history is asked for.
        refused: why something was not done (`DeskError`).
    """

    opened = Signal(object)
    call_asked = Signal(object)
    form_asked = Signal(object)
    gone = Signal(str)
    labels_asked = Signal(object)
    history_asked = Signal(object)
    refused = Signal(object)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self.view: RecordView | None = None
        self._all = QWidget()  # what says something of the customer
        self._all.hide()
        self.loading = text_label(_("Loading …"), "record_loading")
        self.head = text_label(name="record_head", loud=True)
        self.reach = text_label(name="record_reach")
        self.joined = text_label(name="record_joined")
        self.call = self._button("record_call", _("New call"), self._ask_for_call)
        self.mend = self._button("record_mend", _("Mend the customer"), self._mend)
        self.premises = self._button("record_premises", _("Add premises"), self._add_premises)
        self.more = MoreButton("customer", _("the customer"), _OF_CUSTOMER)
        self.more.asked.connect(self._do_to_customer)
        self.places = PlacesList()
        self.places.chosen.connect(self._open_place)
        self._scroll = _AsHighAsNeeded(QWidget())
        self._seen: object = None
        self._older: Query[VisitPage] | None = None
        self._listed: object = None
        self._wanted: object = None
        self.model = PagedModel()
        self.model.wanted.connect(self._look_for_older)
        self.history = QListView()
        self.history.setObjectName("history")
        self.history.setAccessibleName(_("Visits, newest first"))
        self.history.setWordWrap(True)
        self.history.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.history.setModel(self.model)
        self.history.activated.connect(self._activated)
        self.title = text_label(name="history_head", loud=True)
        self.empty = text_label(_("No visit yet. New call writes down the first."), "no_history")
        self._lay_out()

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for button in (self.call, self.mend, self.premises, self.more):
            buttons.addWidget(button)
        buttons.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.loading, 0, Qt.AlignmentFlag.AlignTop)
        whole.addWidget(self._all)
        column = QVBoxLayout(self._all)
        column.setContentsMargins(0, 0, 0, 0)
        for label in (self.head, self.reach, self.joined):
            column.addWidget(label)
        column.addLayout(buttons)
        column.addWidget(self.places)
        column.addWidget(self._scroll, 4)
        column.addWidget(self.title)
        column.addWidget(self.empty, 1, Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.history, 3)

    def _button(self, name: str, words: str, slot: object) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.clicked.connect(slot)
        return button

    def open(self, customer_id: uuid.UUID, at: uuid.UUID | None = None) -> None:
        """Open a customer's record at some premises: by their key, an appliance's or a visit's.

        Until the answer comes nothing is said of anybody, nor done for the one before.
        """
        if self.view is not None and self.view.customer_id != customer_id:
            self.view = None
            self._show_all(is_there=False)
        look = SeeRecord(customer_id, at)
        self._queue.ask(self, look, self.show_record, self._failed, key="record")

    def refresh(self) -> None:
        """Look at the open record again."""
        if self.view is not None:
            at = self.view.at.card.premises_id if self.view.at else None
            self.open(self.view.customer_id, at)

    def show_record(self, view: RecordView) -> None:
        """Show a record."""
        self.view = view
        self._show_all(is_there=True)
        self.head.setText(brief(view.customer.name, _LONGEST_HEAD))
        line = view.customer
        ways = (*line.phones, *line.emails, *line.address, view.details.note)
        reach = "  ·  ".join(way for way in ways if way)
        self.reach.setText(brief(reach, _LONGEST_REACH))
        self.reach.setToolTip(tip_text(reach if len(reach) > _LONGEST_REACH else ""))
        others = brief("; ".join(view.joined), _LONGEST_REACH)
        self.joined.setText(_("Also entered as: {others}", others=others))
        self.joined.setVisible(bool(view.joined))
        self.places.show_places(view.premises, view.former)
        self._show_place(view)

    def _show_all(self, *, is_there: bool) -> None:
        self._all.setVisible(is_there)
        self.loading.setVisible(not is_there)

    def _show_place(self, view: RecordView) -> None:
        """Show the place that is opened, and the visits to it or to all of them."""
        at = view.at
        self.places.mark(at.card.premises_id if at else None)
        seen = (view.customer_id, at and replace(at, visits=None), bool(view.premises))
        if seen != self._seen:  # a menu that is open there stays open
            self._seen = seen
            self._scroll.show_inside(self._place(view))
            self._order_tabs()
        page = at.visits if at else None
        self.title.setText(
            _("Visits to {street}, newest first", street=at.card.details.street)
            if at and page
            else _("Visits, newest first")
        )
        self._show_visits(page or VisitPage(view.history, view.more))

    def _place(self, view: RecordView) -> QWidget:
        if view.at is not None:
            place = PlacePane(self._queue, view.at, view.customer_id)
            place.form_asked.connect(self.form_asked)
            place.deed_asked.connect(self._act)
            place.labels_asked.connect(self.labels_asked)
            place.history_asked.connect(self.history_asked)
            return place
        if view.premises or view.former:
            said = _("Choose a place above to see its people, its appliances and its visits.")
            return _one_line(text_label(said, "choose_place"))
        said = _("No premises yet. Add premises says where the work is.")
        return _one_line(text_label(said, "no_places"))

    def _show_visits(self, page: VisitPage) -> None:
        """Show the newest visits; older ones that were scrolled to stay where nothing changed."""
        lines, where = self._as_lines(page), self._where()
        count = self.model.rowCount()
        has_older = count > len(lines) and page.more
        is_same = self.model.first(len(lines)) == lines and (
            has_older or (count, self.model.more) == (len(lines), page.more)
        )
        if not is_same or where != self._listed:
            self._listed, self._older = where, None
            self.model.show_page(lines, more=page.more)
        self.empty.setVisible(not lines)
        self.history.setVisible(bool(lines))

    def _as_lines(self, page: VisitPage) -> tuple[Line, ...]:
        system = self.view.letterhead.system if self.view else "us"
        return tuple(Line(history_words(line, system), line) for line in page.lines)

    def _where(self) -> tuple[uuid.UUID | None, uuid.UUID | None]:
        """Return whose visits are listed, and at which of several places."""
        if self.view is None:
            return None, None
        at = self.view.at
        return self.view.customer_id, at.card.premises_id if at and at.visits else None

    def _look_for_older(self, skip: int) -> None:
        customer_id, premises_id = self._where()
        if customer_id is None:
            return
        look = SeeVisits(customer_id, premises_id, skip)
        self._older = look

        def show(page: VisitPage) -> None:
            if self._older is look:  # nothing else is shown meanwhile
                self.model.add_page(self._as_lines(page), more=page.more)

        self._queue.ask(self, look, show, self.refused.emit, key="older")

    def _open_place(self, premises_id: object) -> None:
        """Open one of several places; None shows them all."""
        if self.view is None:
            return
        self._wanted = premises_id
        if isinstance(premises_id, uuid.UUID):
            look = SeeOpened(self.view.customer_id, premises_id)
            self._queue.ask(self, look, self._show_opened, self.refused.emit, key="place")
        else:
            self.view = replace(self.view, at=None)
            self._show_place(self.view)

    def _show_opened(self, place: PlaceView) -> None:
        if self.view is not None and self._wanted == place.card.premises_id:
            self.view = replace(self.view, at=place)
            self._show_place(self.view)

    def _order_tabs(self) -> None:
        """Let Tab go through the places and the one that is open, before the visits."""
        before: QWidget = self.more
        QWidget.setTabOrder(before, self.places)
        before = self.places
        for button in self._scroll.findChildren(QPushButton):
            QWidget.setTabOrder(before, button)
            before = button
        QWidget.setTabOrder(before, self.history)

    def _activated(self, index: QModelIndex) -> None:
        line = self.model.line(index.row()).value
        if isinstance(line, HistoryLine):
            self.opened.emit(line.visit_id)

    def _ask_for_call(self) -> None:
        self.call_asked.emit(self.view)

    def _mend(self) -> None:
        if self.view is not None:
            self.form_asked.emit(_forms().mend_customer(self._queue, self.view))

    def _add_premises(self) -> None:
        if self.view is not None:
            self.form_asked.emit(_forms().new_premises(self._queue, self.view.customer_id))

    def _do_to_customer(self, verb: str) -> None:
        if self.view is None:
            return
        if verb == "join":
            from desk.windows.record.merge_forms import join_customer

            self.form_asked.emit(join_customer(self._queue, self.view))
        else:
            from desk.records.actions.belonging import WithdrawCustomer

            self._act(WithdrawCustomer(self.view.customer_id))

    def _act(self, command: Command[object]) -> None:
        """Hand in a command; what it changed is looked at again by whoever shows it."""
        self._queue.act(self, command, _nothing, self.refused.emit)

    def _failed(self, error: DeskError) -> None:
        """Say why there is no record."""
        self.view = None
        self._show_all(is_there=False)
        self.gone.emit(str(error))


class _AsHighAsNeeded(QScrollArea):
    """Takes the height of what is inside, and scrolls only where there is less room."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setWidget(inside)

    def show_inside(self, inside: QWidget) -> None:
        """Show something else; the focus stays on what is called the same, or in the pane."""
        focus = self.window().focusWidget()
        name = focus.objectName() if focus is not None and self.isAncestorOf(focus) else ""
        self.setWidget(inside)
        self.updateGeometry()
        if name:
            again = inside.findChild(QWidget, name) or inside.findChild(QPushButton)
            if again is not None:
                again.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for another height when what is inside has changed."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for another height when lines break elsewhere."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Return the size of what is inside."""
        inside = self.widget()
        layout = inside.layout() if inside else None
        if layout is None:
            return super().sizeHint()
        layout.activate()
        width = self.viewport().width()
        wanted = layout.sizeHint()
        # The hint's own height is that of lines broken where they need not be.
        height = layout.heightForWidth(width) if layout.hasHeightForWidth() else wanted.height()
        return QSize(wanted.width(), height + 2)


def _one_line(label: QLabel) -> QWidget:
    """Return a label on top of whatever room there is."""
    inside = QWidget()
    column = QVBoxLayout(inside)
    column.setContentsMargins(0, 4, 0, 4)
    column.addWidget(label)
    column.addStretch(1)
    return inside


def _nothing(_answer: object) -> None:
    """Do nothing: what was done is seen."""


def _forms() -> ModuleType:
    """Return the forms, which are imported when the first one is asked for."""
    from desk.windows.record import forms

    return forms
