"""Fills in what is known of a model as soon as it is typed."""

from __future__ import annotations

from PySide6.QtCore import QObject

from desk.errors import DeskError
from desk.records.deeds.lists import SeeModel
from desk.windows.fields import ChoiceLine, Field, TypedLine
from desk.windows.worker import Desk
from desk.wording import _


class ModelValues(QObject):
    """Puts the usual values of a model into the lines that nobody has touched.

    Args:
        desk: answers what is known.
        entries: the lines of an appliance, ``maker`` and ``model`` among them.
        parent: what the lines stand in.
    """

    def __init__(self, desk: Desk, entries: dict[str, Field], parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._entries = desk, entries
        self._touched: set[str] = set()
        self._asked = ("", "")
        for entry in entries.values():
            entry.changed.connect(self._note_touched)
        for key in ("maker", "model"):
            entries[key].settled.connect(self._ask)

    def _note_touched(self) -> None:
        entry = self.sender()
        if isinstance(entry, Field):
            self._touched.add(entry.key)

    def _ask(self) -> None:
        asked = (self._entries["maker"].text().strip(), self._entries["model"].text().strip())
        if asked[1] and asked != self._asked:
            self._asked = asked
            self._desk.ask(self, SeeModel(*asked), self._fill, self._failed, key="model")

    def _fill(self, known: dict[str, str]) -> None:
        for key, value in known.items():
            entry = self._entries.get(key)
            if entry is None or key in self._touched:
                continue
            if isinstance(entry, ChoiceLine) or (isinstance(entry, TypedLine) and not entry.text()):
                entry.put(value)
                entry.show_understood(_("as others of this model"))

    def _failed(self, _error: DeskError) -> None:
        """Leave the lines as they are: nothing is lost but a convenience."""
