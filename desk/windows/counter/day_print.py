"""Prints the sheets of a day: saved, and opened to be printed."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desk.errors import DeskError
from desk.files import write_file
from desk.windows.prompts import Prompts
from desk.windows.worker import Desk
from desk.wording import _

if TYPE_CHECKING:
    from desk.records.snapshots import DaySheet


class DayPrint(QObject):
    """Asks where to, writes the sheets away from the window, and opens them.

    Signals:
        failed: why there are none (`DeskError`).
    """

    failed = Signal(object)

    def __init__(self, desk: Desk, prompts: Prompts, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._prompts = desk, prompts

    def print_day(self, day: date) -> None:
        """Print a day for everybody who has a visit."""
        from desk.records.deeds.lists import SeeDaySheet  # only here: start-up counts

        self._desk.ask(self, SeeDaySheet(day), self._write, self._fail, key="day sheet")

    def _write(self, sheet: DaySheet) -> None:
        path = self._prompts.save_as(
            _("Save the day sheets"),
            _("Day sheet {day}.pdf", day=sheet.day.isoformat()),
            _("PDF (*.pdf)"),
        )
        if path is None:
            return

        def build() -> Path:
            from desk.paper.day_sheet import day_sheet

            write_file(path, day_sheet(sheet))
            return path

        self._desk.work(self, build, self._prompts.show_file, self._fail)

    def _fail(self, error: DeskError) -> None:
        self.failed.emit(error)
