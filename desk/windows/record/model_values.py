"""Fills in what is known of a model as soon as it is typed."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QObject

from desk.base.errors import DeskError
from desk.base.texts import _
from desk.records.actions.belonging import SeeModel
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.field import as_in_form
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.work.work_queue import WorkQueue

_UNSEEN = tuple(one for one in as_in_form(ApplianceDetails) if one.in_sentence)


class ModelValues(QObject):
    """Puts the usual values of a model into the lines that nobody has touched.

    Args:
        queue: answers what is known.
        entries: the lines of an appliance, ``maker`` and ``model`` among them.
        parent: what the lines stand in.

    Attributes:
        beyond: values known of the model for which there is no line; they are said under it.
    """

    def __init__(self, queue: WorkQueue, entries: Mapping[str, Field], parent: QObject) -> None:
        super().__init__(parent)
        self._queue, self._entries = queue, entries
        self._touched: set[str] = set()
        self._asked = ("", "")
        self.beyond: dict[str, str] = {}
        for entry in entries.values():
            entry.changed.connect(self._note_touched)
        for key in ("maker", "model"):
            entries[key].settled.connect(self.ask)

    def forget(self) -> None:
        """Begin with another appliance, whose lines nobody has touched."""
        self._touched.clear()
        self._asked, self.beyond = ("", ""), {}

    def ask(self) -> None:
        """Ask what is known of the model that stands there now."""
        asked = (self._entries["maker"].text().strip(), self._entries["model"].text().strip())
        if asked == self._asked:
            return
        self._asked, self.beyond = asked, {}
        if asked[1]:
            self._queue.ask(self, SeeModel(*asked), self._fill, self._failed, key="model")

    def _note_touched(self) -> None:
        entry = self.sender()
        if isinstance(entry, Field):
            self._touched.add(entry.key)

    def _fill(self, known: dict[str, str]) -> None:
        if not self._asked[1]:
            return  # the model was wiped out while this answer was on its way
        self.beyond = {key: value for key, value in known.items() if key not in self._entries}
        if self.beyond:
            self._entries["model"].show_understood(_say_beyond(self.beyond))
        for key, value in known.items():
            entry = self._entries.get(key)
            if entry is None or key in self._touched:
                continue
            if isinstance(entry, ChoiceLine) or (isinstance(entry, TypedLine) and not entry.text()):
                entry.put(value)
                entry.show_understood(_("as others of this model"))

    def _failed(self, _error: DeskError) -> None:
        """Leave the lines as they are: nothing is lost but a convenience."""


def _say_beyond(known: Mapping[str, str]) -> str:
    values = ", ".join(
        f"{one.in_sentence} {known[one.name]}" for one in _UNSEEN if known.get(one.name)
    )
    return _("as others of this model: {values}", values=values)
