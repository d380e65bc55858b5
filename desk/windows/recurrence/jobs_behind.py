"""The jobs behind a figure: a page at a time, each opened as a visit."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.texts import _, plural
from desk.paper.kit.date_text import show_date
from desk.records.views.recurrence import RepeatVisit, VisitsBehind
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import text_label
from desk.windows.kit.table_views import table_of
from desk.windows.recurrence.view_base import fit_to_rows
from desk.windows.recurrence.words import became

_WIDEST = 38
"""Letters of a column, which has room for a job that came back before its window was over."""


class PagedTable[R](TableModel[R]):
    """A table of which more comes when it is scrolled to its end.

    Signals:
        wanted: how many rows there are already.
    """

    wanted = Signal(int)

    def __init__(self, columns: Sequence[TableColumn[R]]) -> None:
        super().__init__(columns)
        self._more = self._is_asked = False

    def show_page(self, rows: Sequence[R], *, more: bool) -> None:
        """Show other rows; ``more`` tells whether some follow."""
        self._more, self._is_asked = more, False
        self.show_rows(rows)

    def add_page(self, rows: Sequence[R], *, more: bool) -> None:
        """Add the rows that follow."""
        self._more, self._is_asked = more, False
        if rows:
            count = len(self._rows)
            self.beginInsertRows(QModelIndex(), count, count + len(rows) - 1)
            self._rows += tuple(rows)
            self.endInsertRows()

    def canFetchMore(self, parent: QModelIndex | QPersistentModelIndex) -> bool:
        """Tell whether some follow that nobody has asked for."""
        return self._more and not self._is_asked and not parent.isValid()

    def fetchMore(self, parent: QModelIndex | QPersistentModelIndex) -> None:
        """Ask for what follows."""
        if self.canFetchMore(parent):
            self._is_asked = True
            self.wanted.emit(len(self._rows))


class VisitsPanel(QWidget):
    """The jobs behind the marked row, and what can be done with them.

    Signals:
        opened: the number of a visit to be opened.
        narrow_asked: all is to be narrowed to the marked group.
    """

    opened = Signal(str)
    narrow_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.model = PagedTable[RepeatVisit](
            (
                TableColumn(_("What became of it"), became),
                TableColumn(_("Job"), lambda visit: visit.number),
                TableColumn(_("Finished"), lambda visit: show_date(visit.finished)),
                TableColumn(
                    _("Appliance"), lambda visit: f"{visit.appliance} {visit.model}".strip()
                ),
                TableColumn(_("Complaint"), lambda visit: visit.complaint),
                TableColumn(_("Cause"), lambda visit: visit.cause),
                TableColumn(_("Premises"), lambda visit: visit.premises),
            )
        )
        self.table = table_of(self.model, "repeats_visits", _("Visits behind the row"))
        self.table.activated.connect(self._open)
        self.head = text_label(name="repeats_behind", loud=True)
        self.narrow = self._button(
            "repeats_narrow", _("Only this group"), "Ctrl+G", self.narrow_asked.emit
        )
        self.open = self._button("repeats_open", _("Open the visit"), "Ctrl+Return", self._open)
        self.table.selectionModel().currentRowChanged.connect(self._moved)
        row = QHBoxLayout()
        row.addWidget(self.head, 1)
        row.addWidget(self.narrow)
        row.addWidget(self.open)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addLayout(row)
        layout.addWidget(self.table, 1)
        self.show_nothing()

    def _button(self, name: str, words: str, keys: str, slot: object) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.setToolTip(QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText))
        button.clicked.connect(slot)
        QShortcut(QKeySequence(keys), self).activated.connect(button.click)
        return button

    def show_nothing(self, why: str = "") -> None:
        """Show that no row is marked, or why there is nothing behind it."""
        self.head.setText(why or _("Mark a row above: the visits behind it stand here."))
        self.model.show_page((), more=False)
        self.narrow.setEnabled(False)
        self.open.setEnabled(False)

    def show_page(self, what: str, behind: VisitsBehind) -> None:
        """Show the jobs behind a group, or add those that follow."""
        more = behind.offset + len(behind.visits) < behind.total
        if behind.offset:
            self.model.add_page(behind.visits, more=more)
            return
        said = plural("{what}: {count} job", "{what}: {count} jobs", behind.total, what=what)
        self._show(said, behind.visits, more=more)
        self.narrow.setEnabled(True)

    def show_jobs(self, visits: Sequence[RepeatVisit], of: int) -> None:
        """Show jobs that stand for themselves, of so many."""
        shown = len(visits)
        if shown < of:
            said = _("The newest {shown} of {of} jobs behind it", shown=shown, of=of)
        else:
            said = plural("{count} job behind it", "{count} jobs behind it", shown)
        self._show(said, visits, more=False)
        self.narrow.setEnabled(False)

    def _show(self, said: str, visits: Sequence[RepeatVisit], *, more: bool) -> None:
        marked = self._marked()
        self.head.setText(said)
        self.model.show_page(visits, more=more)
        self.open.setEnabled(False)
        fit_to_rows(self.table, _WIDEST)
        numbers = [visit.number for visit in visits]
        if visits:
            self.table.selectRow(numbers.index(marked) if marked in numbers else 0)

    def _moved(self, now: QModelIndex, _before: QModelIndex) -> None:
        self.open.setEnabled(now.isValid())

    def _marked(self) -> str:
        """Return the number of the visit that is marked, "" for none."""
        index = self.table.currentIndex()
        return self.model.row(index.row()).number if index.isValid() else ""

    def _open(self, _index: object = None) -> None:
        number = self._marked()
        if number:
            self.opened.emit(number)
