"""The photographs of a visit below one another, or in two columns where there is room."""

from __future__ import annotations

import uuid
from functools import partial
from itertools import pairwise

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from desk.base.errors import DeskError
from desk.records.actions.photographs import MovePhotograph, SeeSmall
from desk.records.views.report import PhotographLine
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.photographs.large_picture import LargePicture
from desk.windows.photographs.photograph_card import Options, PhotographCard
from desk.windows.photographs.picture_button import SMALL, TWICE
from desk.windows.work.work_queue import WorkQueue

TWO_BESIDE_FROM = 1100
SMALL_AT_ONCE = 4
"""So many small pictures are fetched before something else has its turn."""


class PhotographList(QWidget):
    """Keeps a card for each photograph, with what is typed in it, and its small picture.

    Signals:
        handed_in: a command, and where its refusal is said.
        out_asked: the key and the number of the photograph to take off the visit.
    """

    handed_in = Signal(object, object)
    out_asked = Signal(object, int)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self.setObjectName("photographs")
        self._queue = queue
        self._lines: tuple[PhotographLine, ...] = ()
        self._small: dict[str, bytes] = {}
        self._is_fetching = False
        self._cards: dict[uuid.UUID, PhotographCard] = {}
        self._order: tuple[uuid.UUID, ...] = ()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(24)
        self._grid.setVerticalSpacing(14)

    def cards(self) -> list[PhotographCard]:
        """Return the cards in the order of the photographs."""
        return list(self._cards.values())

    def show_sheet(self, sheet: VisitSheet, options: Options, *, is_open: bool) -> None:
        """Show the photographs of a visit; a card that is there already stays as it is.

        Args:
            sheet: the visit.
            options: what a photograph can be said to show: id and words.
            is_open: whether they can be described and moved still.
        """
        self._lines = sheet.report.photographs
        before, self._cards = self._cards, {}
        for place, (key, line) in enumerate(zip(sheet.photograph_ids, self._lines, strict=True), 1):
            card = before.pop(key, None) or self._card(sheet.visit_id, key)
            card.show_line(place, line, options, is_open=is_open)
            self._cards[key] = card
        for gone in before.values():
            self._let_go_of(gone)
        self._put_in_order()
        self._show_small()

    def _card(self, visit_id: uuid.UUID, key: uuid.UUID) -> PhotographCard:
        card = PhotographCard(visit_id, key)
        card.handed_in.connect(self.handed_in)
        card.large_asked.connect(partial(self._show_large, key))
        card.move_asked.connect(partial(self._move, visit_id, key))
        card.out_asked.connect(partial(self._ask_out, key))
        return card

    def _let_go_of(self, card: PhotographCard) -> None:
        card.let_go()
        self._grid.removeWidget(card)
        card.hide()
        card.deleteLater()

    def _ask_out(self, key: uuid.UUID) -> None:
        self.out_asked.emit(key, 1 + list(self._cards).index(key))

    def _move(self, visit_id: uuid.UUID, key: uuid.UUID, by: int) -> None:
        card = self._cards[key]
        to = list(self._cards).index(key) + by
        if 0 <= to < len(self._cards):
            self.handed_in.emit(MovePhotograph(visit_id, key, to), card)

    def _show_large(self, key: uuid.UUID) -> None:
        LargePicture(self._queue, self._lines, list(self._cards).index(key), self).open()

    def _show_small(self) -> None:
        """Show the small pictures that are there, and fetch a few of those that are not."""
        for card, line in zip(self._cards.values(), self._lines, strict=True):
            if line.sha256 in self._small and not card.picture.is_told():
                card.picture.show_picture(self._small[line.sha256])
        missing = [line.sha256 for line in self._lines if line.sha256 not in self._small]
        if missing and not self._is_fetching:
            self._is_fetching = True
            look = SeeSmall(tuple(missing[:SMALL_AT_ONCE]), TWICE * SMALL.width())
            self._queue.ask(self, look, self._fetched, self._not_fetched)

    def _fetched(self, small: dict[str, bytes]) -> None:
        self._is_fetching = False
        self._small |= small
        self._show_small()

    def _not_fetched(self, _error: DeskError) -> None:
        """Try again with the next sheet: a photograph can be described without its picture."""
        self._is_fetching = False

    def _put_in_order(self) -> None:
        """Let the cards stand, and Tab go through them, in the order of the photographs."""
        self._place()
        order = tuple(self._cards)
        if order != self._order:
            self._order = order
            every = [part for card in self.cards() for part in card.in_turn()]
            for one, following in pairwise(every):
                self.setTabOrder(one, following)

    def _place(self) -> None:
        across = 2 if self.width() >= TWO_BESIDE_FROM else 1
        for place, card in enumerate(self._cards.values()):
            self._grid.addWidget(card, place // across, place % across)
            card.show()
        for side in range(2):
            self._grid.setColumnStretch(side, 1 if side < across else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Stand beside one another where there is room."""
        super().resizeEvent(event)
        self._place()

    def flush(self) -> None:
        """Hand in the captions that were typed."""
        for card in self.cards():  # each brings another sheet
            card.flush()
