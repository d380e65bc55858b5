"""Which column of a file stands for what: one line a column, with what its first rows hold."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QScrollArea, QWidget

from desk.base.texts import Message, _, message
from desk.records.actions.importing import Sheet, field_of
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import fields_of
from desk.windows.kit.controls import ChoiceBox
from desk.windows.kit.labels import text_label

_NAME, *_REST = fields_of(CustomerDetails)
FIELDS: dict[str, Message] = {
    "": message("not used"),
    _NAME.name: _NAME.in_sentence or _NAME.label,
    "first_name": message("first name"),
    "last_name": message("last name"),
    "phone": message("telephone"),
    "email": message("e-mail"),
    **{one.name: one.in_sentence or one.label for one in _REST},
}
"""What a column can stand for."""
_SHOWN = 3
_LONGEST = 40


class ColumnMatching(QScrollArea):
    """A line for each column of the file: its heading, what it stands for, and examples.

    Signals:
        changed: the person lets a column stand for something else.
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("bring_columns")
        self.setAccessibleName(_("Columns of the file"))
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.boxes: list[ChoiceBox] = []

    def show_columns(self, sheet: Sheet) -> None:
        """Show the columns of a file, each with the field that its heading plainly stands for."""
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 8, 0)
        grid.setColumnStretch(2, 1)
        grid.setHorizontalSpacing(16)
        heads = (_("Column of the file"), _("Stands for"), _("First lines"))
        for place, head in enumerate(heads):
            caption = text_label(head, rank="caption")
            caption.setWordWrap(False)
            grid.addWidget(caption, 0, place)
        self.boxes = []
        for place, heading in enumerate(sheet.headings):
            box = self._box(heading)
            self.boxes.append(box)
            label = text_label(heading or "–")
            label.setBuddy(box)
            grid.addWidget(label, place + 1, 0)
            grid.addWidget(box, place + 1, 1)
            grid.addWidget(text_label(_examples(sheet, place)), place + 1, 2)
        grid.setRowStretch(len(sheet.headings) + 1, 1)
        self.setWidget(inside)

    def _box(self, heading: str) -> ChoiceBox:
        said = _("{heading} stands for", heading=heading or "–")
        box = ChoiceBox(f"bring_column_{len(self.boxes)}", said)
        for field, words in FIELDS.items():
            box.addItem(str(words), field)
        box.setCurrentIndex(box.findData(field_of(heading)))
        box.currentIndexChanged.connect(self._chosen)
        return box

    def _chosen(self, _index: int) -> None:
        self.changed.emit()

    def fields(self) -> tuple[str, ...]:
        """Return the field of each column, "" for one that is not used."""
        return tuple(box.currentData() for box in self.boxes)


def _examples(sheet: Sheet, place: int) -> str:
    """Return what the first rows hold in a column, in one line."""
    held: Sequence[str] = [
        " ".join(row.cells[place].split())[:_LONGEST]
        for row in sheet.rows
        if place < len(row.cells) and row.cells[place].strip()
    ][:_SHOWN]
    return "  ·  ".join(held)
