"""Which parts were used: from which day to which, added up by part, printed or saved from there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMainWindow, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.files import Target
from desk.base.texts import _, plural
from desk.records.actions.documents import SeePartsUsed
from desk.records.views.shop import COUNTED, PartsUsed, PartTally, Tally
from desk.trade.scheduling.months import month_of
from desk.windows.documents.period_fields import Period
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import TableColumn, TableModel, table_columns
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.table_views import fit_columns, table_of
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.base.progress import Watch


class UsedWindow(QMainWindow):
    """The days on top; below them each part with its pieces; this month is shown first."""

    def __init__(
        self, queue: WorkQueue, prompts: Prompts, day: date, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("parts_used")
        self.setWindowTitle(_("Parts used"))
        self._queue, self._prompts = queue, prompts
        self.used: PartsUsed | None = None
        self.period = Period(
            "used",
            (_("Used since"), _("Used until")),
            month_of(day),
            replace(queue.calendar(), today=day),
        )
        self.period.chosen.connect(self.refresh)
        self.buttons: dict[str, QPushButton] = {}
        for name, words, slot in (
            ("print", _("Show to print"), self._show_pages),
            ("csv", _("Save the lines"), self._save_lines),
        ):
            button = QPushButton(words)
            button.setObjectName(f"used_{name}")
            button.clicked.connect(slot)
            self.buttons[name] = button
            self.period.add_button(button)
        self.model = TableModel[PartTally](
            (
                TableColumn(_("Part"), lambda one: one.name),
                TableColumn(_("Number"), lambda one: one.number),
                *table_columns(COUNTED, self._counted),
                TableColumn(_("Taken from"), _stock),
            )
        )
        self.table = table_of(self.model, "used_table", _("Parts used, the most used first"))
        self.said = text_label(name="used_said", loud=True)
        inside = QWidget()
        layout = QVBoxLayout(inside)
        layout.addWidget(self.period)
        layout.addWidget(self.said)
        layout.addWidget(self.table, 1)
        self.setCentralWidget(inside)
        self.resize(860, 560)
        keep_geometry(self, "parts_used")
        self._queue.changed.connect(self._look_again)
        self.refresh()

    def _counted(self, one: PartTally) -> tuple[PartsUsed | None, Tally]:
        return self.used, one.total

    def refresh(self) -> None:
        """Look again with the days that are typed; a slip is told under its line."""
        try:
            look = SeePartsUsed(*self.period.days())
        except InputError as error:
            self._failed(error)
            return
        self._queue.ask(self, look, self._show, self._failed, key="parts_used")

    def _look_again(self, _change: object) -> None:
        self.refresh()

    def _show(self, used: PartsUsed) -> None:
        self.used = used
        self.model.show_rows(used.by_part)
        fit_columns(self.table)
        self.said.setText(_in_words(used))
        self.buttons["csv"].setEnabled(bool(used.lines))

    def _show_pages(self) -> None:
        if self.used is None:
            return
        from desk.windows.documents.model import Document  # only here: Qt's PDF is heavy
        from desk.windows.documents.window import DocumentWindow

        since, until = self.used.since.isoformat(), self.used.until.isoformat()
        document = Document(
            _("Parts used, {since} to {until}", since=since, until=until),
            _("Parts used {since} to {until}.pdf", since=since, until=until),
            SeePartsUsed(self.used.since, self.used.until),
            _pages,
        )
        DocumentWindow(self._queue, self._prompts, document, self).show()

    def _save_lines(self) -> None:
        used = self.used
        if used is None:
            return
        name = _("Parts used {since} to {until}.csv", since=used.since.isoformat(),
                 until=used.until.isoformat())  # fmt: skip
        target = self._prompts.save_as(_("Save the lines"), name, _("CSV (*.csv)"))
        if target is None:
            return

        def write() -> Target:
            from desk.records.actions.documents import write_used

            write_used(target, used)
            return target

        self._queue.work(self, write, self._saved, self._failed)

    def _saved(self, target: Target) -> None:
        self.said.setText(_("Saved as {name}.", name=target.name))

    def _failed(self, error: DeskError) -> None:
        if not self.period.show_error(error):
            self.said.setText(f"{WRONG} {error}")


def _in_words(used: PartsUsed) -> str:
    """Say how much was used, and what it comes to."""
    total = used.total
    if not total.pieces:
        return _("No part was used on a visit of these days. What is fitted stands here then.")
    pieces = plural("{count} piece was used", "{count} pieces were used", total.pieces)
    visits = plural("on {count} visit", "on {count} visits", total.visits)
    said = _("{pieces} {visits}.", pieces=pieces, visits=visits)
    if total.unpriced == total.pieces:
        return said
    from desk.trade.charging.money import show_money  # brings Babel

    money = show_money(total.cents, used.currency, used.letterhead.language)
    return f"{said} {_('Those with a price come to {money}.', money=money)}"


def _stock(one: PartTally) -> str:
    return ", ".join(f"{van or _('shelf')} {pieces}" for van, pieces in one.stock)


def _pages(used: PartsUsed, watch: Watch) -> bytes:
    from desk.paper.documents.parts_used import parts_used  # brings ReportLab

    return parts_used(used, watch=watch)
