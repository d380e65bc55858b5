"""The fields of a new call: who, where, which appliance, what they say, and when we come."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from desk.base.texts import _, say
from desk.records.fields.address_fields import Address
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.field import fields_of
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.views.call import CallerDetails, NewCaller
from desk.records.views.customer_record import ApplianceCard, PremisesCard
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from desk.windows.forms.field_lines import form_lines, some_lines
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.kit.words import ROLES, options
from desk.windows.record.forms import (
    told_appliance,
    told_appliance_entries,
)
from desk.windows.record.model_values import ModelValues
from desk.windows.record.pane import appliance_words
from desk.windows.work.work_queue import WorkQueue

_FIRST = {"role": "owner", "sensing_kind": NOT_KNOWN, "complaint": "no_response"}
"""What lists say before anybody has chosen."""


_WIDTHS = {1: (12,), 2: (6, 6), 3: (4, 4, 4), 4: (4, 3, 3, 2)}
"""How wide the entries of a line are, in twelfths of it."""


class CallEntries(QWidget):
    """One form for all of it; a caller, a place or an appliance that is known is chosen instead.

    Signals:
        about: the complaint, or the appliance that it is of, is another.
    """

    about = Signal()

    def __init__(self, queue: WorkQueue, when: Field) -> None:
        super().__init__()
        says = {one.name: say(one.label) for one in fields_of(CallDetails)}
        self.phone = TypedLine("phone", says["caller_phone"])
        self.name = TypedLine("name", says["caller_name"])
        self.premises = ChoiceLine("premises", says["premises_id"], ())
        self.address = form_lines(Address, queue.calendar(), "new")
        self.role = ChoiceLine("role", _("The caller is"), options(ROLES))
        [self.access] = some_lines(PremisesDetails, queue.calendar(), "access_note")
        self.appliance = ChoiceLine("appliance", says["appliance_id"], ())
        self.plate = told_appliance_entries(queue)
        self.words = TypedText("words", says["words"], lines=2)
        [self.complaint] = some_lines(CallDetails, queue.calendar(), "complaint")
        self.when = when
        self._places: tuple[PremisesCard, ...] = ()
        self._own: tuple[PremisesCard, ...] = ()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(14)
        for row, entries in enumerate(self._lines()):
            column = 0
            for entry, width in zip(entries, _WIDTHS[len(entries)], strict=True):
                grid.addWidget(entry, row, column, 1, width)
                column += width
        for column in range(sum(_WIDTHS[1])):
            grid.setColumnStretch(column, 1)
        self._model = ModelValues(queue, {entry.key: entry for entry in self.plate}, self)
        self.premises.changed.connect(self._premises_chosen)
        self.appliance.changed.connect(self._appliance_chosen)
        self.complaint.changed.connect(self.about)

    def _lines(self) -> list[list[Field]]:
        """Return the entries line by line, one to four in each."""
        street, town, region, postcode = self.address
        kind, sensing, maker, model, serial = self.plate
        return [
            [self.phone, self.name],
            [self.premises],
            [street, town, region, postcode],
            [self.role, self.access],
            [self.appliance],
            [kind, sensing],
            [maker, model, serial],
            [self.words],
            [self.complaint],
            [self.when],
        ]

    def of_call(self) -> Mapping[str, Field]:
        """Return the entries that a call itself keeps, by the names of its fields."""
        return {
            "caller_name": self.name,
            "caller_phone": self.phone,
            "complaint": self.complaint,
            "words": self.words,
            "premises_id": self.premises,
            "appliance_id": self.appliance,
        }

    def all(self) -> list[Field]:
        """Return every entry, in the order in which they are told."""
        return [entry for line in self._lines() for entry in line]

    def clear(self) -> None:
        """Show nothing of the call before."""
        self._model.forget()
        for entry in self.all():
            entry.show_error("")
            entry.put(_FIRST.get(entry.key, ""))

    def settle(self) -> None:
        """Know that what stands there is kept, or was never typed."""
        for entry in self.all():
            entry.settle()

    def offer_places(
        self, own: Sequence[PremisesCard], other: PremisesCard | None, *, is_known: bool
    ) -> None:
        """Offer the premises of a caller, and other ones that the call is about.

        Only the one that it can be is chosen at once: a wrong house is worse than none.

        Args:
            own: those that the caller is tied to.
            other: those of somebody else.
            is_known: the caller is in the records.
        """
        self._own = tuple(own)
        strange = [other] if other and other.premises_id not in self._keys_of(own) else []
        self._places = (*own, *strange)
        new = _("Somewhere new")
        if is_known:
            several = _("Somewhere else, or not said yet")
            new = several if len(self._places) > 1 else _("Somewhere else")
        self.premises.offer(
            (*((str(card.premises_id), ", ".join(card.line.address)) for card in self._places),
             ("", new))
        )  # fmt: skip
        _choose_the_only_one(self.premises)
        self.premises.setVisible(bool(self._places))
        self._premises_chosen()

    def choose(self, premises: object, appliance: object = None) -> None:
        """Choose premises, and an appliance there; None leaves what is chosen."""
        if premises is not None:
            self.premises.put(str(premises))
            self._premises_chosen()
        if appliance is not None:
            self.appliance.put(str(appliance))
            self._appliance_chosen()

    @staticmethod
    def _keys_of(cards: Sequence[PremisesCard]) -> set[object]:
        return {card.premises_id for card in cards}

    def _place(self) -> PremisesCard | None:
        chosen = self.premises.text()
        return next((card for card in self._places if str(card.premises_id) == chosen), None)

    def _premises_chosen(self) -> None:
        """Offer the appliances of the premises; a new place shows the lines of an address."""
        card = self._place()
        for entry in (*self.address, self.access):
            entry.setVisible(card is None)
        self.role.setVisible(card is None or card not in self._own)
        known: tuple[ApplianceCard, ...] = card.appliances if card else ()
        self.appliance.offer(
            (*((str(one.appliance_id), appliance_words(one.line)) for one in known),
             ("", _("Another one, or not known which")))
        )  # fmt: skip
        _choose_the_only_one(self.appliance)
        self.appliance.setVisible(bool(known))
        self._appliance_chosen()

    def _appliance_chosen(self) -> None:
        """Show the lines of an appliance where it is another one."""
        for entry in self.plate:
            entry.setVisible(not self.appliance.text())
        self.about.emit()

    def next_to_ask(self, *, is_known: bool) -> Field:
        """Return what is asked next: who calls, which of several places, then what is wrong.

        Args:
            is_known: the caller is in the records.
        """
        if not is_known:
            return self.name if self.phone.text() else self.phone
        is_open = len(self._places) > 1 and self._place() is None
        return self.premises if is_open else self.words

    def ask_for_model(self) -> None:
        """Fill in what is known of a model that was typed before."""
        self._model.ask()

    def told(self, *, is_known: bool) -> CallerDetails:
        """Return what is likely in the records already, as far as it was typed.

        Args:
            is_known: the caller is; only where, and which appliance, are asked about.
        """
        is_new_place = self._place() is None
        return CallerDetails(
            phone="" if is_known else self.phone.text().strip(),
            address=self._address() if is_new_place else Address(),
            serial="" if self.appliance.text() else self.plate[-1].text().strip(),
        )

    def _address(self) -> Address:
        return Address(**{entry.key: entry.text() for entry in self.address})

    def new_caller(self, call: CallDetails) -> NewCaller | None:
        """Return what has to be entered with a call; None where all of it is known."""
        typed = {entry.key: entry.text() for entry in self.all()}
        appliance = None
        if call.appliance_id is None:
            appliance = told_appliance(typed, self._model.beyond)
        is_theirs = call.customer_id is not None and self._place() in self._own
        if is_theirs and appliance is None:
            return None
        is_new_place = call.premises_id is None
        return NewCaller(
            name=typed["name"],
            phone=typed["phone"],
            address=self._address() if is_new_place else Address(),
            access_note=typed["access_note"] if is_new_place else "",
            role=typed["role"] or "owner",
            appliance=appliance,
        )


def _choose_the_only_one(line: ChoiceLine) -> None:
    """Choose what is offered beside the last entry, where it is only one."""
    last = line.box.count() - 1
    line.box.setCurrentIndex(0 if last == 1 else last)
