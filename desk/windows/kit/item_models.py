"""Lists and tables of snapshot rows: models that hold values and nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractListModel,
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont

from desk.base.texts import Message, say

if TYPE_CHECKING:
    from desk.records.views.result_table import Column

type Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list.

    Attributes:
        text: what it says; a second line below the first is more quiet.
        value: what the line stands for; None for a heading, which cannot be chosen.
    """

    text: str
    value: object = None

    @property
    def is_heading(self) -> bool:
        """Whether the line only names what follows it."""
        return self.value is None


class LineModel(QAbstractListModel):
    """A list of lines, headings among them."""

    def __init__(self, lines: Sequence[Line] = ()) -> None:
        super().__init__()
        self._lines = tuple(lines)

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Show other lines."""
        self.beginResetModel()
        self._lines = tuple(lines)
        self.endResetModel()

    def line(self, row: int) -> Line:
        """Return the line at a row."""
        return self._lines[row]

    def rows_that_can_be_chosen(self) -> list[int]:
        """Return the rows that are no headings."""
        return [row for row, line in enumerate(self._lines) if not line.is_heading]

    def row_of(self, value: object) -> int:
        """Return the row that stands for a value, -1 where none does."""
        return next((row for row, line in enumerate(self._lines) if line.value == value), -1)

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many lines there are."""
        return 0 if parent.isValid() else len(self._lines)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # noqa: ANN401
        """Return what a line says, or how it stands."""
        if not index.isValid():
            return None
        line = self._lines[index.row()]
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole}:
            return line.text
        if role == Qt.ItemDataRole.FontRole and line.is_heading:
            font = QFont()
            font.setWeight(QFont.Weight.DemiBold)
            return font
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Say that headings cannot be chosen."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        if self._lines[index.row()].is_heading:
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class PagedModel(LineModel):
    """A list of which more comes when it is scrolled to its end.

    Signals:
        wanted: how many lines there are already.
    """

    wanted = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.more = self._is_asked = False

    def first(self, count: int) -> tuple[Line, ...]:
        """Return the lines with which the list begins."""
        return self._lines[:count]

    def show_page(self, lines: Sequence[Line], *, more: bool) -> None:
        """Show other lines; ``more`` tells whether some follow."""
        self.more, self._is_asked = more, False
        self.show_lines(lines)

    def add_page(self, lines: Sequence[Line], *, more: bool) -> None:
        """Add the lines that follow."""
        self._is_asked, self.more = False, more
        if lines:
            count = len(self._lines)
            self.beginInsertRows(QModelIndex(), count, count + len(lines) - 1)
            self._lines += tuple(lines)
            self.endInsertRows()

    def canFetchMore(self, parent: Index) -> bool:
        """Tell whether some follow that nobody has asked for."""
        return self.more and not self._is_asked and not parent.isValid()

    def fetchMore(self, parent: Index) -> None:
        """Ask for what follows."""
        if self.canFetchMore(parent):
            self._is_asked = True
            self.wanted.emit(len(self._lines))


@dataclass(frozen=True, slots=True)
class TableColumn[R]:
    """One column of a table: its head, its text, and whether it holds numbers."""

    head: str
    text: Callable[[R], str]
    is_number: bool = False


def table_columns[R, F](
    columns: Iterable[Column[F]], figures: Callable[[R], F]
) -> list[TableColumn[R]]:
    """Return those of some columns that a window shows.

    Args:
        columns: of the figures.
        figures: gives those of a row.
    """

    def shown(column: Column[F], head: Message) -> TableColumn[R]:
        return TableColumn(
            say(head), lambda row: column.cell(figures(row)), is_number=column.is_number
        )

    return [shown(column, column.head) for column in columns if column.head]


class TableModel[R](QAbstractTableModel):
    """A table of snapshot rows."""

    def __init__(self, columns: Sequence[TableColumn[R]]) -> None:
        super().__init__()
        self.columns = tuple(columns)
        self._rows: tuple[R, ...] = ()

    def show_rows(self, rows: Sequence[R]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def row(self, row: int) -> R:
        """Return the snapshot behind a row."""
        return self._rows[row]

    def rows(self) -> tuple[R, ...]:
        """Return all the snapshots, in the order shown."""
        return self._rows

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # noqa: ANN401
        """Return a cell's text, or where it stands."""
        if not index.isValid():
            return None
        column = self.columns[index.column()]
        if role in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole}:
            return column.text(self._rows[index.row()])
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.is_number else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignVCenter)
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:  # noqa: ANN401 - Qt's own form
        """Return a column's head."""
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].head
        return None
