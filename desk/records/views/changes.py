"""What changed elsewhere, and how much a step changed."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass, is_dataclass, replace
from typing import ClassVar

from desk.base.texts import Message, message


@dataclass(frozen=True, slots=True)
class RemoteChange:
    """That another desk did something.

    Attributes:
        visits: the visits that it is about; None where it may show anywhere.
    """

    visits: frozenset[uuid.UUID] | None = None
    what: ClassVar[Message] = message("Changed at another desk")

    def concerns(self, visit_id: uuid.UUID) -> bool:
        """Return whether what stands on a visit's sheet may be another now."""
        return self.visits is None or visit_id in self.visits


def together(changes: Iterable[RemoteChange]) -> RemoteChange:
    """Return several change sets of others as one."""
    visits: set[uuid.UUID] = set()
    for change in changes:
        if change.visits is None:
            return RemoteChange()
        visits |= change.visits
    return RemoteChange(frozenset(visits))


@dataclass(frozen=True, slots=True)
class Extent:
    """How many were brought in or taken away again; and how many stayed as they are in use."""

    count: int
    stayed: int


def knowing[D](command: D, shown: D) -> D:
    """Return a command that knows what stood in its form before anything was typed.

    Args:
        command: has a field ``shown`` where it can be put together with what others did.
        shown: the same command, made from what the form showed.
    """
    if isinstance(command, type) or not is_dataclass(command) or not hasattr(command, "shown"):
        return command
    return replace(command, shown=shown)  # type: ignore[type-var]  # it was asked just above
