"""What is kept of a customer beside their telephone numbers and e-mail addresses."""

from __future__ import annotations

from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.address_fields import Address
from desk.records.fields.field import CsvHeading, line, text

_WHOSE = message("Of the customer.")


@dataclass(frozen=True)  # without slots: a class has them from one of its bases alone
class _Named:
    """What stands before the address, in form and file."""

    name: str = field(
        metadata=line(
            message("Name"),
            when_joined="stays",
            needed=message("Type a name."),
            folded_in="folded",
            in_sentence=message("name"),
            csv=CsvHeading("Name", _WHOSE, ("customer", "customername", "fullname", "company")),
        )
    )


@dataclass(frozen=True, slots=True)
class CustomerDetails(Address, _Named):
    """Whom the shop works for, as typed: the name, the parts of the address, and what follows here.

    A line here with its column in :class:`desk.records.tables.people.Customer` is all that a field
    needs.
    """

    note: str = field(
        default="",
        metadata=text(
            message("Note for the office"),
            in_sentence=message("note"),
            csv=CsvHeading("Note", _WHOSE, ("notes", "remarks", "comment", "comments")),
        ),
    )
