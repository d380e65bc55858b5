"""What windows hand in: commands that change an office and queries that read it.

Both are frozen values, so that they can be queued, told apart and logged. A command is one act of a
person in one transaction; what it returns is a snapshot.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from desk.base.texts import Message

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


class Command[T](Protocol):
    """One act of a person."""

    @property
    def what(self) -> Message:
        """Say what is done, as history will say it."""
        ...

    def run(self, session: Session) -> T:
        """Do it, and return what the person sees afterwards."""
        ...


class Query[T](Protocol):
    """One question to the office."""

    def run(self, session: Session) -> T:
        """Answer it."""
        ...
