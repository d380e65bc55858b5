"""All service reports of a day, a month or any days: shown to be printed, or saved one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QMainWindow, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.files import Target, is_foreign, safe_name, write_file
from desk.base.texts import _, plural, say
from desk.records.actions.documents import PrintEach, SeeReportBatch
from desk.records.views.report_batch import BatchLine, HandedOn, ReportBatch, UnfinishedLine
from desk.trade.scheduling.booking_text import say_day
from desk.windows.documents.live_pages import report_name
from desk.windows.documents.model import FinishedDocument
from desk.windows.documents.period_fields import Period
from desk.windows.documents.window import DocumentWindow
from desk.windows.kit.busy import Busy
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.table_views import fit_columns, table_of
from desk.windows.work.thread_handoff import LongWork
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.paper.kit.bundle import Joined
    from desk.records.views.report import Printout


MOST_NAMED = 6
"""Visits without a report that are named for one reason; a month may have hundreds."""


class ReportsWindow(QMainWindow):
    """Which days on top; below it their reports, and the visits that have none yet."""

    def __init__(
        self, queue: WorkQueue, prompts: Prompts, day: date, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("reports")
        self.setWindowTitle(_("Service reports"))
        self._queue, self._prompts, self._day = queue, prompts, day
        self.batch: ReportBatch | None = None
        self._under_way: LongWork | None = None
        self._is_wanted = False
        self._build_choices()
        self.model = TableModel[BatchLine](
            (
                TableColumn(_("Customer"), lambda line: line.customer),
                TableColumn(_("Visit"), lambda line: line.number),
                TableColumn(_("Finished"), lambda line: say_day(line.finished)),
                TableColumn(_("State"), _state),
            )
        )
        self.table = table_of(self.model, "reports_table", _("Reports that can be printed"))
        self.said = text_label(name="reports_said", loud=True)
        self.foot = text_label(name="reports_foot")
        self.busy = Busy()
        self.busy.stop_asked.connect(self._stop_and_say)
        inside = QWidget()
        layout = QVBoxLayout(inside)
        layout.addWidget(self.period)
        layout.addWidget(self.said)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.foot)
        layout.addWidget(self.busy)
        self.setCentralWidget(inside)
        self.resize(860, 600)
        keep_geometry(self, "reports")
        self.refresh()

    def _build_choices(self) -> None:
        labels = (_("Finished since"), _("Finished until"))
        self.period = Period(
            "reports",
            labels,
            (self._day, self._day),
            replace(self._queue.calendar(), today=self._day),
        )
        self.period.chosen.connect(self.refresh)
        self.buttons = {"month": self.period.month}
        for name, words, slot in (
            ("show", _("Show all to print"), self._show_all),
            ("save", _("Save each in a folder"), self._save_each),
        ):
            button = QPushButton(words)
            button.setObjectName(f"reports_{name}")
            button.clicked.connect(slot)
            self.buttons[name] = button
            self.period.add_button(button)

    def refresh(self) -> None:
        """Look again with the days that are typed; a slip is told under its line."""
        try:
            look = SeeReportBatch(*self.period.days())
        except InputError as error:
            self._failed(error)
            return
        self._queue.ask(self, look, self._show, self._failed, key="reports")

    def _show(self, batch: ReportBatch) -> None:
        self.batch = batch
        self.model.show_rows(batch.reports)
        fit_columns(self.table)
        count = len(batch.reports)
        self.said.setText(
            plural("{count} report can be printed.", "{count} reports can be printed.", count)
            if count
            else _("No visit was finished on these days. Its report stands here when one is.")
        )
        self.foot.setText(_without_report(batch.unfinished))
        for name in ("show", "save"):
            self.buttons[name].setEnabled(count > 0)

    def _show_all(self) -> None:
        """Show the reports as one document; from there they are printed in one go."""
        if self.batch is None:
            return
        since, until = say_day(self.batch.since), say_day(self.batch.until)
        title = (
            _("Service reports of {day}", day=since)
            if since == until
            else _("Service reports, {since} to {until}", since=since, until=until)
        )
        joining = Joining(title)
        self._begin(_("Laying out reports:"), joining.add, partial(self._join, joining))

    def _join(self, joining: Joining, printed: HandedOn) -> None:
        opening = partial(self._open, printed)
        self._queue.work(self, joining.document, opening, self._failed)

    def _open(self, printed: HandedOn, document: FinishedDocument) -> None:
        self.busy.end()
        if not self._is_wanted:
            return
        self._tell_left_out(printed)
        DocumentWindow(self._queue, self._prompts, document, self).show()

    def _save_each(self) -> None:
        if self.batch is None:
            return
        folder = self._prompts.open_folder(_("Save the reports in a folder"))
        if folder is None:
            return
        try:
            files = [folder / _file_name(line.number) for line in self.batch.reports]
            taken = sum(map(is_foreign, files))
        except DeskError as error:
            self._failed(error)
            return
        if taken and not self._prompts.confirm(
            plural(
                "{count} of these files is there already, and is not as Drawoff wrote it.",
                "{count} of these files are there already, and are not as Drawoff wrote them.",
                taken,
            ),
            _("Write over"),
        ):
            return
        saving = Saving(folder, replace=bool(taken))
        self._begin(_("Saving reports:"), saving.add, partial(self._saved, folder))

    def _begin(
        self, what: str, into: Callable[[Printout], None], done: Callable[[HandedOn], None]
    ) -> None:
        """Lay the reports out one after the other, away from the window's thread."""
        self._stop()
        visits = tuple(line.visit_id for line in self.batch.reports) if self.batch else ()
        self.busy.begin(what)
        self._is_wanted = True
        self._under_way = self._queue.ask_long(
            self, partial(PrintEach, visits, into), done, self._failed, self.busy.show_progress
        )

    def _stop(self) -> None:
        """Leave off; what was saved whole already stays."""
        self.busy.end()
        self._is_wanted = False
        if self._under_way is not None:
            self._under_way.cancel()
            self._under_way = None

    def _stop_and_say(self) -> None:
        self._stop()
        self.said.setText(_("Stopped. Every file that was saved already is a whole report."))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave off what nobody waits for any more."""
        self._stop()
        super().closeEvent(event)

    def _saved(self, folder: Path, printed: HandedOn) -> None:
        self.busy.end()
        self.said.setText(
            plural(
                "{count} report was saved in {folder}.",
                "{count} reports were saved in {folder}.",
                printed.count,
                folder=folder.name,
            )
        )
        self._tell_left_out(printed)

    def _tell_left_out(self, printed: HandedOn) -> None:
        if printed.left_out and self.batch is not None:
            lines = [_without_report(self.batch.unfinished)]
            for line in printed.left_out:
                why = say(line.why)
                lines.append(_("▲ Not printed: {number}. {why}", number=line.number, why=why))
            self.foot.setText("\n".join(filter(None, lines)))

    def _failed(self, error: DeskError) -> None:
        self.busy.end()
        if not self.period.show_error(error):
            self.said.setText(f"{WRONG} {error}")


def _state(line: BatchLine) -> str:
    return _("■ sealed") if line.is_sealed else _("□ not sealed, may still change")


def _without_report(unfinished: Sequence[UnfinishedLine]) -> str:
    """Say which visits have no report yet, those of one reason together."""
    numbers: dict[str, list[str]] = {}
    for line in unfinished:
        numbers.setdefault(say(line.why), []).append(line.number)
    parts = []
    for why, named in numbers.items():
        kept, more = ", ".join(named[:MOST_NAMED]), len(named) - MOST_NAMED
        if more > 0:
            kept = _("{numbers} and {count} more", numbers=kept, count=more)
        parts.append(f"{why} ({kept})")
    return _("No report yet: {visits}", visits="; ".join(parts)) if parts else ""


def _file_name(number: str) -> str:
    return safe_name(_("Service report {number}.pdf", number=number))


class Joining:
    """Reports on their way into one document."""

    def __init__(self, title: str) -> None:
        self._title, self._author = title, ""
        self._joined: Joined | None = None

    def add(self, printout: Printout) -> None:
        """Lay one out and put it behind the others."""
        from desk.paper.kit.bundle import Joined  # brings ReportLab
        from desk.paper.report.service_report import printed

        self._joined = self._joined or Joined()
        self._author = printout.report.letterhead.name
        self._joined.add(printed(printout), report_name(printout.report))

    def document(self) -> FinishedDocument:
        """Return all of them."""
        from desk.paper.kit.bundle import Joined

        pdf = (self._joined or Joined()).pdf(self._title, self._author)
        return FinishedDocument(self._title, f"{self._title}.pdf", pdf)


class Saving:
    """Reports on their way into a folder, each in a file that its number names."""

    def __init__(self, folder: Path, *, replace: bool = False) -> None:
        self._folder, self._replace = folder, replace

    def add(self, printout: Printout) -> None:
        """Lay one out and write it, whole or not at all."""
        from desk.paper.report.service_report import printed  # brings ReportLab

        path = self._folder / _file_name(printout.report.number)
        write_file(Target(path, self._replace), printed(printout))
