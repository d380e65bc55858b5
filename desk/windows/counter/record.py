"""The record that is open: customer, premises, appliances, and every visit in one dated line."""

from __future__ import annotations

import uuid
from html import escape
from types import ModuleType
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QModelIndex, QObject, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from desk.errors import DeskError
from desk.records.deeds.counter import SeeRecord
from desk.records.views import ApplianceCard, HistoryLine, PremisesCard, RecordView
from desk.trade.bookings import say_day
from desk.windows.labels import text_label
from desk.windows.rows import Line, LineModel
from desk.windows.words import APPLIANCE_KINDS, ROLES, state_words
from desk.windows.worker import Desk
from desk.wording import _, plural

if TYPE_CHECKING:
    from desk.records.snapshots import ApplianceLine, UnitSystem


class RecordPane(QWidget):
    """Shows a customer's record.

    Signals:
        opened: the key of a visit to open.
        call_asked: the record, to start a new call from.
        form_asked: a form (`Form`) to stand in the record's place.
        gone: the record is no longer there, such as one that was taken back.
        labels_asked: the key of premises whose appliances are to be labelled.
    """

    opened = Signal(object)
    call_asked = Signal(object)
    form_asked = Signal(object)
    gone = Signal(str)
    labels_asked = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.view: RecordView | None = None
        self.head = text_label(name="record_head", loud=True)
        self.reach = text_label(name="record_reach")
        self.call = self._button("record_call", _("New call"), self._ask_for_call)
        self.mend = self._button("record_mend", _("Mend the customer"), self._mend)
        self.premises = self._button("record_premises", _("Add premises"), self._add_premises)
        buttons = QHBoxLayout()
        for button in (self.call, self.mend, self.premises):
            buttons.addWidget(button)
        buttons.addStretch(1)
        self._places = QVBoxLayout()
        self._places.setContentsMargins(0, 0, 0, 0)
        places = QWidget()
        places.setLayout(self._places)
        self._scroll = _AsHighAsNeeded(places)
        self.model = LineModel()
        self.history = QListView()
        self.history.setObjectName("history")
        self.history.setAccessibleName(_("Visits, newest first"))
        self.history.setWordWrap(True)
        self.history.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.history.setModel(self.model)
        self.empty = text_label(_("No visit yet. New call writes down the first."), "no_history")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.head)
        column.addWidget(self.reach)
        column.addLayout(buttons)
        column.addWidget(self._scroll, 2)
        column.addWidget(text_label(_("Visits, newest first"), loud=True))
        column.addWidget(self.empty, 1, Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.history, 3)
        self.history.activated.connect(self._activated)

    def _button(self, name: str, words: str, slot: object) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.clicked.connect(slot)
        return button

    def open(self, customer_id: uuid.UUID) -> None:
        """Open a customer's record."""
        self._desk.ask(self, SeeRecord(customer_id), self.show_record, self._failed, key="record")

    def look(self) -> None:
        """Look at the open record again."""
        if self.view is not None:
            self.open(self.view.customer_id)

    def show_record(self, view: RecordView) -> None:
        """Show a record."""
        self.view = view
        self.head.setText(view.customer.name)
        ways = (*view.customer.phones, *view.customer.emails, *view.customer.address, view.note)
        self.reach.setText("  ·  ".join(way for way in ways if way))
        self._show_places(view)
        self.model.show_lines(
            [Line(history_words(line, view.letterhead.system), line) for line in view.history]
        )
        self.empty.setVisible(not view.history)
        self.history.setVisible(bool(view.history))

    def _show_places(self, view: RecordView) -> None:
        while (item := self._places.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.setParent(None)
                widget.deleteLater()
        if not view.premises:
            self._places.addWidget(
                text_label(_("No premises yet. Add premises says where the work is."), "no_places")
            )
        for card in view.premises:
            place = _Place(card)
            place.add_appliance.connect(self._add_appliance)
            place.mend_asked.connect(self._mend_premises)
            place.appliance_asked.connect(self._mend_appliance)
            place.labels_asked.connect(self.labels_asked)
            self._places.addWidget(place)
        self._places.addStretch(1)
        self._order_tabs()

    def _order_tabs(self) -> None:
        """Let Tab go through the premises where they are seen, before the visits."""
        before: QWidget = self.premises
        for place in self.findChildren(_Place):
            for button in place.findChildren(QPushButton):
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
            self.form_asked.emit(_forms().mend_customer(self._desk, self.view))

    def _add_premises(self) -> None:
        if self.view is not None:
            self.form_asked.emit(_forms().new_premises(self._desk, self.view.customer_id))

    def _mend_premises(self, card: PremisesCard) -> None:
        self.form_asked.emit(_forms().mend_premises(self._desk, card))

    def _add_appliance(self, premises_id: uuid.UUID) -> None:
        self.form_asked.emit(_forms().new_appliance(self._desk, premises_id))

    def _mend_appliance(self, card: ApplianceCard) -> None:
        self.form_asked.emit(_forms().mend_appliance(self._desk, card))

    def _failed(self, error: DeskError) -> None:
        """Say why there is no record."""
        self.view = None
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

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for another height when what is inside has changed."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def sizeHint(self) -> QSize:
        """Return the size of what is inside."""
        inside = self.widget()
        layout = inside.layout() if inside else None
        if layout is None:
            return super().sizeHint()
        layout.activate()
        width = self.viewport().width()
        height = layout.heightForWidth(width) if layout.hasHeightForWidth() else -1
        return QSize(layout.sizeHint().width(), max(height, layout.sizeHint().height()) + 2)


class _Place(QWidget):
    """Premises with their appliances, and what can be done about them."""

    add_appliance = Signal(object)
    mend_asked = Signal(object)
    appliance_asked = Signal(object)
    labels_asked = Signal(object)

    def __init__(self, card: PremisesCard) -> None:
        super().__init__()
        self._card = card
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 4)
        column.setSpacing(2)
        role = ROLES.get(card.role)
        where = ", ".join(card.line.address)
        column.addWidget(text_label(f"{where}   ({role})" if role else where, loud=True))
        facts = (card.line.access_note, card.line.supply_area, card.line.water_source,
                 card.line.fuel)  # fmt: skip
        if any(facts):
            column.addWidget(text_label("  ·  ".join(fact for fact in facts if fact)))
        for appliance in card.appliances:
            line = _ApplianceButton(appliance)
            line.asked.connect(self.appliance_asked)
            column.addWidget(line)
        row = QHBoxLayout()
        street = card.line.address[0] if card.line.address else ""
        for name, words, slot in (
            ("add_appliance", _("Add an appliance"), self._ask_to_add),
            ("mend_premises", _("Mend the premises"), self._ask_to_mend),
            *((("labels", _("Print labels"), self._ask_for_labels),) if card.appliances else ()),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.setAccessibleName(f"{words}, {street}")
            button.clicked.connect(slot)
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)

    def _ask_to_add(self) -> None:
        self.add_appliance.emit(self._card.premises_id)

    def _ask_to_mend(self) -> None:
        self.mend_asked.emit(self._card)

    def _ask_for_labels(self) -> None:
        self.labels_asked.emit(self._card.premises_id)


