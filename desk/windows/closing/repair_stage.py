"""Repair: what was wrong, what was done about it, and the parts that went in."""

from __future__ import annotations

import uuid

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QCompleter, QGridLayout, QHBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, message
from desk.records.actions import closing
from desk.records.actions.closing import PricePart
from desk.records.views.shop import OrderLine
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.checking.cause_choice import CauseField
from desk.windows.closing.fitted_parts import FittedParts
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine, WrittenLine, WrittenText
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.history_block import warranty_text
from desk.windows.stage_kit.large_controls import Sides, Tick, WideButton
from desk.windows.stage_kit.stage import Stage

SIDE_BY_SIDE_FROM = 860
TOP = Qt.AlignmentFlag.AlignTop
_SEPARATOR = "  ·  "
NO_NUMBER = message("Type how many pieces, such as 1.")


class RepairStage(Stage):
    """Cause, work and parts."""

    def __init__(self) -> None:
        super().__init__("repair", _("Repair"))
        self.causes = CauseField("cause", _("What was wrong"))
        self.second = CauseField("second_cause", _("A second fault, if there was one"))
        for one in (self.causes, self.second):
            one.changed.connect(self._cause)
            self.know(one.words)
        self.remedy = text_label(rank="large", name="remedy")
        self._sides = Sides(self.causes, self.second, SIDE_BY_SIDE_FROM)
        self.column.addLayout(self._sides)
        self.column.addWidget(self.remedy)
        self.add_field(
            WrittenText("work_done", _("Work done"), _("what you did, in your own words"), lines=4)
        )
        self.warranty = text_label(rank="large", name="warranty")
        self.column.addWidget(self.warranty)
        self.parts = PartsPanel()
        self.parts.handed_in.connect(self.hand_in)
        self.column.addWidget(self.parts)
        self.add_field(WrittenLine("referred_to", _("Referred to"), _("who does the rest")))
        self.add_field(WrittenLine("permit", _("Permit"), _("number, where one is needed")))
        self.add_field(
            WrittenLine("warranty_claim", _("Warranty claim"), _("with whom, under which number"))
        )
        self.add_photographs(self.column)
        self.column.addStretch(1)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show cause, work and parts as they are kept."""
        super().show_sheet(sheet)
        report = sheet.report
        self.page.setEnabled(report.state not in {"sealed", "called_off"})
        self.causes.show_kept(sheet, report.cause)
        self.second.show_kept(sheet, report.second_cause)
        remedy = report.cause.remedy if report.cause else ""
        self.remedy.setText(_("Usual remedy: {remedy}", remedy=remedy))
        self.remedy.setVisible(bool(remedy))
        self.warranty.setText(warranty_text(report))
        self.warranty.setVisible(bool(self.warranty.text()))
        self.parts.show_sheet(sheet)

    def _cause(self) -> None:
        if self.sheet is not None:
            self.hand_in(
                closing.SetCause(
                    self.sheet.visit_id,
                    cause=self.causes.cause(),
                    words=self.causes.words.text(),
                    second_cause=self.second.cause(),
                    second_words=self.second.words.text(),
                )
            )

    def show_error(self, error: DeskError) -> None:
        """Say a refusal under the field of the part it names, or where every stage does."""
        if not self.parts.show_error(error):
            super().show_error(error)

    def flush(self) -> None:
        """Hand in what was typed and is not kept yet, the prices too."""
        super().flush()
        self.parts.flush()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put a second fault beside the first, where there is room."""
        super().resizeEvent(event)
        self._sides.fit(self.viewport().width())

    def take_focus(self) -> None:
        """Put the keys on the cause."""
        self.causes.choice.setFocus()


