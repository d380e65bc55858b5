"""The parts fitted on a visit: what each is, its price where it is charged, and off again."""

from __future__ import annotations

import uuid

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desk.base.errors import InputError
from desk.base.texts import _
from desk.records.views.drafts import price_field
from desk.records.views.report import PartLine, VisitReport
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.charging.money import cents_typed
from desk.windows.kit.controls import column
from desk.windows.kit.fields import WrittenLine
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton

PRICE_WIDTH = 150


class FittedParts(QWidget):
    """One row for each part; a row stays while the part does, so that typing in it goes on.

    Signals:
        taken_off: the key of a part that is to be taken off the record.
        priced: the key of a part, and the price of one as it was typed.
    """

    taken_off = Signal(object)
    priced = Signal(object, str)

    def __init__(self) -> None:
        super().__init__()
        self._rows: dict[uuid.UUID, _PartRow] = {}
        self._nothing = text_label(_("No part fitted. Type one below and press Enter."))
        self._column = column(spacing=4)
        self._column.addWidget(self._nothing)
        self.setLayout(self._column)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the parts of a visit as they are kept."""
        self._nothing.setVisible(not sheet.part_ids)
        for key in self._rows.keys() - set(sheet.part_ids):
            row = self._rows.pop(key)
            row.hide()
            row.setParent(None)
            row.deleteLater()
        prices = _prices(sheet.report)
        parts = zip(sheet.part_ids, sheet.report.parts, strict=True)
        for place, (key, part) in enumerate(parts):
            if key not in self._rows:
                self._rows[key] = self._new_row(key, place)
            self._rows[key].show_part(part, prices[place] if prices is not None else None)

    def _new_row(self, key: uuid.UUID, place: int) -> _PartRow:
        row = _PartRow(key)
        row.asked.connect(self.taken_off)
        row.price.written.connect(lambda _field, text: self.priced.emit(key, text))
        self._column.insertWidget(place + 1, row)  # under the words that stand there without parts
        row.show()
        return row

    def field_of(self, error: InputError) -> WrittenLine | None:
        """Return the line of the price that a refusal names."""
        fields = (row.price for row in self._rows.values())
        return next((field for field in fields if field.key == error.field), None)

    def flush(self) -> None:
        """Hand in the prices that were typed and are not kept yet."""
        for row in self._rows.values():
            row.price.flush()


class _PartRow(QWidget):
    """One part that was fitted, with the way to take it off the record."""

    asked = Signal(object)

    def __init__(self, key: uuid.UUID) -> None:
        super().__init__()
        self._key = key
        self._words = text_label(rank="large", name="fitted")
        self.price = WrittenLine(price_field(key), _("Price of one"), _("such as 34.50"))
        self.price.edit.setObjectName("fitted_price")
        self.price.under.setObjectName("under_fitted_price")
        self.price.half_typed_name = self.price.key
        self.price.setFixedWidth(PRICE_WIDTH)
        self._out = WideButton(_("Take off"), "take_off")
        self._out.clicked.connect(self._ask)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._words, 1)
        row.addWidget(self.price, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._out, 0, Qt.AlignmentFlag.AlignBottom)

    def show_part(self, part: PartLine, price: str | None) -> None:
        """Show a part; its price is None where nothing is charged."""
        self._words.setText(_part_text(part))
        self._out.setAccessibleName(_("Take {part} off the record", part=part.name))
        self.price.edit.setAccessibleName(_("Price of one {part}", part=part.name))
        self.price.setVisible(price is not None)
        if price is not None:
            self.price.show_kept(price)

    def _ask(self) -> None:
        self.asked.emit(self._key)


def _prices(report: VisitReport) -> list[str] | None:
    """Return the price of each part as typed, in their order; None where nothing is charged."""
    if report.charges is None:
        return None
    return [cents_typed(line.each_cents) for line in report.charges.lines if line.kind == "part"]


def _part_text(part: PartLine) -> str:
    texts = (
        f"{part.quantity} × {part.name}",
        part.number,
        _("old {serial}", serial=part.old_serial) if part.old_serial else "",
        _("new {serial}", serial=part.new_serial) if part.new_serial else "",
        part.reason,
        _("kept for a claim") if part.kept_for_claim else "",
    )
    return " · ".join(text for text in texts if text)