class _ApplianceButton(QPushButton):
    """An appliance in a line; pressing it opens its form."""

    asked = Signal(object)

    def __init__(self, card: ApplianceCard) -> None:
        words = appliance_words(card.line)
        super().__init__(words.replace("&", "&&"))  # a button would take & for a key
        self._card = card
        self.setObjectName(f"appliance_{card.line.number}")
        self.setStyleSheet("text-align: left")
        # A long name is cut off at the pane's edge and told whole by the tip.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(words)
        self.setToolTip(escape(words))
        self.clicked.connect(self._ask)

    def _ask(self) -> None:
        self.asked.emit(self._card)


def _forms() -> ModuleType:
    """Return the forms, which are imported when the first one is asked for."""
    from desk.windows.counter import entering

    return entering


def appliance_words(line: ApplianceLine) -> str:
    """Return an appliance in a line: what it is, its number, serial and year."""
    named = " ".join(part for part in (line.maker, line.model) if part)
    kind = str(APPLIANCE_KINDS.get(line.kind, line.kind))
    year = _("since {year}", year=line.installed.year) if line.installed else ""
    serial = _("serial {serial}", serial=line.serial) if line.serial else ""
    return "  ·  ".join(part for part in (named or kind, line.number, serial, year) if part)


def history_words(line: HistoryLine, system: UnitSystem) -> str:
    """Return a visit as a dated line: complaint, cause, parts, flow, and how soon it came back."""
    back = (
        plural("↺ {count} day after {number}", "↺ {count} days after {number}", line.days_since,
               number=line.repeats)
        if line.days_since is not None
        else ""
    )  # fmt: skip
    flow = _flow_words(line.flow_m3_per_s, system)
    first = (say_day(line.day), line.number, line.complaint_text, state_words(line.state))
    second = (back, line.cause, ", ".join(line.parts), flow, line.technician)
    return (
        "  ·  ".join(part for part in first if part)
        + "\n      "
        + ("  ·  ".join(part for part in second if part) or line.words)
    )


def _flow_words(flow_m3_per_s: float | None, system: UnitSystem) -> str:
    """Return a flow in the shop's units, "" where none was measured."""
    if flow_m3_per_s is None:
        return ""
    from desk.trade.quantities import Kind, System, show

    return show(flow_m3_per_s, Kind.VOLUME_RATE, System(system))
