"""What comes back: a ranked table with intervals in its rows, and the visits behind a row."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QMainWindow,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from desk.errors import DeskError, InputError
from desk.files import write_file
from desk.records.deeds.lists import SeeRepeats, SeeVisitsBehind, SeeVisitsBehindEach
from desk.records.recurrence_told import write_summary
from desk.records.recurrence_views import (
    RepeatChoice,
    RepeatRow,
    RepeatSummary,
    RepeatVisit,
    VisitsBehind,
)
from desk.trade.bookings import parse_day, say_day
from desk.windows.away import Cancelled, LongWork, Progress, watching
from desk.windows.busy import Busy
from desk.windows.counter.entering import whole
from desk.windows.fields import ChoiceLine, TypedLine
from desk.windows.geometry import keep_geometry
from desk.windows.labels import WRONG, text_label
from desk.windows.other_desks import OtherDesksNote
from desk.windows.prompts import Prompts
from desk.windows.repeats.interval import IntervalDelegate
from desk.windows.rows import Column, TableModel
from desk.windows.tables import fit_columns, table_of
from desk.windows.words import GROUPS, SENSING_KINDS, as_entry, month_first, options
from desk.windows.worker import Desk
from desk.wording import Message, _, message, say

WHY_LEFT_OUT: dict[str, Message] = {
    "called_off": message("called off"),
    "stop_and_leave": message("stopped and left"),
    "still_open": message("still open"),
    "planned_service": message("planned service"),
    "window_not_over": message("window not over"),
}
_INTERVAL_COLUMN = 5
_COMPLAINT_COLUMN = 4


def _label(row: RepeatRow) -> str:
    kind = SENSING_KINDS.get(row.key)
    return row.label if kind is None else as_entry(kind)


def _share(share: float | None) -> str:
    return "–" if share is None else f"{share:.0%}"


def _between(row: RepeatRow) -> str:
    if row.low is None or row.high is None:
        return _("no window over yet")
    return f"{row.low:.0%} – {row.high:.0%}"


def _nothing(_row: RepeatRow) -> str:
    return ""


def _became(visit: RepeatVisit) -> str:
    back = (
        _("▲ {number} after {days} days", number=visit.repeated_by, days=visit.days_between)
        if visit.repeated_by
        else ""
    )
    left_out = WHY_LEFT_OUT.get(visit.left_out)
    if left_out is not None:
        return "  ".join(part for part in (f"○ {left_out}", back) if part)
    return back or _("● did not come back")


class RepeatsWindow(QMainWindow):
    """Period, window and grouping on top; the table; below it the visits behind the row."""

    def __init__(self, desk: Desk, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("repeats")
        self.setWindowTitle(_("What comes back"))
        self._desk, self._prompts = desk, prompts
        self.summary: RepeatSummary | None = None
        self._build_choices()
        self._build_tables()
        self.said = text_label(name="repeats_said", loud=True)
        self.foot = text_label(name="repeats_foot")
        self.how = QPushButton(_("How is this counted?"))
        self.how.setObjectName("repeats_how")
        self.how.setCheckable(True)
        self.definitions = text_label(name="repeats_definitions")
        self.definitions.hide()
        self.how.toggled.connect(self.definitions.setVisible)
        self._under_way: LongWork | None = None
        self.busy = Busy()
        self.busy.stop_asked.connect(self._stop)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(self._choices)
        column.addWidget(self.said)
        halves = QSplitter(Qt.Orientation.Vertical)
        halves.addWidget(self.table)
        halves.addWidget(self.visits)
        halves.setStretchFactor(0, 3)
        halves.setStretchFactor(1, 2)
        column.addWidget(halves, 1)
        below = QHBoxLayout()
        below.addWidget(self.foot, 1)
        below.addWidget(self.how)
        column.addLayout(below)
        column.addWidget(self.definitions)
        column.addWidget(self.busy)
        self.setCentralWidget(inside)
        self.statusBar().addPermanentWidget(OtherDesksNote(desk))
        self.resize(1080, 720)
        keep_geometry(self, "repeats")
        desk.changed.connect(self._look_again)
        self.look()

    def _build_choices(self) -> None:
        self.by = ChoiceLine("by", _("By"), options(GROUPS))
        self.within = TypedLine("within", _("Back within, days"))
        self.within.put("90")
        self.since = TypedLine(
            "since", _("Finished since"), _("from the first"), read=self._read_day
        )
        self.until = TypedLine("until", _("Finished until"), _("to the last"), read=self._read_day)
        self._choices = QHBoxLayout()
        for entry in (self.by, self.within, self.since, self.until):
            self._choices.addWidget(entry, 1)
        for name, words, slot in (
            ("repeats_pdf", _("Save as PDF"), self._save_pdf),
            ("repeats_csv", _("Save as CSV"), self._save_csv),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.clicked.connect(slot)
            self._choices.addWidget(button, 0, Qt.AlignmentFlag.AlignBottom)
        self.by.changed.connect(self.look)
        for line in (self.within, self.since, self.until):
            line.entered.connect(self.look)

    def _build_tables(self) -> None:
        self.model = TableModel[RepeatRow](
            (
                Column(_("Group"), _label),
                Column(_("Finished"), lambda row: str(row.finished), is_number=True),
                Column(_("Counted"), lambda row: str(row.counted), is_number=True),
                Column(_("Came back"), lambda row: str(row.repeats), is_number=True),
                Column(_("Rate"), lambda row: _share(row.rate), is_number=True),
                Column(_("0 to 100 %"), _nothing),
                Column(_("95 % interval"), _between),
            )
        )
        self.table = table_of(self.model, "repeats_table", _("Groups, ranked"))
        self._delegate = IntervalDelegate(self.table)
        self.table.setItemDelegateForColumn(_INTERVAL_COLUMN, self._delegate)
        self.table.selectionModel().currentRowChanged.connect(self._row_marked)
        self.behind = TableModel[RepeatVisit](
            (
                Column(_("What became of it"), _became),
                Column(_("Job"), lambda visit: visit.number),
                Column(_("Finished"), lambda visit: say_day(visit.finished)),
                Column(_("Appliance"), lambda visit: f"{visit.appliance} {visit.model}".strip()),
                Column(_("Complaint"), lambda visit: visit.complaint),
                Column(_("Cause"), lambda visit: visit.cause),
            )
        )
        self.visits = table_of(self.behind, "repeats_visits", _("Visits behind the row"))
        head = self.visits.horizontalHeader()
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        head.setSectionResizeMode(_COMPLAINT_COLUMN, QHeaderView.ResizeMode.Stretch)

    def _today(self) -> date:
        return self._desk.now().astimezone(ZoneInfo(self._desk.zone)).date()

    def _read_day(self, text: str) -> str:
        day = parse_day(text, today=self._today(), month_first=month_first())
        return say_day(day) if day else ""

    def _look_again(self, _deed: object) -> None:
        self.look()

    def look(self) -> None:
        """Summarise again with what is chosen; a slip is told under its line."""
        today = self._today()
        for entry in (self.within, self.since, self.until):
            entry.show_error("")
        try:
            days = whole(self.within.text(), "within")
            since = parse_day(
                self.since.text(), today=today, month_first=month_first(), field="since"
            )
            until = parse_day(
                self.until.text(), today=today, month_first=month_first(), field="until"
            )
        except InputError as error:
            self._failed(error)
            return
        self._desk.ask(
            self,
            SeeRepeats(RepeatChoice(self.by.text(), days, since=since, until=until, as_of=today)),
            self._show,
            self._failed,
            key="repeats",
        )

    def _show(self, summary: RepeatSummary) -> None:
        self.summary = summary
        row = self.table.currentIndex().row()
        self.model.show_rows(summary.rows)
        fit_columns(self.table)
        total = summary.total
        self.said.setText(
            _(
                "{repeats} of {counted} jobs came back within {days} days: {rate}, and chance"
                " allows {between}. As of {day}.",
                repeats=total.repeats,
                counted=total.counted,
                days=summary.within_days,
                rate=_share(total.rate),
                between=_between(total),
                day=say_day(summary.as_of),
            )
            if total.counted
            else _("No job's window is over yet. Rates stand here when the first one is.")
        )
        left_out = (
            f"{count} {WHY_LEFT_OUT[reason]}" for reason, count in summary.left_out if count
        )
        self.foot.setText(_("Left out: {reasons}", reasons=", ".join(left_out) or _("nothing")))
        self.definitions.setText(" ".join(say(text) for text in summary.definitions))
        if summary.rows:
            self.table.selectRow(min(max(row, 0), len(summary.rows) - 1))
        else:
            self.behind.show_rows(())

    def _row_marked(self, now: QModelIndex, _before: QModelIndex) -> None:
        if now.isValid() and self.summary is not None:
            behind = SeeVisitsBehind(self.summary.choice, self.model.row(now.row()).key)
            self._desk.ask(self, behind, self._show_behind, self._failed, key="behind")

    def _show_behind(self, behind: VisitsBehind) -> None:
        self.behind.show_rows(behind.visits)
        fit_columns(self.visits)
        self.visits.resizeColumnToContents(0)

    def _save_pdf(self) -> None:
        if self.summary is None:
            return
        path = self._prompts.save_as(
            _("Save the summary"), _("What comes back.pdf"), _("PDF (*.pdf)")
        )
        if path is None:
            return
        summary = self.summary
        wanted = SeeVisitsBehindEach(summary.choice, tuple(row.key for row in summary.rows))

        def lay_out(behind: Mapping[str, VisitsBehind]) -> None:
            self._lay_out(path, summary, behind)

        self._desk.ask(self, wanted, lay_out, self._failed, key="behind_each")

    def _lay_out(
        self, path: Path, summary: RepeatSummary, behind: Mapping[str, VisitsBehind]
    ) -> None:
        def build(tell: Progress, cancelled: Cancelled) -> str:
            from desk.paper.repeat_summary import repeat_summary

            write_file(path, repeat_summary(summary, behind, watch=watching(tell, cancelled)))
            return path.name

        self._stop()
        self.statusBar().clearMessage()
        self.busy.begin(_("Laying out the lines of the summary:"))
        self._under_way = self._desk.run_long(
            self, build, self._laid_out, self._not_laid_out, self.busy.show_progress
        )

    def _stop(self) -> None:
        """Leave off writing what is not written yet."""
        self.busy.end()
        if self._under_way is not None:
            self._under_way.cancel()
            self._under_way = None

    def _save_csv(self) -> None:
        if self.summary is None:
            return
        path = self._prompts.save_as(
            _("Save the table"), _("What comes back.csv"), _("CSV (*.csv)")
        )
        if path is None:
            return
        summary = self.summary

        def build() -> str:
            write_summary(path, summary)
            return path.name

        self._desk.work(self, build, self._written, self._failed)

    def _laid_out(self, name: str) -> None:
        self.busy.end()
        self._written(name)

    def _not_laid_out(self, error: DeskError) -> None:
        self.busy.end()
        self._failed(error)

    def _written(self, name: str) -> None:
        self.statusBar().showMessage(_("Saved as {name}.", name=name))

    def _failed(self, error: DeskError) -> None:
        entry = {"within": self.within, "since": self.since, "until": self.until}.get(
            getattr(error, "field", "")
        )
        if entry is not None:
            entry.show_error(str(error))
        else:
            self.said.setText(f"{WRONG} {error}")
