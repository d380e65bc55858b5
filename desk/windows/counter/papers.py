"""What the counter prints: each document is shown, and printed or saved from there."""

from __future__ import annotations

import uuid
from datetime import date
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.windows.kit.prompts import Prompts
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:  # the database is imported after the first window is painted
    from desk.base.progress import Watch
    from desk.records.actions.documents import LabelsToPrint
    from desk.records.views.appliance_life import ApplianceHistory
    from desk.records.views.customer_record import ApplianceCard, GoneAppliance
    from desk.records.views.day import DaySheet
    from desk.windows.documents.model import Document


class CounterPapers(QObject):
    """Shows the documents that the counter asks for, over the counter's window."""

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget) -> None:
        super().__init__(parent)
        self._queue, self._prompts, self._over = queue, prompts, parent

    def show_day(self, day: date) -> None:
        """Show a day's sheets for everybody who has a visit."""
        from desk.records.actions.documents import SeeDaySheet  # only here: start-up counts
        from desk.windows.documents.model import Document

        self._show(
            Document(
                _("Day sheets {day}", day=day.isoformat()),
                _("Day sheet {day}.pdf", day=day.isoformat()),
                SeeDaySheet(day),
                _day_pages,
            )
        )

    def show_labels(self, premises_id: uuid.UUID) -> None:
        """Show one label for every appliance that stands at some premises."""
        from desk.records.actions.documents import SeeLabels
        from desk.windows.documents.model import Document

        self._show(
            Document(
                _("Appliance labels"),
                _("Appliance labels.pdf"),
                SeeLabels(premises_id),
                _label_pages,
            )
        )

    def show_history(self, card: ApplianceCard | GoneAppliance) -> None:
        """Show an appliance over its life."""
        from desk.records.actions.documents import SeeApplianceHistory
        from desk.windows.documents.model import Document

        number = card.line.number
        self._show(
            Document(
                _("Appliance history, {number}", number=number),
                _("Appliance history {number}.pdf", number=number),
                SeeApplianceHistory(card.appliance_id),
                _history_pages,
            )
        )

    def _show(self, document: Document[Any]) -> None:
        from desk.windows.documents.window import DocumentWindow

        DocumentWindow(self._queue, self._prompts, document, self._over).show()


def _day_pages(sheet: DaySheet, _watch: Watch) -> bytes:
    from desk.paper.documents.day_sheet import day_sheet  # brings ReportLab

    return day_sheet(sheet)


def _label_pages(found: LabelsToPrint, _watch: Watch) -> bytes:
    from desk.paper.documents.appliance_labels import USUAL_SHEETS, appliance_labels

    return appliance_labels(found.labels, USUAL_SHEETS[found.paper])


def _history_pages(history: ApplianceHistory, watch: Watch) -> bytes:
    from desk.paper.documents.appliance_history import appliance_history

    return appliance_history(history, watch=watch)
