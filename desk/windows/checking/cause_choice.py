"""Choosing a cause: the likeliest first, or the technician's own words."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.records.views.report import CauseLine
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import in_language
from desk.windows.checking.path_and_causes import likelihood
from desk.windows.kit.controls import ChoiceBox, column
from desk.windows.kit.fields import WrittenLine
from desk.windows.kit.labels import text_label


class CauseField(QWidget):
    """A cause of the catalogue, words of one's own, or both."""

    changed = Signal()

    def __init__(self, key: str, label: str) -> None:
        super().__init__()
        self.key = key
        self._order: tuple[str, ...] = ()
        self.choice = ChoiceBox(f"choose_{key}", label)
        self.choice.activated.connect(self._chosen)
        words = "words" if key == "cause" else "second_words"
        self.words = WrittenLine(words, _("or in your own words"))
        self.words.written.connect(self._written)
        layout = column(spacing=4)
        layout.addWidget(text_label(label, loud=True))
        layout.addWidget(self.choice)
        layout.addWidget(self.words)
        self.setLayout(layout)

    def show_kept(self, sheet: VisitSheet, kept: CauseLine | None) -> None:
        """Offer the causes of a visit's list and show the one that is kept."""
        self._offer(sheet)
        place = self.choice.findData(kept.id if kept else "")
        self.choice.setCurrentIndex(max(place, 0))
        self.words.show_kept(kept.own_words if kept else "")

    def _offer(self, sheet: VisitSheet) -> None:
        if sheet.checklist is None:
            return
        found = sheet.walk.found if sheet.walk else ()
        ranked = [one.id for one in sheet.suspects]
        order = tuple(dict.fromkeys([*reversed(found), *ranked]))
        if order == self._order:
            return
        self._order = order
        chance = {one.id: one.probability for one in sheet.suspects}
        self.choice.clear()
        self.choice.addItem(_("Choose the cause"), "")
        for cause in order:
            name = in_language(sheet.checklist.causes[cause].name)
            word = _("found") if cause in found else likelihood(chance.get(cause, 0.0))
            self.choice.addItem(f"{name}  ·  {word}", cause)

    def cause(self) -> str:
        """Return the id of the cause that is chosen, or ""."""
        return str(self.choice.currentData() or "")

    def _chosen(self, _place: int) -> None:
        self.changed.emit()

    def _written(self, _key: str, _text: str) -> None:
        self.changed.emit()
