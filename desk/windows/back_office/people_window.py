"""The people of the shop: who goes out, and which licensed work they may do."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.records.actions import Query
from desk.records.actions.shop import SeePeople
from desk.records.views.shop import PersonCard
from desk.windows.forms.list_window import ListWindow
from desk.windows.kit.item_models import TableColumn
from desk.windows.record import forms
from desk.windows.work.work_queue import WorkQueue


def _may(person: PersonCard) -> str:
    work = (
        (person.may_plumbing, _("plumbing")),
        (person.may_electrical, _("electrical")),
        (person.may_gas, _("gas")),
    )
    return ", ".join(words for may, words in work if may)


def _licence(person: PersonCard) -> str:
    return " ".join(part for part in (person.licence_class, person.licence_number) if part)


class PeopleWindow(ListWindow[PersonCard]):
    """Everybody of the shop as a table; enter and mend them."""

    def __init__(self, queue: WorkQueue, parent: QWidget | None = None) -> None:
        columns: tuple[TableColumn[PersonCard], ...] = (
            TableColumn(_("Name"), lambda person: person.name),
            TableColumn(_("Goes out"), lambda person: _("yes") if person.is_technician else "–"),
            TableColumn(_("May do"), _may),
            TableColumn(_("Licence"), _licence),
            TableColumn(_("Phone"), lambda person: person.phone),
        )
        super().__init__(queue, "people", _("People of the shop"), columns, parent)
        self._build(
            _("People of the shop"),
            _("Nobody is entered yet. New technician enters the first."),
            (
                ("person_new", _("New technician"), self._enter),
                ("person_mend", _("Mend"), self._mend),
            ),
            QSize(760, 420),
        )

    def _question(self) -> Query[tuple[PersonCard, ...]]:
        return SeePeople()

    def _enter(self) -> None:
        self._open(forms.person_form(self._queue))

    def _mend(self) -> None:
        person = self.marked()
        if person is not None:
            self._open(forms.person_form(self._queue, person))
