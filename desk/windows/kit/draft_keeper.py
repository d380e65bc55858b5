"""Keeps what stands typed and is not handed in yet, so that closing or a power cut loses none."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desk.base.errors import DeskError
from desk.windows.work.work_queue import WorkQueue

KEEP_WITHIN_MS = 800
"""What is typed is kept at latest so long after its first letter, whether typing rests or not; with
the writing itself that stays within a second."""


class DraftField(Protocol):
    """A field as it is followed: what stands in it, and whether that is kept elsewhere."""

    @property
    def text_changed(self) -> SignalInstance:
        """Emitted when what stands there is another, whoever changed it."""
        ...

    @property
    def half_typed_name(self) -> str:
        """What it is called among the fields of its place."""
        ...

    def text(self) -> str:
        """Return what stands in it."""
        ...

    def take_up(self, text: str) -> None:
        """Let a text stand in it as if it had just been typed."""
        ...

    def give_up(self) -> str:
        """Return what is half typed in it, which stands in another field from now on."""
        ...

    def is_half_typed(self) -> bool:
        """Return whether what stands in it is kept nowhere else."""
        ...


class DraftKeeper(QObject):
    """Follows the fields of a window, or of a part of it, that is one place to type in.

    A field finds its keeper by :func:`keeper_of` when it is first shown, and takes up what was
    left in it.

    Signals:
        refused: why it could not be kept (`DeskError`); it is tried again after the next key.
    """

    refused = Signal(object)

    def __init__(self, queue: WorkQueue, place: str, owner: QWidget) -> None:
        super().__init__(owner)
        self._queue, self.place = queue, place
        self._fields: list[DraftField] = []
        self._held: dict[str, str] = {}
        self._left: dict[str, str] = {}
        self._due = QTimer(self)
        self._due.setSingleShot(True)
        self._due.setInterval(KEEP_WITHIN_MS)
        self._due.timeout.connect(self.keep)

    def take_up(self, typed: Mapping[str, str]) -> None:
        """Give back what was left at the place, now and to fields that are shown later."""
        self._held |= typed
        self._left |= typed
        for field in self._there():
            self._give_back(field)

    def follow(self, field: DraftField) -> None:
        """Keep what stands in a field from now on, and give it back what was left in it."""
        if all(one is not field for one in self._fields):
            self._fields.append(field)
            field.text_changed.connect(self._keep_soon)
        self._give_back(field)

    def release(self, field: DraftField) -> None:
        """Follow a field no longer; what is half typed in it waits for one of the same name."""
        if all(one is not field for one in self._fields):
            return  # it was never in view
        if field.is_half_typed():
            self._left[field.half_typed_name] = field.text()
        self.keep()
        self._fields = [one for one in self._fields if one is not field]
        field.text_changed.disconnect(self._keep_soon)

    def begin(self, place: str) -> None:
        """Keep the same fields at another place from now on, where nothing is known yet."""
        self.go_to(place)
        self._held, self._left = {}, {}

    def go_to(self, place: str) -> None:
        """Keep the same fields at a place to which what is kept was moved; "" keeps none."""
        self._due.stop()
        self.place = place

    def keep(self) -> None:
        """Keep what stands in the fields now, if the office does not hold it yet."""
        self._due.stop()
        if not self.place:
            return
        now = dict(self._left)
        there = self._there()
        now |= {field.half_typed_name: "" for field in there}
        now |= {field.half_typed_name: field.text() for field in there if field.is_half_typed()}
        changed = {name: text for name, text in now.items() if text != self._held.get(name, "")}
        if not changed:
            return
        before, self._held = self._held, self._held | changed

        def not_kept(error: DeskError) -> None:
            self._held = before
            self.refused.emit(error)

        self._queue.set_aside(self, self.place, changed, not_kept)

    def _keep_soon(self) -> None:
        """Let a time run that further letters do not put off."""
        if not self._due.isActive():
            self._due.start()

    def _give_back(self, field: DraftField) -> None:
        """Let what was left stand in a field, or what is half typed in one of the same name."""
        name = field.half_typed_name
        text = self._left.pop(name, "")
        for other in self._there():
            if other is not field and other.half_typed_name == name:
                text = other.give_up() or text
        if text and not field.is_half_typed():
            field.take_up(text)

    def _there(self) -> list[DraftField]:
        self._fields = [one for one in self._fields if isValid(one)]
        return self._fields


def keeper_of(widget: QWidget) -> DraftKeeper | None:
    """Return the keeper of the nearest part of the window around a widget that has one."""
    above: QWidget | None = widget
    while above is not None:
        for child in above.children():
            if isinstance(child, DraftKeeper):
                return child
        above = above.parentWidget()
    return None
