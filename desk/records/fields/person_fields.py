"""What is kept of somebody who works at the shop."""

from __future__ import annotations

from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.field import flag, line


@dataclass(frozen=True, slots=True)
class PersonDetails:
    """Somebody who works at the shop, and the licensed work that person may do.

    A line here with its column in :mod:`desk.records.tables.people` is all that a field needs. A
    licence is said and not assumed.
    """

    name: str = field(metadata=line(message("Name"), needed=message("Type a name.")))
    phone: str = field(default="", metadata=line(message("Phone")))
    is_technician: bool = field(
        default=False, metadata=flag(message("Goes out to customers"), is_assumed=True)
    )
    licence_class: str = field(default="", metadata=line(message("Licence class")))
    licence_number: str = field(default="", metadata=line(message("Licence number")))
    may_plumbing: bool = field(
        default=True, metadata=flag(message("May do plumbing"), is_assumed=True)
    )
    may_electrical: bool = field(default=False, metadata=flag(message("May do electrical work")))
    may_gas: bool = field(default=False, metadata=flag(message("May do gas work")))
