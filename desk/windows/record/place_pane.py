"""The place that is opened in a record: its people and appliances, now and before."""

from __future__ import annotations

import uuid
from functools import partial
from types import ModuleType

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from desk.base.texts import _, message
from desk.records.views.customer_record import ApplianceCard, GoneAppliance, PlaceView
from desk.windows.forms.more_button import MoreButton
from desk.windows.kit.labels import key_free, text_label, tip_text
from desk.windows.kit.words import ROLES
from desk.windows.record.phrases import DOT, appliance_words, gone_words, tie_words
from desk.windows.work.work_queue import WorkQueue

_OF_PREMISES = (
    ("hands", message("Owner, occupant or agent changes")),
    ("moved_out", message("Somebody moved out")),
    ("join", message("Join with the same premises")),
    ("withdraw", message("Withdraw the premises")),
)
_OF_APPLIANCE = (
    ("replace", message("It was replaced")),
    ("join", message("Join with the same appliance")),
    ("withdraw", message("Withdraw the appliance")),
)


class PlacePane(QWidget):
    """Premises with their people and appliances, and what can be done about them.

    Signals:
        form_asked: a form (`Form`) to stand in the record's place.
        deed_asked: a command to hand in.
        labels_asked: the key of premises whose appliances are to be labelled.
        history_asked: the appliance (`ApplianceCard`, `GoneAppliance`) whose history is asked for.
    """

    form_asked = Signal(object)
    deed_asked = Signal(object)
    labels_asked = Signal(object)
    history_asked = Signal(object)

    def __init__(self, queue: WorkQueue, view: PlaceView, customer_id: uuid.UUID) -> None:
        super().__init__()
        self.setObjectName("place")
        self._queue, self._view, self._card = queue, view, view.card
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 4)
        column.setSpacing(2)
        for name, text in self._texts(customer_id).items():
            if text:
                column.addWidget(text_label(text, name, loud=name == "place_head"))
        for appliance in view.appliances:
            row = _ApplianceRow(appliance, can_join=len(view.appliances) > 1)
            row.asked.connect(self._do_to_appliance)
            column.addWidget(row)
        for gone in view.gone:
            column.addLayout(self._gone(gone))
        column.addLayout(self._verbs())
        column.addStretch(1)  # room to spare stays below, not between the lines

    def _texts(self, customer_id: uuid.UUID) -> dict[str, str]:
        """Return what stands above the appliances, by the names of the labels."""
        card, ties = self._card, self._view.ties
        role = ROLES.get(card.role) if card.until is None else None
        where = ", ".join(card.line.address)
        now = [tie for tie in ties if tie.until is None]
        before = [tie for tie in ties if tie.until is not None]
        if [(tie.customer_id, tie.since) for tie in now] == [(customer_id, None)]:
            now = []  # the head says it already
        facts = (card.line.access_note, card.line.supply_area, card.line.water_source,
                 card.line.fuel)  # fmt: skip
        return {
            "place_head": f"{where}   ({role})" if role else where,
            "place_facts": DOT.join(fact for fact in facts if fact),
            "place_now": DOT.join(map(tie_words, now)),
            "place_before": _("Before: {people}", people=DOT.join(map(tie_words, before)))
            if before
            else "",
            "place_joined": _("Also entered as: {others}", others="; ".join(self._view.joined))
            if self._view.joined
            else "",
        }

    def _gone(self, gone: GoneAppliance) -> QHBoxLayout:
        """Return the line of what is there no longer; its history stays, and is asked for here."""
        row = QHBoxLayout()
        row.addWidget(text_label(gone_words(gone), f"gone_{gone.line.number}"), 1)
        if gone.why != "joined":  # its visits are those of the one that it was joined into
            button = _history_button(gone.line.number)
            button.clicked.connect(partial(self.history_asked.emit, gone))
            row.addWidget(button)
        return row

    def _verbs(self) -> QHBoxLayout:
        row = QHBoxLayout()
        street = self._card.details.street
        labels = (("labels", _("Print labels"), self._ask_for_labels),)
        for name, words, slot in (
            ("add_appliance", _("Add an appliance"), self._add_appliance),
            ("mend_premises", _("Mend the premises"), self._mend),
            *(labels if self._view.appliances else ()),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.setAccessibleName(f"{words}, {street}")
            button.clicked.connect(slot)
            row.addWidget(button)
        more = MoreButton("premises", street, _OF_PREMISES)
        more.asked.connect(self._do_to_premises)
        row.addWidget(more)
        row.addStretch(1)
        return row

    def _add_appliance(self) -> None:
        self.form_asked.emit(_entering().new_appliance(self._queue, self._card.premises_id))

    def _mend(self) -> None:
        self.form_asked.emit(_entering().mend_premises(self._queue, self._card))

    def _ask_for_labels(self) -> None:
        self.labels_asked.emit(self._card.premises_id)

    def _do_to_premises(self, verb: str) -> None:
        from desk.records.actions.belonging import WithdrawPremises
        from desk.windows.record import merge_forms, tie_forms

        if verb == "withdraw":
            self.deed_asked.emit(WithdrawPremises(self._card.premises_id))
        elif verb == "join":
            self.form_asked.emit(merge_forms.join_premises(self._queue, self._card))
        elif verb == "hands":
            self.form_asked.emit(tie_forms.change_hands(self._queue, self._card))
        else:
            self.form_asked.emit(tie_forms.moved_out(self._queue, self._view))

    def _do_to_appliance(self, verb: str, card: ApplianceCard) -> None:
        from desk.records.actions.belonging import WithdrawAppliance
        from desk.windows.record import merge_forms, tie_forms

        if verb == "history":
            self.history_asked.emit(card)
        elif verb == "withdraw":
            self.deed_asked.emit(WithdrawAppliance(card.appliance_id))
        elif verb == "join":
            self.form_asked.emit(merge_forms.join_appliance(self._queue, self._view, card))
        elif verb == "replace":
            self.form_asked.emit(tie_forms.replace_appliance(self._queue, self._view, card))
        else:
            self.form_asked.emit(_entering().mend_appliance(self._queue, card))


class _ApplianceRow(QWidget):
    """An appliance in a line: pressing it opens its form; beside it its history, and more.

    Signals:
        asked: the id of a verb, and the appliance.
    """

    asked = Signal(str, object)

    def __init__(self, card: ApplianceCard, *, can_join: bool) -> None:
        super().__init__()
        self._card = card
        number, words = card.line.number, appliance_words(card.line, card.replaces)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        line = QPushButton(key_free(words))
        line.setObjectName(f"appliance_{number}")
        line.setStyleSheet("text-align: left")
        # A long name is cut off at the pane's edge and told whole by the tip.
        line.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        line.setAccessibleName(words)
        line.setToolTip(tip_text(words))
        line.clicked.connect(self._mend)
        row.addWidget(line, 1)
        history = _history_button(number)
        history.clicked.connect(self._ask_for_history)
        row.addWidget(history)
        verbs = tuple(verb for verb in _OF_APPLIANCE if can_join or verb[0] != "join")
        more = MoreButton(number, number, verbs)
        more.asked.connect(self._ask)
        row.addWidget(more)

    def _mend(self) -> None:
        self._ask("mend")

    def _ask_for_history(self) -> None:
        self._ask("history")

    def _ask(self, verb: str) -> None:
        self.asked.emit(verb, self._card)


def _history_button(number: str) -> QPushButton:
    button = QPushButton(_("History"))
    button.setObjectName(f"history_{number}")
    button.setAccessibleName(_("History of {number}", number=number))
    return button


def _entering() -> ModuleType:
    """Return the forms, which are imported when the first one is asked for."""
    from desk.windows.record import forms

    return forms
