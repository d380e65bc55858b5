"""Orders: what the shelf lacks, what is on its way, and what came for a visit that waits."""

from __future__ import annotations

import csv
import io
from datetime import date
from zoneinfo import ZoneInfo

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from desk.base.csv_cells import guard
from desk.base.errors import DeskError
from desk.base.files import write_file
from desk.base.texts import _, message
from desk.records.actions import Command, Query
from desk.records.actions.stock import AskForPart, OrderPart, PartCame, SeeOrders, WithdrawOrder
from desk.records.views.shop import OrderLine
from desk.trade.scheduling.booking_text import say_day
from desk.windows.forms.field_lines import whole
from desk.windows.forms.forms import EnterForm
from desk.windows.forms.list_window import ListWindow
from desk.windows.kit.fields import TypedLine
from desk.windows.kit.item_models import TableColumn
from desk.windows.kit.prompts import Prompts
from desk.windows.record.forms import Typed
from desk.windows.work.work_queue import WorkQueue

STATES = {
    "to_order": message("▼ to order"),
    "ordered": message("… on its way"),
    "came": message("✔ came"),
}


def _for_whom(line: OrderLine) -> str:
    if not line.visit:
        return _("the shelf")
    return " · ".join(part for part in (line.visit, line.customer) if part)


def _day(day: date | None) -> str:
    return say_day(day) if day else ""


class OrdersWindow(ListWindow[OrderLine]):
    """One line a part: ask for it, order it, receive it; the list is saved for the supplier."""

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        self._prompts = prompts
        columns: tuple[TableColumn[OrderLine], ...] = (
            TableColumn(_("Part"), lambda line: line.name),
            TableColumn(_("Number"), lambda line: line.number),
            TableColumn(_("Pieces"), lambda line: str(line.pieces), is_number=True),
            TableColumn(_("For"), _for_whom),
            TableColumn(_("How far"), lambda line: str(STATES[line.state])),
            TableColumn(_("Ordered"), lambda line: _day(line.ordered_on)),
            TableColumn(_("Came"), lambda line: _day(line.came_on)),
            TableColumn(_("Goes on"), self._goes_on),
        )
        super().__init__(queue, "orders", _("Parts on order"), columns, parent)
        self._build(
            _("Parts on order"),
            _("Nothing is to be ordered. A visit asks for parts on its Repair page."),
            (
                ("order_ask", _("Ask for a part"), self._ask),
                ("order_ordered", _("It is ordered"), self._ordered),
                ("order_came", _("It came"), self._came),
                ("order_withdraw", _("Ask for it no more"), self._withdraw),
                ("order_save", _("Save the order list"), self._save),
            ),
            QSize(1080, 520),
        )

    def _goes_on(self, line: OrderLine) -> str:
        if not line.visit:
            return ""
        if line.goes_on is None:
            return _("not booked")
        return say_day(line.goes_on.astimezone(ZoneInfo(self._queue.zone)).date())

    def _question(self) -> Query[tuple[OrderLine, ...]]:
        return SeeOrders()

    def _ask(self) -> None:
        entries = [
            TypedLine("number", _("Part number"), _("of the catalogue, or empty")),
            TypedLine("name", _("or in words")),
            TypedLine("pieces", _("Pieces"), _("such as 2")),
        ]

        def command(typed: Typed) -> Command[object]:
            return AskForPart(
                number=typed["number"], name=typed["name"], pieces=whole(typed["pieces"], "pieces")
            )

        title = _("Ask for a part for the shelf")
        self._open(
            EnterForm(self._queue, title, _("Ask for it"), entries, command, place="form/order")
        )

    def _ordered(self) -> None:
        line = self.marked()
        if line is not None:
            self._act(OrderPart(line))

    def _came(self) -> None:
        line = self.marked()
        if line is not None and line.order_id is not None:
            self._act(PartCame(line.order_id))
        elif line is not None:
            self.trouble.setText(_("Say first that it is ordered."))

    def _withdraw(self) -> None:
        line = self.marked()
        if line is not None and line.order_id is not None:
            self._act(WithdrawOrder(line.order_id))
        elif line is not None:
            self.trouble.setText(
                _("The shelf is short of it; change what is to be kept in the list of parts.")
            )

    def _act(self, command: Command[object]) -> None:
        self.trouble.setText("")
        self._queue.act(self, command, self._done, self._failed)

    def _done(self, _answer: object) -> None:
        self.trouble.setText("")

    def _save(self) -> None:
        """Save what is to be ordered as a table for the supplier."""
        lines = [line for line in self.model.rows() if line.state == "to_order"]
        place = self._prompts.save_as(_("Save the order list"), "order-list.csv", "CSV (*.csv)")
        if place is None:
            return
        try:
            write_file(place, _as_csv(lines))
        except DeskError as error:
            self._failed(error)


def _as_csv(lines: list[OrderLine]) -> bytes:
    out = io.StringIO(newline="")
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow([_("Number"), _("Part"), _("Pieces"), _("For")])
    for line in lines:
        cells = (line.number, line.name, str(line.pieces), line.visit)
        rows.writerow([guard(cell) for cell in cells])
    return out.getvalue().encode("utf-8")
