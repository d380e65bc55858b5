"""A window that is one table of snapshot rows with its buttons: parts, people."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.records.actions import Query
from desk.windows.forms.forms import Form, FormDialog
from desk.windows.forms.undo_bar import add_steps
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import text_label
from desk.windows.kit.table_views import fit_columns, table_of
from desk.windows.work.work_queue import WorkQueue


class ListWindow[R](QMainWindow):
    """Shows the rows that a query answers with, and looks again when anything changes.

    Args:
        queue: answers the query.
        name: of the window; its table, its empty note and its trouble line are named after it.
        title: on the window.
        columns: of the table.
        parent: the window it was opened from.
    """

    def __init__(
        self,
        queue: WorkQueue,
        name: str,
        title: str,
        columns: Sequence[TableColumn[R]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName(name)
        self.setWindowTitle(title)
        self._queue, self._name = queue, name
        self.model = TableModel[R](columns)

    def _build(
        self,
        label: str,
        nothing: str,
        buttons: Sequence[tuple[str, str, Callable[[], None]]],
        size: QSize,
    ) -> None:
        """Lay the window out.

        Args:
            label: the table's name for whoever cannot see it.
            nothing: says what belongs there and how to add the first.
            buttons: name, words and slot of each; the second one mends the row that is marked.
            size: of the window.
        """
        self.table = table_of(self.model, f"{self._name}_table", label)
        self.empty = text_label(nothing, f"{self._name}_empty")
        self.trouble = text_label(name=f"{self._name}_trouble")
        row = QHBoxLayout()
        for name, words, slot in buttons:
            button = QPushButton(words)
            button.setObjectName(name)
            button.clicked.connect(slot)
            row.addWidget(button)
        row.addStretch(1)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(row)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        column.addWidget(self.trouble)
        self.setCentralWidget(inside)
        self.resize(size)
        keep_geometry(self, self._name)
        _mend_name, _mend_words, mend = buttons[1]
        self.table.activated.connect(mend)
        self.steps = add_steps(self, self._queue)
        self._queue.changed.connect(self._look_again)
        self.refresh()

    def _question(self) -> Query[tuple[R, ...]]:
        raise NotImplementedError

    def refresh(self) -> None:
        """Look at the rows again."""
        self._queue.ask(self, self._question(), self._show, self._failed, key=self._name)

    def marked(self) -> R | None:
        """Return the row that is marked, if one is."""
        index = self.table.currentIndex()
        return self.model.row(index.row()) if index.isValid() else None

    def _show(self, rows: tuple[R, ...]) -> None:
        row = self.table.currentIndex().row()
        self.model.show_rows(rows)
        fit_columns(self.table)
        self.empty.setVisible(not rows)
        if rows:
            self.table.selectRow(min(max(row, 0), len(rows) - 1))

    def _open(self, form: Form) -> None:
        FormDialog(form, self).open()

    def _look_again(self, _change: object) -> None:
        self.refresh()

    def _failed(self, error: DeskError) -> None:
        self.trouble.setText(str(error))
