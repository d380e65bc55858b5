"""Readings typed one by one: the line to type in, and what was kept with how it was understood."""

from __future__ import annotations

import uuid

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desk.records.deeds import visit as deeds
from desk.records.half_typed import reading_field
from desk.records.snapshots import ReadingLine, UnitSystem
from desk.records.views import VisitSheet
from desk.trade.readings import READING_KINDS
from desk.trade.units import USUAL, Kind
from desk.windows.controls import column
from desk.windows.fields import TypedLine
from desk.windows.labels import text_label
from desk.windows.visit.controls import WideButton, clear, put
from desk.wording import _, say


class ReadingRow(QWidget):
    """One kind of reading at one moment: type it, press Enter; a wrong one is taken out again."""

    handed_in = Signal(object)

    def __init__(self, kind: str, moment: str, check: str = "") -> None:
        super().__init__()
        self._kind, self._moment, self._check = kind, moment, check
        self._visit_id: uuid.UUID | None = None
        self._count = 0
        self._shown: tuple[tuple[uuid.UUID, ReadingLine], ...] = ()
        quantity = READING_KINDS[kind].quantity
        hint = say(USUAL[quantity].expected) if quantity else _("what was read, in words")
        self.field = TypedLine(kind, say(READING_KINDS[kind].label), hint)
        self.field.edit.setObjectName(reading_field(kind, moment))
        self.field.under.setObjectName(f"under_{kind}_{moment}")
        self.field.edit.editingFinished.connect(self.flush)
        self._kept = column(spacing=2)
        layout = column(spacing=4)
        layout.addWidget(self.field)
        layout.addLayout(self._kept)
        self.setLayout(layout)

    def flush(self) -> None:
        """Hand in what stands in the line; it goes from there when it is kept."""
        text = self.field.text().strip()
        if text and self._visit_id is not None and text != self._pending:
            self._wait_for(text)
            self.handed_in.emit(
                deeds.TakeReading(
                    self._visit_id, self._kind, text, moment=self._moment, check=self._check
                )
            )

    _pending = ""

    def _wait_for(self, text: str) -> None:
        """Know what was handed in and is not answered yet."""
        self._pending = text
        self.field.is_on_its_way = bool(text)

    def refuse(self, sentence: str) -> None:
        """Say under the line what is expected; what was typed stays."""
        self._wait_for("")
        self.field.show_error(sentence)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what was kept of this kind at this moment."""
        self._visit_id = sheet.visit_id
        kept = tuple(
            (key, line)
            for key, line in zip(sheet.reading_ids, sheet.report.readings, strict=True)
            if line.kind == self._kind and line.when == self._moment
        )
        if len(kept) > len(self._shown) and self.field.text().strip() == self._pending:
            self.field.put("")
        self._wait_for("")
        if kept == self._shown:
            return
        self._shown = kept
        clear(self._kept)
        for key, line in kept:
            put(self._kept, _Kept(key, line, sheet.report.letterhead.system, self))

    def take_out(self, key: uuid.UUID) -> None:
        """Hand in that a reading is wrong."""
        if self._visit_id is not None:
            self.handed_in.emit(deeds.WithdrawReading(self._visit_id, key))


class _Kept(QWidget):
    """A reading that was kept, as typed and as understood."""

    def __init__(
        self, key: uuid.UUID, line: ReadingLine, system: UnitSystem, row: ReadingRow
    ) -> None:
        super().__init__()
        self._key, self._row = key, row
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(text_label(f"✔ {understood(line, system)}"), 1)
        out = WideButton(_("Take out"), f"take_out_{line.kind}")
        out.setAccessibleName(_("Take out {reading}", reading=line.typed))
        out.clicked.connect(self._take_out)
        layout.addWidget(out)

    def _take_out(self) -> None:
        self._row.take_out(self._key)


def understood(line: ReadingLine, system: UnitSystem) -> str:
    """Say a reading as it was typed and, where it is a quantity, as it was understood."""
    from desk.paper.measures import amount, kind_of  # brings Pint with the first quantity

    kind = kind_of(line.quantity)
    if kind is None or line.si_value is None or kind is Kind.FRACTION:
        return line.typed  # 35 ppm says more than 0.0035 %
    shown = amount(line.si_value, kind, system)
    both = f"{shown.main} ({shown.other})" if shown.other else shown.main
    number = shown.main.partition("\N{NO-BREAK SPACE}")[0]
    if line.typed.startswith(number):
        return both
    return _("{typed}, that is {both}", typed=line.typed, both=both)


def readings_column(rows: list[ReadingRow]) -> QVBoxLayout:
    """Return the rows under one another."""
    layout = column(spacing=10)
    for row in rows:
        layout.addWidget(row)
    return layout
