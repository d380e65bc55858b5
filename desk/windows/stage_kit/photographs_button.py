"""The way from a stage to the photographs of the visit."""

from __future__ import annotations

from desk.base.texts import _
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.stage_kit.large_controls import WideButton, press

ASKED_FOR = "photo"
"""Among what a check records: a photograph belongs to it."""


class ToPhotographs(WideButton):
    """Says how many photographs there are and goes there, also with P."""

    def __init__(self, name: str) -> None:
        super().__init__(_("Photos"), name)
        press(self, "P")

    def show_sheet(self, sheet: VisitSheet, check: str = "") -> None:
        """Say how many photographs a visit has, or a check where one is named."""
        lines = sheet.report.photographs
        if not check:
            self.say(_("Photos: {count}", count=len(lines)))
            return
        count = sum(line.check == check for line in lines)
        wanted = sheet.checklist is not None and ASKED_FOR in sheet.checklist.check(check).records
        if count:
            self.say(_("Photos: {count}", count=count))
        elif wanted:
            self.say(_("➜ Photo wanted"))
        else:
            self.say(_("Photo"))
