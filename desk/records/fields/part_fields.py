"""What is kept of a part of the catalogue."""

from __future__ import annotations

from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.field import CsvHeading, count, line, money


@dataclass(frozen=True, slots=True)
class PartDetails:
    """A part of the catalogue; the price of one is in cents, None where nobody has said it.

    A line here with its column in :mod:`desk.records.tables.parts` is all that a field needs. Its
    number stays as it was entered.
    """

    number: str = field(
        metadata=line(
            message("Part number"),
            in_form="new",
            csv=CsvHeading(
                "Number",
                message("The part's number in the catalogue."),
                ("no", "partnumber", "partno", "sku", "itemnumber"),
            ),
        )
    )
    name: str = field(
        metadata=line(
            message("What it is"),
            needed=message("Type what the part is."),
            csv=CsvHeading(
                "Name",
                message("What the part is."),
                ("part", "description", "partname", "item", "itemname"),
            ),
        )
    )
    price: int | None = field(
        default=None,
        metadata=money(
            message("Price"),
            hint=message("such as 34.50; may stay empty"),
            csv=CsvHeading(
                "Price",
                message("The price of one, such as 12.50."),
                ("unitprice", "listprice", "sellingprice"),
            ),
        ),
    )
    keep_at_least: int = field(
        default=0,
        metadata=count(
            message("Keep at least"),
            in_form="mended",
            csv=CsvHeading(
                "Keep at least",
                message("How many pieces the shop means to have."),
                ("minimum", "reorderpoint", "reorderlevel", "minstock"),
            ),
        ),
    )
