"""What a reading was taken with: the instrument's number, its calibration, and a remark."""

from __future__ import annotations

import uuid
from datetime import date
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from desk.base.errors import InputError
from desk.base.texts import _
from desk.records.actions import measuring
from desk.records.views.measured import TakenWith
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.scheduling.booking_text import Calendar, say_day
from desk.windows.kit.fields import TypedLine


class TakenWithFields(QWidget):
    """Three lines that belong to one reading and are kept as they are left.

    Signals:
        handed_in: a command.
    """

    handed_in = Signal(object)

    def __init__(self, name: str) -> None:
        super().__init__()
        self._key: tuple[uuid.UUID, uuid.UUID] | None = None
        self._kept = TakenWith()
        self._calendar: Calendar | None = None
        self.instrument = TypedLine("instrument", _("Instrument number"), _("as on its label"))
        self.calibrated = TypedLine(
            "calibrated_until", _("Calibrated until"), _("such as 3 dec 2027")
        )
        self.note = TypedLine("note", _("Remark"), _("what the report should say beside it"))
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for place, field in enumerate((self.instrument, self.calibrated, self.note)):
            field.edit.setObjectName(f"{field.key}_{name}")
            field.edit.editingFinished.connect(self.flush)
            layout.addWidget(field, 0, place, Qt.AlignmentFlag.AlignTop)

    def show_kept(self, sheet: VisitSheet, reading_id: uuid.UUID, kept: TakenWith) -> None:
        """Show what is kept for a reading; a day is read as on the day of the visit.

        Args:
            sheet: the visit.
            reading_id: key of the reading.
            kept: what is kept for it.
        """
        report = sheet.report
        begun = (report.started_at or report.received_at).astimezone(ZoneInfo(report.zone))
        self._calendar = Calendar.of(begun.date(), report.letterhead.system)
        self._key, self._kept = (sheet.visit_id, reading_id), kept
        self.instrument.show_kept(kept.instrument)
        self.calibrated.show_kept(say_day(kept.calibrated_until) if kept.calibrated_until else "")
        self.note.show_kept(kept.note)

    def flush(self) -> None:
        """Hand in what stands in the lines, if it is not kept yet and can be read."""
        if self._key is None:
            return
        try:
            day = self._day()
        except InputError as error:
            self.calibrated.show_error(str(error))
            return
        written = TakenWith(self.instrument.text().strip(), day, self.note.text().strip())
        if written != self._kept:
            self._kept = written
            self.handed_in.emit(measuring.DescribeReading(*self._key, written))

    def _day(self) -> date | None:
        text = self.calibrated.text()
        if self._kept.calibrated_until and text == say_day(self._kept.calibrated_until):
            return self._kept.calibrated_until
        return self._calendar.read(text, "calibrated_until") if self._calendar else None
