"""What leaves the window on what comes back: a file of what is shown, and printed pages."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from desk.base.errors import DeskError
from desk.base.files import Target
from desk.base.progress import Watch
from desk.base.texts import _
from desk.paper.kit.date_text import show_month
from desk.records.actions.recurrence import (
    MonthToPrint,
    SeeAges,
    SeeLives,
    SeeMonth,
    SeeRepeatsToPrint,
    SeeWorthALook,
)
from desk.records.views.recurrence import (
    AgeGroup,
    ComputedFigures,
    LifeGroup,
    RepeatChoice,
    RepeatsToPrint,
    WorthALook,
)
from desk.records.views.result_table import ResultTable
from desk.trade.recurrence.repeat_rule import REPEAT_WITHIN_DAYS
from desk.trade.scheduling.months import last_month_over
from desk.windows.documents.model import Document
from desk.windows.documents.window import DocumentWindow
from desk.windows.kit.prompts import Prompts
from desk.windows.work.work_queue import WorkQueue


class Papers(QObject):
    """Writes and prints for a window.

    Signals:
        written: the name of a file that is there now.
        failed: why one is not.
    """

    written = Signal(str)
    failed = Signal(object)

    def __init__(self, queue: WorkQueue, prompts: Prompts, window: QWidget) -> None:
        super().__init__(window)
        self._queue, self._prompts, self._window = queue, prompts, window

    def save(self, told: ResultTable) -> None:
        """Ask for a file and write into it what is shown."""
        target = self._prompts.save_as(
            _("Save the table"), _("What comes back.csv"), _("CSV (*.csv)")
        )
        if target is None:
            return

        def write(target: Target = target) -> str:
            told.write(target)
            return target.name

        self._queue.work(self, write, self.written.emit, self._failed)

    def show(self, document: Document[Any]) -> None:
        """Show the pages of a document, to be printed or saved."""
        DocumentWindow(self._queue, self._prompts, document, self._window).show()

    def _failed(self, error: DeskError) -> None:
        self.failed.emit(error)


def rates_document(choice: RepeatChoice) -> Document[RepeatsToPrint]:
    """Return the summary of a choice, with the jobs behind its rows."""

    def pages(told: RepeatsToPrint, watch: Watch) -> bytes:
        from desk.paper.documents.repeat_summary import repeat_summary

        return repeat_summary(told.summary, told.behind, watch=watch)

    return Document(
        _("What comes back"), _("What comes back.pdf"), SeeRepeatsToPrint(choice), pages
    )


def ages_document(choice: RepeatChoice) -> Document[ComputedFigures[AgeGroup]]:
    """Return the failures against age of a choice."""

    def pages(seen: ComputedFigures[AgeGroup], watch: Watch) -> bytes:
        from desk.paper.documents.recurrence_pages import failures_summary

        return failures_summary(seen, watch=watch)

    return Document(
        _("Failures against age"), _("Failures against age.pdf"), SeeAges(choice), pages
    )


def lives_document(choice: RepeatChoice) -> Document[ComputedFigures[LifeGroup]]:
    """Return the lives of parts of a choice."""

    def pages(seen: ComputedFigures[LifeGroup], watch: Watch) -> bytes:
        from desk.paper.documents.recurrence_pages import lives_summary

        return lives_summary(seen, watch=watch)

    return Document(_("Part life"), _("Part life.pdf"), SeeLives(choice), pages)


def worth_document(choice: RepeatChoice) -> Document[WorthALook]:
    """Return what is worth a second look."""

    def pages(found: WorthALook, watch: Watch) -> bytes:
        from desk.paper.documents.recurrence_pages import look_pages

        return look_pages(found, watch=watch)

    return Document(
        _("Worth a second look"), _("Worth a second look.pdf"), SeeWorthALook(choice), pages
    )


def month_document(as_of: date) -> Document[MonthToPrint]:
    """Return the last month of which every window is over, with what is worth a second look."""

    def pages(told: MonthToPrint, watch: Watch) -> bytes:
        from desk.paper.documents.recurrence_pages import monthly_summary

        return monthly_summary(told.month, told.look, watch=watch)

    since, _until = last_month_over(as_of, REPEAT_WITHIN_DAYS)
    return Document(
        _("What comes back, {month}", month=show_month(since)),
        _("What comes back {month}.pdf", month=f"{since:%Y-%m}"),
        SeeMonth(as_of),
        pages,
    )
