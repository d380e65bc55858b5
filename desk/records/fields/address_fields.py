"""The parts of an address: those of customers, premises and the shop alike."""

from __future__ import annotations

from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.field import CsvHeading, line

_WHERE = message("Where it stands.")
STREET = line(
    message("Street"),
    in_sentence=message("street"),
    csv=CsvHeading("Street", _WHERE, ("address", "address1")),
)


@dataclass(frozen=True, slots=True)
class Address:
    """An address in the parts that an envelope needs.

    A line here with its column in :class:`desk.records.tables.people.Addressed` is all that a part
    needs.
    """

    street: str = field(default="", metadata=STREET)
    locality: str = field(
        default="",
        metadata=line(
            message("Town"),
            in_sentence=message("city"),
            csv=CsvHeading("City", _WHERE, ("town", "place")),
        ),
    )
    region: str = field(
        default="",
        metadata=line(
            message("State or province"),
            in_sentence=message("state"),
            csv=CsvHeading("State", _WHERE, ("province",)),
        ),
    )
    postcode: str = field(
        default="",
        metadata=line(
            message("Post code"),
            in_sentence=message("ZIP"),
            csv=CsvHeading("ZIP", _WHERE, ("zipcode", "postalcode")),
        ),
    )
    country: str = field(
        default="",
        metadata=line(
            message("Country"),
            in_form="never",
            in_sentence=message("country"),
            csv=CsvHeading("Country", _WHERE),
        ),
    )
