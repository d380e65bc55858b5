"""Readings typed one by one: the line to type in, and what was kept with how it was understood."""

from __future__ import annotations

import uuid

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from desk.base.texts import _, say
from desk.paper.kit.id_words import SAFE_SIGNS
from desk.records.actions import measuring
from desk.records.views.drafts import reading_field
from desk.records.views.measured import ReadingLine, TakenWith
from desk.records.views.parties import UnitSystem
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.quantities.units import USUAL, QuantityKind
from desk.trade.readings.reading_kinds import READING_KINDS
from desk.trade.scheduling.booking_text import say_day
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.measuring.instrument_fields import TakenWithFields
from desk.windows.stage_kit.large_controls import WideButton, only_unfolds, put


class ReadingRow(QWidget):
    """One kind of reading at one moment: type it, press Enter; a wrong one is taken out again."""

    handed_in = Signal(object)

    def __init__(self, kind: str, moment: str, check: str = "") -> None:
        super().__init__()
        self._kind, self._moment, self._check = kind, moment, check
        self._visit_id: uuid.UUID | None = None
        self._shown: dict[uuid.UUID, _Kept] = {}
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
        for kept in self._shown.values():
            kept.flush()
        text = self.field.text().strip()
        if text and self._visit_id is not None and text != self._pending:
            self._wait_for(text)
            self.handed_in.emit(
                measuring.TakeReading(
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
        self._show_kept(sheet, dict(kept))

    def _show_kept(self, sheet: VisitSheet, kept: dict[uuid.UUID, ReadingLine]) -> None:
        """Show the lines that are kept; one that was shown before stays, with the keys on it."""
        for key in [key for key in self._shown if key not in kept]:
            gone = self._shown.pop(key)
            self._kept.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for key, line in kept.items():
            if key not in self._shown:
                self._shown[key] = _Kept(key, self._kind, self)
                put(self._kept, self._shown[key])
            self._shown[key].show_line(sheet, line)

    def take_out(self, key: uuid.UUID) -> None:
        """Hand in that a reading is wrong."""
        if self._visit_id is not None:
            self.handed_in.emit(measuring.WithdrawReading(self._visit_id, key))


class _Kept(QWidget):
    """A reading that was kept: as typed, as understood, what it means, what it was taken with."""

    def __init__(self, key: uuid.UUID, kind: str, row: ReadingRow) -> None:
        super().__init__()
        self._key, self._row = key, row
        name = f"{kind}_{key.hex}"
        self.said = text_label(name=f"kept_{kind}")
        self.remarks = text_label(loud=True, name=f"remarks_{kind}")
        self.taken_with = TakenWithFields(name)
        self.taken_with.handed_in.connect(row.handed_in)
        self.taken_with.hide()
        self.out = WideButton(_("Take out"), f"take_out_{kind}")
        self.out.clicked.connect(self._take_out)
        line = QHBoxLayout()
        line.addWidget(self.said, 1)
        if READING_KINDS[kind].instrument:
            more = WideButton(_("Instrument"), f"instrument_of_{kind}")
            only_unfolds(more)
            more.toggled.connect(self.taken_with.setVisible)
            line.addWidget(more)
        line.addWidget(self.out)
        layout = column(spacing=4)
        self.setLayout(layout)
        layout.addLayout(line)
        layout.addWidget(self.remarks)
        layout.addWidget(self.taken_with)

    def show_line(self, sheet: VisitSheet, line: ReadingLine) -> None:
        """Show the reading as it stands."""
        taken = (line.instrument, say_day(line.calibrated_until) if line.calibrated_until else "")
        about = ", ".join(part for part in (*taken, line.note) if part)
        self.said.setText(
            f"✔ {understood(line, sheet.report.letterhead.system)}"
            + (f"  ·  {about}" if about else "")
        )
        sign = SAFE_SIGNS.get(line.safe, WRONG)
        self.remarks.setText("\n".join(f"{sign} {say(remark)}" for remark in line.remarks))
        self.remarks.setVisible(bool(line.remarks) and not line.safe)  # Prove says it of the tap
        self.out.setAccessibleName(_("Take out {reading}", reading=line.typed))
        self.taken_with.show_kept(
            sheet, self._key, TakenWith(line.instrument, line.calibrated_until, line.note)
        )

    def flush(self) -> None:
        """Hand in what was written about the instrument and is not kept yet."""
        self.taken_with.flush()

    def _take_out(self) -> None:
        self._row.take_out(self._key)


def understood(line: ReadingLine, system: UnitSystem) -> str:
    """Say a reading as it was typed and, where it is a quantity, as it was understood."""
    from desk.paper.kit.quantity_text import amount, kind_of  # brings Pint with the first quantity

    kind = kind_of(line.quantity)
    if kind is None or line.si_value is None or kind is QuantityKind.FRACTION:
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
