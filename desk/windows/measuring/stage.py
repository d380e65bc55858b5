"""Measure: the fill timer, and every other reading as a typed line."""

from __future__ import annotations

import time
from collections.abc import Callable

from desk.base.errors import DeskError, InputError
from desk.base.texts import _
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.readings.reading_kinds import READING_KINDS
from desk.windows.kit.labels import text_label
from desk.windows.measuring.computed_card import MeasurementCard
from desk.windows.measuring.flow_card import FlowPanel
from desk.windows.measuring.reading_row import ReadingRow, readings_column
from desk.windows.stage_kit.large_controls import WideButton, let_write, press
from desk.windows.stage_kit.stage import OnSiteStage


class MeasuringStage(OnSiteStage):
    """A stage with a measured flow and readings, all of one moment of the visit."""

    def __init__(
        self,
        name: str,
        title: str,
        moment: str,
        kinds: tuple[str, ...],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(name, title)
        self.moment = moment
        self.back = WideButton(_("Back to the check"), f"back_{moment}")
        press(self.back, "Esc")
        self.back.clicked.connect(self._back)
        self.back.hide()
        self.flow = FlowPanel(moment, clock)
        self.flow.handed_in.connect(self.hand_in)
        self.readings = [ReadingRow(kind, moment) for kind in kinds]
        for row in self.readings:
            row.handed_in.connect(self.hand_in)
        self.cards = [MeasurementCard(each, moment) for each in MEASUREMENTS.values()]
        for card in self.cards:
            card.handed_in.connect(self.hand_in)

    def measure_for(self, check: str) -> None:
        """Measure for a check, and offer the way back to it."""
        self.flow.measure_for(check)
        self.back.setVisible(bool(check))

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what was measured at this moment."""
        super().show_sheet(sheet)
        self.flow.show_sheet(sheet)
        for row in self.readings:
            row.show_sheet(sheet)
        for card in self.cards:
            card.show_sheet(sheet)
        let_write(self.page, sheet.report.state == "under_way")

    def show_error(self, error: DeskError) -> None:
        """Say a refusal under the line where it was entered."""
        if any(card.refuse(error) for card in self.cards):
            return  # a card and a reading may share a name; the card knows what it asked for
        named = error.field if isinstance(error, InputError) else ""
        for row in self.readings:
            if row.field.key == named:
                row.refuse(str(error))
                return
        if not self.flow.show_error(error):
            super().show_error(error)

    def flush(self) -> None:
        """Hand in readings that were typed."""
        super().flush()
        for row in self.readings:
            row.flush()
        for card in self.cards:
            card.flush()

    def shown_here(self) -> str:
        """Return what was found or is left, as this stage measures it."""
        return self.moment

    def take_focus(self) -> None:
        """Put the keys on the container where none is chosen yet, else on the timer."""
        container = self.flow.fields["container"]
        weighed = self.flow.fields["scale"].text()
        (self.flow.timer if container.text() or weighed else container).setFocus()

    def add_cards(self) -> None:
        """Put the cards of the computed measurements under one another."""
        self.column.addWidget(text_label(_("Computed from readings"), rank="head"))
        for card in self.cards:
            self.column.addWidget(card)

    def _back(self) -> None:
        self.measure_for("")
        self.moved.emit("check")


class MeasureStage(MeasuringStage):
    """What is measured before the work."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__("measure", _("Measure"), "found", tuple(READING_KINDS), clock)
        self.column.addWidget(self.back)
        self.column.addWidget(self.flow)
        self.add_cards()
        self.column.addWidget(text_label(_("Other readings"), rank="head"))
        self.column.addLayout(readings_column(self.readings))
        self.column.addStretch(1)
