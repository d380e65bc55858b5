"""Bringing customers in: choose a file, match its columns, see what would come, take it over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QMainWindow,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, plural, say
from desk.records.actions.importing import (
    Imported,
    KeyMaker,
    Refusal,
    Sheet,
    StageCustomers,
    Staged,
    TakeCustomersOver,
    Values,
    check_fields,
    check_rows,
    read_customers,
    values_of,
)
from desk.windows.back_office.column_matching import FIELDS, ColumnMatching
from desk.windows.forms.undo_bar import add_steps
from desk.windows.kit.busy import Busy
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.table_views import fit_columns, table_of
from desk.windows.kit.words import as_entry
from desk.windows.work.thread_handoff import Cancelled, LongWork, Progress, watching
from desk.windows.work.work_queue import WorkQueue

_SEEN = tuple(field for field in FIELDS if field not in {"", "first_name", "last_name"})
_FIRST_ROWS = 20
_NAME_SHOWN = 36
"""So many letters of a name at most, so that what stands beside it is seen."""
_REFUSED_SHOWN = 1_000


class BringingInWindow(QMainWindow):
    """The columns on top, what comes of the first lines below, what cannot come in beside it."""

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("bringing_in")
        self.setWindowTitle(_("Bring customers in"))
        self._queue, self._prompts = queue, prompts
        self._path = Path()
        self._sheet: Sheet | None = None
        self._staged: Staged | None = None
        self._under_way: LongWork | None = None
        self._is_taking = False
        self._build()
        self.resize(1080, 720)
        keep_geometry(self, "bringing_in")
        self.steps = add_steps(self, queue)
        self.steps.stepped.connect(self._count_again)

    def _build(self) -> None:
        self.choose = self._button("bring_choose", _("Choose a file"), self._choose)
        self.take = self._button("bring_take", _("Take over"), self._take)
        self.take.setEnabled(False)
        self.said = text_label(
            _("Choose a file of customers: CSV, or vCards. Nothing changes before you take over."),
            "bring_said",
            loud=True,
        )
        self.matching = ColumnMatching()
        self.matching.changed.connect(self._count_again)
        self._build_tables()
        self.busy = Busy()
        self.busy.stop_asked.connect(self._stop)
        top = QHBoxLayout()
        top.addWidget(self.choose)
        top.addWidget(self.said, 1)
        top.addWidget(self.take)
        below = QSplitter()
        below.addWidget(self.preview)
        below.addWidget(self.refused)
        below.setStretchFactor(0, 3)
        below.setStretchFactor(1, 2)
        self.halves = QSplitter(Qt.Orientation.Vertical)
        self.halves.addWidget(self.matching)
        self.halves.addWidget(below)
        self.halves.setStretchFactor(0, 1)
        self.halves.setStretchFactor(1, 1)
        self.halves.hide()
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(top)
        column.addWidget(self.busy)
        column.addWidget(self.halves, 1)
        column.addStretch(0)
        self.setCentralWidget(inside)

    @staticmethod
    def _button(name: str, words: str, slot: object) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(name)
        button.clicked.connect(slot)
        return button

    def _build_tables(self) -> None:
        self.first = TableModel[Values](
            tuple(TableColumn(as_entry(FIELDS[field]), _cell_of(field)) for field in _SEEN)
        )
        self.preview = table_of(self.first, "bring_preview", _("How the first lines come in"))
        self.cannot = TableModel[Refusal](
            (
                TableColumn(_("Why not"), lambda refusal: as_entry(refusal.why)),
                TableColumn(_("Line"), lambda refusal: str(refusal.line), is_number=True),
            )
        )
        head = self.preview.horizontalHeader()
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        self.refused = table_of(self.cannot, "bring_refused", _("Lines that do not come in"))

    def _choose(self) -> None:
        path = self._prompts.open_file(
            _("A file of customers"), _("Customers (*.csv *.txt *.tsv *.vcf);;Every file (*)")
        )
        if path is not None:
            self.open(path)

    def open(self, path: Path) -> None:
        """Read a file and show what its columns seem to stand for."""
        self._stop()
        self._path, self._sheet = path, None
        self._know_nothing()
        self.halves.hide()
        self.said.setText(_("{name} is being read.", name=path.name))

        def read(tell: Progress, cancelled: Cancelled) -> Sheet:
            return read_customers(path, watching(tell, cancelled))

        self.busy.begin(_("Reading {name}:", name=path.name))
        self._under_way = self._queue.run_long(
            self, read, self._show_sheet, self._failed, self.busy.show_progress
        )

    def _show_sheet(self, sheet: Sheet) -> None:
        self.busy.end()
        self._sheet = sheet
        self.matching.show_columns(sheet)
        self.halves.show()
        self._count_again()

    def _count_again(self) -> None:
        """Show how the first lines come in, and count what would come of all of them."""
        sheet = self._sheet
        if sheet is None or self._is_taking:
            return
        self._stop()
        self._know_nothing()
        fields = self.matching.fields()
        self.first.show_rows([values_of(row, fields) for row in sheet.rows[:_FIRST_ROWS]])
        fit_columns(self.preview)
        self.preview.resizeColumnToContents(0)
        widest = _NAME_SHOWN * self.preview.fontMetrics().averageCharWidth()
        self.preview.setColumnWidth(0, min(self.preview.columnWidth(0), widest))
        try:
            check_fields(fields)
        except InputError as error:
            asked = _("Say which column holds the name.") if error.field == "name" else str(error)
            self.said.setText(f"{WRONG} {asked}")
            return
        queue = self._queue

        def query_of(watch: Progress) -> StageCustomers:
            return StageCustomers(check_rows(sheet, fields), KeyMaker(queue.now), watch)

        self.said.setText(_("{name} is being compared with your customers.", name=self._path.name))
        self.busy.begin(_("Looking who is there already:"))
        self._under_way = queue.ask_long(
            self, query_of, self._counted, self._failed, self.busy.show_progress
        )

    def _know_nothing(self) -> None:
        self._staged = None
        self.take.setEnabled(False)
        self.take.setText(_("Take over"))
        self.cannot.show_rows(())

    def _counted(self, staged: Staged) -> None:
        self.busy.end()
        self._staged = staged
        new, refused = len(staged.ready), staged.checked.refused
        there = len(staged.checked.rows) - new
        self.said.setText(
            _(
                "{name}: {new} new, {there} already there, {refused} cannot come in.",
                name=self._path.name,
                new=f"{new:,}",
                there=f"{there:,}",
                refused=f"{len(refused):,}",
            )
        )
        self.cannot.show_rows(refused[:_REFUSED_SHOWN])
        fit_columns(self.refused)
        self.take.setEnabled(bool(new))
        if new:
            self.take.setText(
                plural("Take over {count:,} customer", "Take over {count:,} customers", new)
            )

    def _take(self) -> None:
        staged = self._staged
        if staged is None:
            return

        def command_of(watch: Progress) -> TakeCustomersOver:
            return TakeCustomersOver(staged, watch)

        self._set_taking(is_taking=True)
        self.busy.begin(_("Taking over:"))
        self._under_way = self._queue.act_long(
            self,
            command_of,
            self._taken,
            self._not_taken,
            stopped=self._left_off,
            progressed=self.busy.show_progress,
        )

    def _set_taking(self, *, is_taking: bool) -> None:
        self._is_taking = is_taking
        for part in (self.choose, self.matching, self.take):
            part.setEnabled(not is_taking)

    def _taken(self, imported: Imported) -> None:
        self.busy.end()
        self._set_taking(is_taking=False)
        self._know_nothing()
        self.cannot.show_rows(imported.refused[:_REFUSED_SHOWN])
        came = plural(
            "{count:,} customer came in.", "{count:,} customers came in.", imported.came_in
        )
        self.said.setText(_("{came} Ctrl+Z takes all of it back.", came=came))

    def _not_taken(self, error: DeskError) -> None:
        self._set_taking(is_taking=False)
        self._failed(error)

    def _left_off(self) -> None:
        self.busy.end()
        self._set_taking(is_taking=False)
        self.said.setText(_("Left off. Nothing came in; your customers are as they were."))

    def _stop(self) -> None:
        """Leave off: nothing is half done."""
        if self._under_way is None or not self._under_way.is_awaited():
            return
        if self._is_taking:
            self._under_way.ask_to_stop()  # whether it came too late is told in the end
            return
        self.busy.end()
        self._under_way.cancel()
        self.said.setText(_("Left off. Choose the file again, or change a column."))

    def _failed(self, error: DeskError) -> None:
        self.busy.end()
        self.said.setText(f"{WRONG} {say(error.sentence)}")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave off what is not kept yet."""
        self._stop()
        super().closeEvent(event)


def _cell_of(field: str) -> Callable[[Values], str]:
    def text(values: Values) -> str:
        return "  ·  ".join(" ".join(each.split()) for each in dict(values).get(field, ()))

    return text
