"""Tables of snapshot rows as they are seen: one row marked at a time, columns wide enough."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from desk.windows.kit.item_models import TableModel


def table_of[R](model: TableModel[R], name: str, label: str) -> QTableView:
    """Return a view of a table; the first column takes what room is left.

    Args:
        model: what it shows.
        name: the object's name, by which a test finds it.
        label: its name for whoever cannot see it.
    """
    view = QTableView()
    view.setObjectName(name)
    view.setAccessibleName(label)
    view.setModel(model)
    view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    view.setAlternatingRowColors(True)
    view.setShowGrid(False)
    view.setTabKeyNavigation(False)
    view.verticalHeader().hide()
    view.verticalHeader().setDefaultSectionSize(view.fontMetrics().height() + 12)
    head = view.horizontalHeader()
    head.setHighlightSections(False)
    head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
    head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
    head.setMinimumSectionSize(head.sectionSizeHint(0))  # its title is never cut off
    return view


def fit_columns(view: QTableView) -> None:
    """Make every column but the first as wide as what stands in its first rows."""
    view.horizontalHeader().setResizeContentsPrecision(50)
    for column in range(1, view.model().columnCount()):
        view.resizeColumnToContents(column)
        view.setColumnWidth(column, view.columnWidth(column) + 10)
