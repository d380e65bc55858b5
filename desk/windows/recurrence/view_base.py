"""A view of what comes back: a table, the chart beside it, and what is said of the marked rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from desk.base.progress import Watch
from desk.records.actions import Query
from desk.records.views.recurrence import RepeatChoice
from desk.records.views.result_table import ResultTable
from desk.windows.documents.model import Document
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import text_label
from desk.windows.kit.table_views import table_of
from desk.windows.recurrence.chart import ChartPicture
from desk.windows.work.work_queue import WorkQueue

_WIDEST = 24
"""A column is no wider than so many letters; the last one has what is left."""
_AIR = 6


def fit_to_rows(view: QTableView, letters: int = _WIDEST) -> None:
    """Make the columns as wide as what stands in their first rows, within reason."""
    head = view.horizontalHeader()
    head.setResizeContentsPrecision(50)
    head.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
    head.setStretchLastSection(True)
    head.setMinimumSectionSize(_AIR)
    most = letters * view.fontMetrics().averageCharWidth()
    for column in range(view.model().columnCount()):
        view.resizeColumnToContents(column)
        wide = max(min(view.columnWidth(column), most), head.sectionSizeHint(column))
        view.setColumnWidth(column, wide + _AIR)


class Named(Protocol):
    """A row that stands for a group."""

    @property
    def key(self) -> str:
        """Return the group's key."""
        ...

    @property
    def label(self) -> str:
        """Return what it is called."""
        ...


class View(QWidget):
    """One of the views that the window can show.

    Attributes:
        groups: what it can be grouped by; nothing where it does not group.
        by: the grouping that was last chosen for it.
        counts_repeats: window and complaint matter to it.
        said: what it says above everything, once it has an answer.
        left_out: what it left out.
        definitions: what its figures mean.

    Signals:
        marked: other rows are marked.
    """

    marked = Signal()

    groups: tuple[str, ...] = ()
    by = "cause"
    counts_repeats = False
    said = left_out = definitions = ""

    def query(self, choice: RepeatChoice, watch: Watch) -> Query[Any]:
        """Return the question whose answer is shown.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError

    def show_answer(self, answer: Any) -> None:  # noqa: ANN401 - each view has its own
        """Show it.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError

    def document(self, choice: RepeatChoice) -> Document[Any]:
        """Return the pages of a choice.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError

    def told(self) -> ResultTable | None:
        """Return what is shown, to be written; None before there is any.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError

    def take_focus(self) -> None:
        """Put the keys where the rows are.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError


class ChartedView[R: Named](View):
    """A view with a table of groups and their chart.

    Args:
        queue: draws the chart away from the window's thread.
        name: of the view; table, chart and words are named after it.
        label: the table's name for whoever cannot see it.
        columns: of the table.
    """

    widths = (830, 410)
    """Of table and chart when they are first seen."""

    def __init__(
        self, queue: WorkQueue, name: str, label: str, columns: Sequence[TableColumn[R]]
    ) -> None:
        super().__init__()
        self._queue = queue
        self.setObjectName(name)
        self.model = TableModel[R](columns)
        self.table = table_of(self.model, f"{name}_table", label)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.table.setMinimumWidth(240)
        self.chart = ChartPicture(queue, f"{name}_chart", label)
        self.words = text_label(name=f"{name}_words")
        self.halves = QSplitter(Qt.Orientation.Horizontal)
        self.halves.setChildrenCollapsible(False)
        self.halves.setHandleWidth(10)
        self.halves.addWidget(self.table)
        self.halves.addWidget(self.chart)
        self.halves.setSizes(list(self.widths))
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.addWidget(self.halves, 1)
        self._layout.addWidget(self.words)
        self.table.selectionModel().selectionChanged.connect(self._marked)

    def show_rows(self, rows: Sequence[R]) -> None:
        """Show other rows; those of the groups that were marked are marked again."""
        kept = {row.key for row in self.marked_rows()}
        self.table.selectionModel().blockSignals(True)  # one change and not three
        self.model.show_rows(rows)
        places = [place for place, row in enumerate(rows) if row.key in kept] or [0]
        if rows:
            flag = QItemSelectionModel.SelectionFlag
            marks = self.table.selectionModel()
            for place in places:
                marks.select(self.model.index(place, 0), flag.Select | flag.Rows)
            marks.setCurrentIndex(self.model.index(places[0], 0), flag.NoUpdate)
        self.table.selectionModel().blockSignals(False)
        fit_to_rows(self.table)
        self._marked()

    def marked_rows(self) -> list[R]:
        """Return the rows that are marked, from the top."""
        places = sorted(index.row() for index in self.table.selectionModel().selectedRows())
        return [self.model.row(place) for place in places]

    def take_focus(self) -> None:
        """Put the keys into the table."""
        self.table.setFocus()

    def _marked(self) -> None:
        self.tell()
        self.marked.emit()

    def tell(self) -> None:
        """Say what there is to say of the marked rows, and draw them.

        Raises:
            NotImplementedError: each view has its own.
        """
        raise NotImplementedError
