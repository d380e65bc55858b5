"""What the visit is charged: the total as it stands, and the little that is ever typed for it."""

from __future__ import annotations

import uuid

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desk.base import texts
from desk.base.texts import _, plural
from desk.records.actions.closing import AddCharge, ChangeCharging, ChargeVisit, TakeChargeOff
from desk.records.views.report import ChargeLine, Charges
from desk.records.views.visit_sheet import ChargingView, VisitSheet
from desk.trade.charging.charges import minutes_typed
from desk.trade.charging.money import show_amount, show_money
from desk.windows.kit.controls import column
from desk.windows.kit.fields import Field, TypedLine, WrittenLine
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import Tick, WideButton, clear, put

TOP = Qt.AlignmentFlag.AlignTop


class ChargesPanel(QWidget):
    """Charges on the visit sheet; a usual visit is charged without a key.

    Signals:
        handed_in: a command.
    """

    handed_in = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("charges")
        self._sheet: VisitSheet | None = None
        self._count = 0
        self.is_charged = Tick(_("Charge this visit"), "charge_visit")
        self.is_charged.clicked.connect(self._charge)
        self.total = text_label(rank="large", name="charges_total")
        self.notes = text_label(name="charges_notes")
        self.minutes = WrittenLine("minutes", _("Labour"), _("from arriving to finishing"))
        self.minutes.written.connect(self._write_minutes)
        self.call_out = Tick(_("Call-out charge"), "charge_call_out")
        self.call_out.clicked.connect(self._write_call_out)
        self._lines = column(spacing=4)
        self.words = TypedLine("charge_words", _("Anything else"), _("such as permit, as paid"))
        self.amount = TypedLine("charge_amount", _("Amount"), _("such as 35 or -10"))
        self.free = Tick(_("No tax on it"), "charge_free_of_tax")
        self.add = WideButton(_("Charge it"), "add_charge")
        self.add.clicked.connect(self._add)
        for field in (self.words, self.amount):
            field.edit.returnPressed.connect(self._add)
        self._lay_out()

    def _lay_out(self) -> None:
        labour = QHBoxLayout()
        labour.addWidget(self.minutes, 1, TOP)
        labour.addWidget(self.call_out, 1, Qt.AlignmentFlag.AlignBottom)
        further = QHBoxLayout()
        further.addWidget(self.words, 2, TOP)
        further.addWidget(self.amount, 1, TOP)
        adding = QHBoxLayout()
        adding.addWidget(self.free, 1)
        adding.addWidget(self.add, 1)
        inside = column(spacing=8)
        inside.addWidget(self.total)
        inside.addWidget(self.notes)
        for row in (labour, self._lines, further, adding):
            inside.addLayout(row)
        self._inside = QWidget()
        self._inside.setLayout(inside)
        layout = column(spacing=8)
        for part in (text_label(_("Charges"), rank="head"), self.is_charged, self._inside):
            layout.addWidget(part)
        self.setLayout(layout)

    def fields(self) -> tuple[Field, ...]:
        """Return the fields that a refusal may name."""
        return self.minutes, self.words, self.amount

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what the visit is charged as it stands; nothing where the shop charges nothing."""
        self._sheet = sheet
        view, charges = sheet.charging, sheet.report.charges
        open_ = sheet.report.state in {"under_way", "finished"}
        self.setVisible(view is not None and open_)
        if view is None:
            return
        self.is_charged.setChecked(view.is_charged)
        self._inside.setVisible(charges is not None)
        if charges is not None:
            self._show_charges(view, charges)

    def _show_charges(self, view: ChargingView, charges: Charges) -> None:
        self.total.setText(_total(charges))
        self.notes.setText("\n".join(_notes(charges)))
        self.notes.setVisible(bool(self.notes.text()))
        self.minutes.setVisible(view.has_labour)
        self.minutes.show_kept(view.minutes)
        own = minutes_typed(view.own_minutes)
        hint = _("{time}, by the visit's own times", time=own) if own else ""
        self.minutes.edit.setPlaceholderText(hint or _("from arriving to finishing"))
        self.call_out.setVisible(view.has_call_out)
        self.call_out.setChecked(view.call_out)
        self.free.setVisible(view.has_tax)
        further = [line for line in charges.lines if line.kind == "other"]
        clear(self._lines)
        for key, line in zip(view.further_ids, further, strict=True):
            row = _FurtherRow(key, _line_text(charges, line))
            row.asked.connect(self._take_off)
            put(self._lines, row)
        if len(further) > self._count:
            self._empty()
        self._count = len(further)

    def _empty(self) -> None:
        for field in (self.words, self.amount):
            field.put("")
            field.show_error("")
        self.free.setChecked(False)

    def _charge(self, is_charged: bool) -> None:
        if self._sheet is not None:
            self.handed_in.emit(ChargeVisit(self._sheet.visit_id, is_charged=is_charged))

    def _write_minutes(self, _key: str, text: str) -> None:
        if self._sheet is not None:
            self.handed_in.emit(ChangeCharging(self._sheet.visit_id, {"minutes": text}))

    def _write_call_out(self, is_charged: bool) -> None:
        if self._sheet is not None:
            typed = {"call_out": "yes" if is_charged else "no"}
            self.handed_in.emit(ChangeCharging(self._sheet.visit_id, typed))

    def _add(self) -> None:
        if self._sheet is None:
            return
        for field in (self.words, self.amount):
            field.show_error("")
        self.handed_in.emit(
            AddCharge(
                self._sheet.visit_id,
                self.words.text(),
                self.amount.text(),
                is_taxed=not (self.free.isVisibleTo(self) and self.free.isChecked()),
            )
        )

    def _take_off(self, key: uuid.UUID) -> None:
        if self._sheet is not None:
            self.handed_in.emit(TakeChargeOff(self._sheet.visit_id, key))


class _FurtherRow(QWidget):
    """A further line of the charges, with the way to take it off."""

    asked = Signal(object)

    def __init__(self, key: uuid.UUID, words: str) -> None:
        super().__init__()
        self._key = key
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(text_label(words, rank="large", name="further_charge"), 1)
        out = WideButton(_("Take off"), "take_charge_off")
        out.setAccessibleName(_("Take {charge} off the charges", charge=words))
        out.clicked.connect(self._ask)
        row.addWidget(out)

    def _ask(self) -> None:
        self.asked.emit(self._key)


def _total(charges: Charges) -> str:
    total = show_money(charges.total_cents, charges.currency, texts.language())
    if not charges.taxes:
        return _("Total {total}", total=total)
    tax = _amount(charges, sum(one.cents for one in charges.taxes))
    before = _amount(charges, charges.net_cents)
    return _("Total {total}  =  {before} + {tax} tax", total=total, before=before, tax=tax)


def _notes(charges: Charges) -> list[str]:
    """Return what is still missing from the total."""
    unpriced = sum(line.kind == "part" and line.each_cents is None for line in charges.lines)
    notes = [texts.say(note) for note in charges.notes]
    if unpriced:
        notes.append(
            plural(
                "▲ {count} part has no price and is not charged; type it on Repair, Ctrl+4.",
                "▲ {count} parts have no price and are not charged; type it on Repair, Ctrl+4.",
                unpriced,
            )
        )
    return notes


def _line_text(charges: Charges, line: ChargeLine) -> str:
    free = "" if line.is_taxed else _("no tax")
    return " · ".join(part for part in (line.words, _amount(charges, line.cents), free) if part)


def _amount(charges: Charges, cents: int) -> str:
    return show_amount(cents, charges.currency, texts.language())
