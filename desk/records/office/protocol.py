"""What windows hand in: commands that change an office and queries that read it.

Both are values, so that they can be queued, told apart and logged. A command is one act of a person
in one transaction; what it returns is a snapshot. Most are a function of the records with what it
is handed, made by a :class:`CommandKind` or :class:`QueryKind`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Concatenate, Protocol

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


@dataclass(frozen=True, slots=True)
class MadeQuery[T]:
    """A function of the records with what it is handed."""

    function: Callable[..., T]
    args: tuple[object, ...]
    kwargs: Mapping[str, object]

    def run(self, session: Session) -> T:
        """Return what the function returns."""
        return self.function(session, *self.args, **self.kwargs)


@dataclass(frozen=True, slots=True)
class MadeCommand[T](MadeQuery[T]):
    """A function of the records that changes rows, with what it is handed."""

    what: Message


@dataclass(frozen=True, slots=True)
class QueryKind[**P, T]:
    """A kind of query; what it is called with is what the function takes after its session."""

    function: Callable[Concatenate[Session, P], T]

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> MadeQuery[T]:
        """Return a query."""
        return MadeQuery(self.function, args, kwargs)


@dataclass(frozen=True, slots=True)
class CommandKind[**P, T]:
    """A kind of command; what it is called with is what the function takes after its session.

    Attributes:
        what: is done, as history says it; its id is kept in offices.
        function: takes the session of a unit of work first.
    """

    what: Message
    function: Callable[Concatenate[Session, P], T]

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> MadeCommand[T]:
        """Return a command."""
        return MadeCommand(self.function, args, kwargs, self.what)
