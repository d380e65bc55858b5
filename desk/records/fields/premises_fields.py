"""What is kept of premises."""

from __future__ import annotations

from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.address_fields import STREET, Address
from desk.records.fields.field import FieldQuantity, line, needed, quantity
from desk.trade.heating.atmosphere import HIGHEST_M, LOWEST_M
from desk.trade.quantities.quantity_kinds import QuantityKind


@dataclass(frozen=True, slots=True)
class PremisesDetails(Address):
    """Premises as the office knows them, all as typed: the parts of the address, and the rest.

    A line here with its column in :mod:`desk.records.tables.premises` is all that a field needs.
    """

    street: str = field(default="", metadata=needed(STREET, message("Type the street.")))
    access_note: str = field(
        default="", metadata=line(message("How to get in"), when_joined="both")
    )
    supply_area: str = field(default="", metadata=line(message("Water supply area")))
    water_source: str = field(
        default="", metadata=line(message("Water from"), hint=message("mains, well …"))
    )
    fuel: str = field(
        default="", metadata=line(message("Fuel"), hint=message("natural gas, propane …"))
    )
    water_treatment: str = field(
        default="",
        metadata=line(message("Water treatment"), hint=message("softener, filter … or none")),
    )
    recirculation: str = field(
        default="",
        metadata=line(message("Recirculation"), hint=message("pump, clock … or none")),
    )
    hardness: str = field(
        default="",
        metadata=quantity(
            message("Water hardness"),
            FieldQuantity(QuantityKind.HARDNESS, "hardness_kg_per_m3"),
            hint=message("such as 12 gpg"),
        ),
    )
    altitude: str = field(
        default="",
        metadata=quantity(
            message("Altitude above the sea"),
            FieldQuantity(QuantityKind.LENGTH, "altitude_m", LOWEST_M, HIGHEST_M),
            hint=message("such as 1200 ft or 370 m"),
        ),
    )
