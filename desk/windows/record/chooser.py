"""Choosing somebody or something that is in the records already, in two lines of a form."""

from __future__ import annotations

import uuid

from PySide6.QtCore import QObject

from desk.base.errors import DeskError
from desk.records.actions.counter import Find
from desk.records.views.customer_record import SearchHit
from desk.windows.kit.fields import ChoiceLine, TypedLine
from desk.windows.work.work_queue import WorkQueue


class Choosing(QObject):
    """Offers in a list what the typed words find; the first of it is chosen where it should be.

    Args:
        queue: answers the query.
        typed: where the words are typed.
        known: where what they find is offered.
        kind: which hits are meant, such as ``customer``.
        without: the key of a row that is not offered.
        takes_first: whether the first hit is chosen by itself.
    """

    def __init__(
        self,
        queue: WorkQueue,
        typed: TypedLine,
        known: ChoiceLine,
        kind: str,
        *,
        without: uuid.UUID | None = None,
        takes_first: bool = False,
    ) -> None:
        super().__init__(known)
        self._queue, self._typed, self._known = queue, typed, known
        self._kind, self._without, self._takes_first = kind, without, takes_first
        typed.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Look for what was typed."""
        text = self._typed.text()
        if text.strip():
            self._queue.ask(self, Find(text), self._offer, self._failed, key="choosing")
        else:
            self._offer(())

    def _offer(self, found: tuple[SearchHit, ...]) -> None:
        hits = [hit for hit in found if hit.kind == self._kind and hit.key != self._without]
        self._known.offer(
            tuple(
                (str(hit.key), ", ".join(p for p in (hit.title, hit.detail) if p)) for hit in hits
            )
        )
        if self._takes_first:
            self._known.take_up(str(hits[0].key) if hits else "")

    def _failed(self, error: DeskError) -> None:
        self._typed.show_error(str(error))


def chosen_key(text: str) -> uuid.UUID | None:
    """Return the key of what is chosen, None where nothing is."""
    return uuid.UUID(text) if text else None
