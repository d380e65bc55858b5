"""The shop's containers as large buttons: one touch says what a flow is timed with."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QWidget

from desk.base.texts import _
from desk.records.views.shop import ContainerCard
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton, clear

IN_A_ROW = 3


class ContainerButtons(QWidget):
    """Offers the shop's containers; hidden where it has none.

    Signals:
        chosen: the volume and the distance between marks, as typed.
    """

    chosen = Signal(str, str)

    def __init__(self, moment: str) -> None:
        super().__init__()
        self._moment = moment
        self._cards: tuple[ContainerCard, ...] = ()
        self._group = QButtonGroup(self)
        self._group.idClicked.connect(self._choose)
        self._grid = QGridLayout()
        layout = column(spacing=2)
        self.setLayout(layout)
        layout.addWidget(text_label(_("Timed with"), rank="caption"))
        layout.addLayout(self._grid)
        self.hide()

    def offer(self, cards: tuple[ContainerCard, ...]) -> None:
        """Offer these; nothing moves while they stay the same."""
        if cards == self._cards:
            return
        self._cards = cards
        clear(self._grid)
        for place, card in enumerate(cards):
            words = _("{name}, {volume}", name=card.name, volume=card.volume)
            button = WideButton(words, f"container_{self._moment}_{place}")
            self._group.addButton(button, place)
            self._grid.addWidget(button, place // IN_A_ROW, place % IN_A_ROW)
        self.setVisible(bool(cards))

    def _choose(self, place: int) -> None:
        card = self._cards[place]
        self.chosen.emit(card.volume, card.graduation)
