"""Offers who is in the records already while it is typed in again, one line and one key each."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.base.texts import Message, _, message
from desk.records.actions.calling import SeeLikely
from desk.records.views.call import MOST, CallerDetails, Likely
from desk.windows.kit.labels import text_label
from desk.windows.kit.words import as_entry
from desk.windows.work.work_queue import WorkQueue

SAME: dict[str, Message] = {
    "open": message("whose record was open"),
    "phone": message("same number"),
    "address": message("same address"),
    "serial": message("same serial number"),
}


def say_likely(likely: Likely) -> str:
    """Say in one line what is the same, and whose."""
    same = ", ".join(str(SAME[one]) for one in likely.same)
    named = " · ".join(part for part in (likely.who, likely.where, likely.what) if part)
    return _("≈ {same}: {named}", same=as_entry(message("{same}", same=same)), named=named)


class _Offer(QWidget):
    """One line with its key."""

    used = Signal()

    def __init__(self, number: int) -> None:
        super().__init__()
        keys = f"Ctrl+{number}"
        self.said = text_label(name=f"offer_{number}")
        self.use = QPushButton(_("Use this one: {keys}", keys=keys))
        self.use.setObjectName(f"use_{number}")
        self.use.setAutoDefault(False)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.said, 1)
        row.addWidget(self.use)
        self.use.clicked.connect(self.used)
        shortcut = QShortcut(QKeySequence(keys), self)  # holds while the line is to be seen
        shortcut.activated.connect(self.used)
        self.hide()

    def show_likely(self, likely: Likely | None) -> None:
        """Show an offer, or none."""
        self.said.setText(say_likely(likely) if likely else "")
        self.use.setAccessibleDescription(self.said.text())
        self.setVisible(likely is not None)


class Offers(QWidget):
    """Looks as one types; what is offered stands where nothing has to move for it.

    Signals:
        used: the one that it is (`Likely`).
    """

    used = Signal(object)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self._queue = queue
        self._told = CallerDetails()
        self._likely: tuple[Likely, ...] = ()
        self._proposed: tuple[Likely, ...] = ()
        self._offers = [_Offer(number) for number in range(1, MOST + 1)]
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        for place, offer in enumerate(self._offers):
            column.addWidget(offer)
            offer.used.connect(lambda place=place: self._use(place))

    def look(self, told: CallerDetails) -> None:
        """Look who is likely told about."""
        if told == self._told:
            return
        self._told = told
        if told == CallerDetails():
            self._show(())
        self._queue.ask(self, SeeLikely(told), self._show, self._failed, key="likely")

    def forget(self) -> None:
        """Begin anew: meanwhile somebody else may be in the records."""
        self._told = CallerDetails()
        self._proposed = ()
        self._show(())

    def propose(self, likely: Likely | None) -> None:
        """Offer somebody, or nobody, as long as nothing that was told finds anybody."""
        found = () if self._likely == self._proposed else self._likely
        self._proposed = (likely,) if likely else ()
        self._show(found)

    def _show(self, likely: tuple[Likely, ...]) -> None:
        likely = likely or self._proposed
        self._likely = likely
        padded: list[Likely | None] = [*likely, *[None] * MOST]
        for offer, one in zip(self._offers, padded, strict=False):
            offer.show_likely(one)

    def _use(self, place: int) -> None:
        if place < len(self._likely):
            self.used.emit(self._likely[place])

    def _failed(self, _error: DeskError) -> None:
        """Offer nothing: what is typed is entered as new, and can be joined later."""
        self._show(())
