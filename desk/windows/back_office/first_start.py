"""The three questions before the first office is made: which shop, where, and who you are."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import available_timezones

from PySide6.QtCore import QLocale, Qt, QTimeZone, Signal
from PySide6.QtWidgets import QDialog, QPushButton, QVBoxLayout, QWidget

from desk.base.texts import _
from desk.windows.kit.fields import ChoiceLine, TypedLine
from desk.windows.kit.labels import WRONG, text_label


@dataclass(frozen=True, slots=True)
class Founding:
    """What was answered: the shop, its zone, units and paper, and the person asking.

    The numbers are what the sheet says to call where everybody has to leave; "" where not given.
    """

    shop: str
    zone: str
    system: str
    paper: str
    person: str
    phone: str = ""
    emergency_phone: str = ""
    gas_supplier_phone: str = ""


class FoundingDialog(QDialog):
    """Asks three questions; what the machine's locale suggests is shown and can be changed.

    Signals:
        answered: the answers (`Founding`).
    """

    answered = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("founding")
        self.setWindowTitle(_("Your office"))
        us = QLocale.system().measurementSystem() == (QLocale.MeasurementSystem.ImperialUSSystem)
        self.shop = TypedLine("shop", _("1. What is your shop called?"))
        self.zone = ChoiceLine(
            "zone",
            _("2. Where is it? The clock there:"),
            tuple((zone, zone.replace("_", " ")) for zone in sorted(available_timezones())),
        )
        self.zone.put(bytes(QTimeZone.systemTimeZoneId().data()).decode() or "America/New_York")
        self.system = ChoiceLine(
            "system", _("Units"),
            (("us", _("gallons, degrees Fahrenheit, psi")), ("si", _("litres, Celsius, kPa"))),
        )  # fmt: skip
        self.system.put("us" if us else "si")
        self.paper = ChoiceLine("paper", _("Paper"), (("letter", _("Letter")), ("a4", "A4")))
        self.paper.put("letter" if us else "a4")
        self.person = TypedLine("person", _("3. Who are you?"))
        may_be_empty = _("may stay empty; said where everybody must leave")
        self.phone = TypedLine("phone", _("Phone of the shop"), may_be_empty)
        self.emergency = TypedLine("emergency_phone", _("Emergency number"), may_be_empty)
        self.gas = TypedLine("gas_supplier_phone", _("Gas supplier's number"), may_be_empty)
        self.begin = QPushButton(_("Make the office"))
        self.begin.setObjectName("founding_begin")
        self.begin.setDefault(True)
        self.begin.setProperty("act", True)
        self.trouble = text_label(name="founding_trouble")
        self.trouble.hide()
        column = QVBoxLayout(self)
        column.addWidget(
            text_label(_("Three questions, and your office is there."), "founding_head", loud=True)
        )
        for entry in (
            self.shop, self.zone, self.system, self.paper, self.person,
            self.phone, self.emergency, self.gas,
        ):  # fmt: skip
            column.addWidget(entry)
        column.addStretch(1)
        column.addWidget(self.trouble)
        column.addWidget(self.begin)
        self.begin.clicked.connect(self._answer)
        for line in (self.shop, self.person, self.phone, self.emergency, self.gas):
            line.entered.connect(self._answer)
        self.resize(460, 420)

    def _answer(self) -> None:
        for entry, sentence in (
            (self.shop, _("Type what your shop is called.")),
            (self.person, _("Type your name.")),
        ):
            entry.show_error("")
            if not entry.text().strip():
                entry.show_error(sentence)
                entry.setFocus()
                return
        self.answered.emit(
            Founding(
                self.shop.text().strip(),
                self.zone.text(),
                self.system.text(),
                self.paper.text(),
                self.person.text().strip(),
                self.phone.text().strip(),
                self.emergency.text().strip(),
                self.gas.text().strip(),
            )
        )

    def refuse(self, sentence: str) -> None:
        """Say why the office could not be made; the answers stay."""
        self.trouble.setText(f"{WRONG} {sentence}")
        self.trouble.show()