class PartsPanel(QWidget):
    """Parts by number or in words, and what was fitted so far."""

    handed_in = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("parts")
        self._sheet: VisitSheet | None = None
        self._known: dict[str, str] = {}
        self._count = 0
        self.fields = {
            key: TypedLine(key, label, hint)
            for key, label, hint in (
                ("number", _("Part"), _("number or name; the van's parts come up as you type")),
                ("pieces", _("Pieces"), _("such as 1")),
                ("old_serial", _("Old serial"), ""),
                ("new_serial", _("New serial"), ""),
                ("reason", _("Why it was replaced"), ""),
                ("price", _("Price of one"), _("the catalogue's")),
            )
        }
        self.fields["pieces"].put("1")
        for field in self.fields.values():
            field.setObjectName(f"field_part_{field.key}")
            field.edit.setObjectName(f"part_{field.key}")
            field.under.setObjectName(f"under_part_{field.key}")
        self.claim = Tick(_("Old part kept for a claim"), "kept_for_claim")
        self.add = WideButton(_("Add this part"), "add_part")
        self.add.clicked.connect(self._add)
        self.order = WideButton(_("Order it for this visit"), "order_part")
        self.order.clicked.connect(self._order)
        self.asked = text_label(name="asked_for")
        for field in self.fields.values():
            field.edit.returnPressed.connect(self._add)
        self._names = QStringListModel(self)
        completer = QCompleter(self._names, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.fields["number"].edit.setCompleter(completer)
        self._fitted = FittedParts()
        self._fitted.taken_off.connect(self._take_out)
        self._fitted.priced.connect(self._price)
        self._lay_out()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        numbers = QHBoxLayout()
        for key in ("pieces", "price"):
            numbers.addWidget(self.fields[key], alignment=TOP)
        grid.addWidget(self.fields["number"], 0, 0, 1, 2, TOP)
        grid.addLayout(numbers, 0, 2)
        grid.addWidget(self.fields["old_serial"], 1, 0, alignment=TOP)
        grid.addWidget(self.fields["new_serial"], 1, 1, alignment=TOP)
        grid.addWidget(self.fields["reason"], 1, 2, alignment=TOP)
        last = QHBoxLayout()
        last.addWidget(self.claim)
        last.addWidget(self.add, 1)
        last.addWidget(self.order)
        layout = column(spacing=8)
        layout.addWidget(text_label(_("Parts fitted"), rank="head"))
        layout.addWidget(self._fitted)
        layout.addLayout(grid)
        layout.addLayout(last)
        layout.addWidget(self.asked)
        self.setLayout(layout)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the parts of a visit and what the van holds."""
        self._sheet = sheet
        self._known = {
            _SEPARATOR.join((number, name, _("{count} in the van", count=count))): number
            for number, name, count in sheet.van
        }
        self._names.setStringList(list(self._known))
        count = len(sheet.report.parts) + len(sheet.orders)
        if count > self._count:
            self._empty()
        self._count = count
        self.asked.setText("\n".join(_order_text(line) for line in sheet.orders))
        self.asked.setVisible(bool(sheet.orders))
        self.fields["price"].setVisible(sheet.report.charges is not None)
        self._fitted.show_sheet(sheet)

    def _empty(self) -> None:
        for key, field in self.fields.items():
            field.put("1" if key == "pieces" else "")
            field.show_error("")
        self.claim.setChecked(False)

    def _typed(self) -> tuple[dict[str, str], str, int] | None:
        """Return what is typed, the number that is meant and the pieces; None when told wrong."""
        typed = {key: field.text().strip() for key, field in self.fields.items()}
        try:
            pieces = int(typed["pieces"])
        except ValueError:
            self.show_error(InputError(NO_NUMBER, field="pieces"))
            return None
        return typed, self._number(typed["number"]), pieces

    def _order(self) -> None:
        """Ask for what is typed: the visit waits for it."""
        said = self._typed()
        if self._sheet is None or said is None:
            return
        typed, number, pieces = said
        self.handed_in.emit(
            closing.OrderForVisit(
                self._sheet.visit_id,
                number=number,
                name="" if number else typed["number"],
                pieces=pieces,
            )
        )

    def _add(self) -> None:
        said = self._typed()
        if self._sheet is None or said is None:
            return
        typed, number, pieces = said
        self.handed_in.emit(
            closing.UsePart(
                self._sheet.visit_id,
                number=number,
                name="" if number else typed["number"],
                pieces=pieces,
                old_serial=typed["old_serial"],
                new_serial=typed["new_serial"],
                reason=typed["reason"],
                kept_for_claim=self.claim.isChecked(),
                price=typed["price"] if self.fields["price"].isVisibleTo(self) else "",
            )
        )

    def _number(self, typed: str) -> str:
        """Return the number of the part that was meant, "" where it is none of the catalogue."""
        if typed in self._known:
            return self._known[typed]
        numbers = {number.casefold(): number for number in self._known.values()}
        return numbers.get(typed.casefold(), "")

    def _take_out(self, key: uuid.UUID) -> None:
        if self._sheet is not None:
            self.handed_in.emit(closing.TakePartOut(self._sheet.visit_id, key))

    def _price(self, key: uuid.UUID, text: str) -> None:
        if self._sheet is not None:
            self.handed_in.emit(PricePart(self._sheet.visit_id, key, text))

    def flush(self) -> None:
        """Hand in the prices that were typed and are not kept yet."""
        self._fitted.flush()

    def show_error(self, error: DeskError) -> bool:
        """Say a refusal under the field it names; return whether it was one of these."""
        if not isinstance(error, InputError):
            return False
        named = "number" if error.field == "name" else error.field
        field = self.fields.get(named) or self._fitted.field_of(error)
        if field is None:
            return False
        field.show_error(str(error))
        field.setFocus()
        return True


def _order_text(line: OrderLine) -> str:
    state = {
        "to_order": _("asked for, not ordered yet"),
        "ordered": _("on its way"),
        "came": _("came; it lies on the shelf"),
    }[line.state]
    return f"{line.pieces} × {line.name} · {state}"
