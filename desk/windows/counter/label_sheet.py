"""Prints labels for the appliances of some premises: saved, and opened to be printed."""

from __future__ import annotations

import uuid
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desk.errors import DeskError
from desk.files import write_file
from desk.windows.prompts import Prompts
from desk.windows.worker import Desk
from desk.wording import _

if TYPE_CHECKING:
    from desk.records.deeds.lists import LabelsToPrint


class LabelSheets(QObject):
    """Asks where to, writes the sheet away from the window, and opens it.

    Signals:
        failed: why there is none (`DeskError`).
    """

    failed = Signal(object)

    def __init__(self, desk: Desk, prompts: Prompts, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._prompts = desk, prompts

    def print_for(self, premises_id: uuid.UUID) -> None:
        """Print one label for every appliance that stands there."""
        from desk.records.deeds.lists import SeeLabels  # only here: start-up counts

        self._desk.ask(self, SeeLabels(premises_id), self._write, self._fail, key="labels")

    def _write(self, found: LabelsToPrint) -> None:
        path = self._prompts.save_as(
            _("Save the labels"), _("Appliance labels.pdf"), _("PDF (*.pdf)")
        )
        if path is None:
            return

        def build() -> Path:
            from desk.paper.appliance_labels import USUAL_SHEETS, appliance_labels

            write_file(path, appliance_labels(found.labels, USUAL_SHEETS[found.paper]))
            return path

        self._desk.work(self, build, self._prompts.show_file, self._fail)

    def _fail(self, error: DeskError) -> None:
        self.failed.emit(error)
