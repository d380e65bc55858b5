"""How an example of the door to the records is written; none imports the program by itself.

A case runs in a process of its own, in which tables are mapped in the order in which the program
itself asks for them. So an example imports what it needs inside its functions, and nothing else.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from desk.records.office.office import Office

DAY = date(2026, 11, 24)
"""The day on which the sample office ends."""
BUILT_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)
NOW = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)
"""What the clock of every case says: one in the afternoon, by the clock of the office."""


@dataclass(frozen=True)
class Keys:
    """What the sample office calls its rows, by the words of :mod:`tests.real.sample_office`."""

    kept: Mapping[str, str]

    def __getitem__(self, name: str) -> uuid.UUID:
        return uuid.UUID(self.kept[name])

    def text(self, name: str) -> str:
        return self.kept[name]


type Make = Callable[[Office, Keys], Any]


@dataclass(frozen=True)
class Example:
    """One class of the door, and what stands beside it in its case.

    Attributes:
        make: makes the command or the look.
        beside: for a command the look that shows it; for a query the command that comes between.
        back: the command that takes a command back; None where the windows offer none.
        both: it is tried on the server too, where the two engines go ways of their own.
        shows: what the second look shows is another thing than the first.
        begins: names the first look of a command that others look at first too; else "".
    """

    make: Make
    beside: Make
    back: Make | None = None
    both: bool = False
    shows: bool = True
    begins: str = ""


COMMANDS: dict[str, Example] = {}
QUERIES: dict[str, Example] = {}


def made(name: str) -> Make:
    """Return what makes another example, by ``module.Class``; it may be written further down."""

    def make(office: Office, keys: Keys) -> Any:
        return (QUERIES | COMMANDS)[name].make(office, keys)

    return make


def at_counter(
    name: str, shown_by: str | Make, *, both: bool = False, back: str = "undoing.TakeBack"
) -> Callable[[Make], Make]:
    """Write down a command of the counter, and the one there that takes it back; "" for none."""

    def write_down(make: Make) -> Make:
        look, begins = (shown_by, "") if callable(shown_by) else (made(shown_by), shown_by)
        COMMANDS[name] = Example(make, look, made(back) if back else None, both, begins=begins)
        return make

    return write_down


def on_visit(
    name: str, visit: str = "on_site", *, both: bool = False, back: bool = True, shows: bool = True
) -> Callable[[Callable[[Office, Keys, uuid.UUID], Any]], Make]:
    """Write down a command on a visit, shown on its sheet and taken back there."""

    def write_down(make: Callable[[Office, Keys, uuid.UUID], Any]) -> Make:
        def on_that_visit(office: Office, keys: Keys) -> Any:
            return make(office, keys, keys[visit])

        def sheet(_office: Office, keys: Keys) -> Any:
            from desk.records.actions.visit import SeeVisit

            return SeeVisit(keys[visit])

        def undo(_office: Office, keys: Keys) -> Any:
            from desk.records.actions.visit import Undo

            return Undo(keys[visit])

        taken_back = undo if back else None
        COMMANDS[name] = Example(on_that_visit, sheet, taken_back, both, shows, begins=visit)
        return on_that_visit

    return write_down


def look(
    name: str, between: str | Make, *, both: bool = False, shows: bool = True
) -> Callable[[Make], Make]:
    """Write down a query, and the command that comes between it and the second look."""

    def write_down(make: Make) -> Make:
        command = made(between) if isinstance(between, str) else between
        QUERIES[name] = Example(make, command, None, both, shows)
        return make

    return write_down
