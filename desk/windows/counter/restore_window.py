"""What was withdrawn or joined, in a list from which it is brought back."""

from __future__ import annotations

from collections.abc import Mapping
from zoneinfo import ZoneInfo

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from desk.base.texts import Message, _, message
from desk.records.actions import Query
from desk.records.actions.belonging import BringBack, SeeWithdrawn
from desk.records.views.customer_record import WithdrawnLine
from desk.windows.forms.list_window import ListWindow
from desk.windows.kit.item_models import TableColumn
from desk.windows.record.phrases import day_words
from desk.windows.work.work_queue import WorkQueue

KINDS: Mapping[str, Message] = {
    "customer": message("Customer"),
    "premises": message("Premises"),
    "appliance": message("Appliance"),
}


_LONGEST = 24


def _became(line: WithdrawnLine) -> str:
    if not line.into:
        return _("withdrawn")
    is_long = len(line.into) > _LONGEST
    return _("joined with {name}", name=f"{line.into[:_LONGEST]}…" if is_long else line.into)


class WithdrawnWindow(ListWindow[WithdrawnLine]):
    """Everything that was withdrawn or joined, the latest first."""

    def __init__(self, queue: WorkQueue, parent: QWidget | None = None) -> None:
        zone = ZoneInfo(queue.zone)
        columns: tuple[TableColumn[WithdrawnLine], ...] = (
            TableColumn(_("Name"), lambda line: line.name),
            TableColumn(_("What it is"), lambda line: str(KINDS[line.kind])),
            TableColumn(_("When"), lambda line: day_words(line.at.astimezone(zone).date())),
            TableColumn(_("What became of it"), _became),
        )
        super().__init__(queue, "withdrawn", _("Withdrawn and joined"), columns, parent)
        self._build(
            _("Withdrawn and joined"),
            _("Nothing was withdrawn or joined. More, in a record, does it."),
            (
                ("withdrawn_close", _("Close"), self._leave),
                ("bring_back", _("Bring it back"), self._bring_back),
            ),
            QSize(820, 420),
        )

    def _question(self) -> Query[tuple[WithdrawnLine, ...]]:
        return SeeWithdrawn()

    def _leave(self) -> None:
        self.close()

    def _bring_back(self) -> None:
        line = self.marked()
        if line is not None:
            self.trouble.setText("")
            self._queue.act(self, BringBack(line.set_id), self._brought, self._failed)

    def _brought(self, _answer: object) -> None:
        """Do nothing: the list looks again by itself."""
