"""The places of a customer in a list, by street; the one that is marked is opened."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QSize, Qt, Signal
from PySide6.QtWidgets import QListView, QSizePolicy

from desk.base.texts import _, plural
from desk.records.views.customer_record import PremisesCard
from desk.windows.kit.item_models import Line, LineModel
from desk.windows.record.phrases import place_words

ROWS = 4
"""So many lines are seen at once; the others are scrolled to."""
_ALL = "all"


class PlacesList(QListView):
    """Lists several premises; a customer who has one, or none, needs no list.

    Signals:
        chosen: the key of the premises to open, None for all of them.
    """

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("places")
        self.setAccessibleName(_("Premises"))
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self._lines = LineModel()
        self._shown: list[Line] = []
        self._is_marking = False
        self.setModel(self._lines)
        self.selectionModel().currentChanged.connect(self._moved)
        self.hide()

    def show_places(self, now: Sequence[PremisesCard], before: Sequence[PremisesCard]) -> None:
        """Show a customer's premises, those of now first."""
        cards = (*now, *before)
        every = plural("All of {count} place", "All of {count} places", len(cards))
        lines = [
            Line(every, _ALL),
            *(Line(place_words(card), card.premises_id) for card in cards),
        ]
        if lines != self._shown:
            self._is_marking = True
            self._shown = lines
            self._lines.show_lines(lines)
            self._is_marking = False
        self.setVisible(len(cards) > 1)
        self.updateGeometry()

    def mark(self, premises_id: uuid.UUID | None) -> None:
        """Mark the place that is open, without asking for it again."""
        self._is_marking = True
        row = self._lines.row_of(premises_id or _ALL)
        self.setCurrentIndex(self._lines.index(max(row, 0), 0))
        self._is_marking = False

    def sizeHint(self) -> QSize:
        """Return room for a few lines, and for no more than there are."""
        rows = min(len(self._shown), ROWS)
        return QSize(super().sizeHint().width(), rows * max(self.sizeHintForRow(0), 1) + 6)

    def _moved(self, now: QModelIndex, _before: QModelIndex) -> None:
        if self._is_marking or not now.isValid():
            return
        value = self._lines.line(now.row()).value
        self.chosen.emit(value if isinstance(value, uuid.UUID) else None)
