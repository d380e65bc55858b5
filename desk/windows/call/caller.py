"""Whose record a call is filed with: taken on purpose, and let go when the name is another."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desk.base.text_folding import fold
from desk.base.texts import _
from desk.records.views.customer_record import RecordView
from desk.windows.kit.fields import Field
from desk.windows.kit.labels import brief, text_label

_LONGEST = 60


class Caller(QWidget):
    """Knows the record of who calls, says whose it is, and lends what stands in it.

    Attributes:
        record: the caller's; None where they are not in the records, or not known yet.
    """

    def __init__(self, name: Field, phone: Field) -> None:
        super().__init__()
        self.record: RecordView | None = None
        self._name, self._phone = name, phone
        self._lent: list[tuple[Field, str]] = []
        self._agreed = ""  # the name that stood there when the record was taken
        self.said = text_label(name="call_whose")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.said)
        self.hide()

    def know(self, record: RecordView | None) -> None:
        """Take a record, or none; what was typed stays, and what was not is lent."""
        before, self.record = self.record, record
        if not (record and before and record.customer_id == before.customer_id):
            self._lent = []
        self.setVisible(record is not None)
        if record is None:
            return
        name = brief(record.customer.name, _LONGEST)
        self.said.setText(_("In the records: {name}", name=name))
        phones = (*record.customer.phones, "")
        for entry, text in ((self._name, record.customer.name), (self._phone, phones[0])):
            if not entry.text().strip():
                entry.put(text)
                self._lent.append((entry, text))
        self.agree()

    def agree(self) -> None:
        """Know that the name that stands there is how the record's owner was announced."""
        self._agreed = self._name.text()

    def let_go(self) -> RecordView | None:
        """Let go of the record, and return it, where the name was typed over: another calls.

        What the record lent goes with it; what the person typed stays.
        """
        record, name = self.record, fold(self._name.text().strip())
        if record is None or not name:
            return None
        if name in {fold(self._agreed.strip()), fold(record.customer.name.strip())}:
            return None
        lent = self._lent
        self.know(None)
        for entry, text in lent:
            if entry.text() == text:
                entry.put("")
        who = brief(record.customer.name, _LONGEST)
        self.said.setText(_("The name is another: no longer for {name}.", name=who))
        self.show()
        return record
