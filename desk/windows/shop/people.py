"""The people of the shop: who goes out, and which licensed work they may do."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QPushButton, QVBoxLayout, QWidget

from desk.errors import DeskError
from desk.records.deeds.lists import SeePeople
from desk.records.views import PersonCard
from desk.windows.counter import entering
from desk.windows.counter.steps import add_steps
from desk.windows.entry import plain_label
from desk.windows.forms import Form, FormDialog
from desk.windows.rows import Column, TableModel
from desk.windows.tables import fit_columns, table_of
from desk.windows.worker import Desk
from desk.wording import _


def _may(person: PersonCard) -> str:
    work = (
        (person.may_plumbing, _("plumbing")),
        (person.may_electrical, _("electrical")),
        (person.may_gas, _("gas")),
    )
    return ", ".join(words for may, words in work if may)


def _licence(person: PersonCard) -> str:
    return " ".join(part for part in (person.licence_class, person.licence_number) if part)


class PeopleWindow(QMainWindow):
    """Everybody of the shop as a table; enter and mend them."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("people")
        self.setWindowTitle(_("People of the shop"))
        self._desk = desk
        self.model = TableModel[PersonCard](
            (
                Column(_("Name"), lambda person: person.name),
                Column(_("Goes out"), lambda person: _("yes") if person.is_technician else "–"),
                Column(_("May do"), _may),
                Column(_("Licence"), _licence),
                Column(_("Phone"), lambda person: person.phone),
            )
        )
        self.table = table_of(self.model, "people_table", _("People of the shop"))
        self.empty = plain_label(
            _("Nobody is entered yet. New technician enters the first."), "people_empty"
        )
        buttons = QHBoxLayout()
        for name, words, slot in (
            ("person_new", _("New technician"), self._enter),
            ("person_mend", _("Mend"), self._mend),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.clicked.connect(slot)
            buttons.addWidget(button)
        buttons.addStretch(1)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(buttons)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        self.setCentralWidget(inside)
        self.resize(760, 420)
        self.table.activated.connect(self._mend)
        self.steps = add_steps(self, desk)
        desk.changed.connect(self._look_again)
        self.look()

    def look(self) -> None:
        """Look at the people again."""
        self._desk.ask(self, SeePeople(), self._show, self._failed, key="people")

    def _show(self, people: tuple[PersonCard, ...]) -> None:
        row = self.table.currentIndex().row()
        self.model.show_rows(people)
        fit_columns(self.table)
        self.empty.setVisible(not people)
        if people:
            self.table.selectRow(min(max(row, 0), len(people) - 1))

    def _enter(self) -> None:
        self._open(entering.person_form(self._desk))

    def _mend(self) -> None:
        index = self.table.currentIndex()
        if index.isValid():
            self._open(entering.person_form(self._desk, self.model.row(index.row())))

    def _open(self, form: Form) -> None:
        FormDialog(form, self).open()

    def _look_again(self, _deed: object) -> None:
        self.look()

    def _failed(self, error: DeskError) -> None:
        self.empty.setText(str(error))
        self.empty.show()
