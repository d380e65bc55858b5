"""The tables of an office, by subject; each is mapped when it is first asked for.

Mapping all of them takes longer than showing a day, which needs only a few. Whoever writes, or
goes through the whole office, calls :func:`map_all` first: foreign keys are resolved by name.
"""

import re
from importlib import import_module
from typing import TYPE_CHECKING

from desk.records.tables.base import Base, Changeable, Made

if TYPE_CHECKING:
    from desk.records.tables.appliances import Appliance
    from desk.records.tables.blobs import (
        Attachment,
        AttachmentBytes,
        SealedRevision,
        ShopLogo,
        Signature,
    )
    from desk.records.tables.charging import FurtherCharge, VisitCharging
    from desk.records.tables.contacts import CustomerEmail, CustomerPhone, PremisesLink
    from desk.records.tables.containers import Container
    from desk.records.tables.drafts import HalfTyped
    from desk.records.tables.journal import Change, ChangeSet, Conflict, Device, Here
    from desk.records.tables.parts import Part, PartOrder, PartUsed, StockMovement
    from desk.records.tables.people import Customer, Person, Shop
    from desk.records.tables.premises import Premises
    from desk.records.tables.site_work import (
        Acknowledgement,
        ChecklistEdition,
        CheckResult,
        Fill,
        Reading,
        ReadingInput,
    )
    from desk.records.tables.visits import Visit

__all__ = [
    "Acknowledgement",
    "Appliance",
    "Attachment",
    "AttachmentBytes",
    "Base",
    "Change",
    "ChangeSet",
    "Changeable",
    "CheckResult",
    "ChecklistEdition",
    "Conflict",
    "Container",
    "Customer",
    "CustomerEmail",
    "CustomerPhone",
    "Device",
    "Fill",
    "FurtherCharge",
    "HalfTyped",
    "Here",
    "Made",
    "Part",
    "PartOrder",
    "PartUsed",
    "Person",
    "Premises",
    "PremisesLink",
    "Reading",
    "ReadingInput",
    "SealedRevision",
    "Shop",
    "ShopLogo",
    "Signature",
    "StockMovement",
    "Visit",
    "VisitCharging",
    "map_all",
    "table_names",
]

_OF_MODULE = {
    "appliances": "Appliance",
    "charging": "FurtherCharge VisitCharging",
    "blobs": "Attachment AttachmentBytes SealedRevision ShopLogo Signature",
    "containers": "Container",
    "drafts": "HalfTyped",
    "journal": "Change ChangeSet Conflict Device Here",
    "site_work": "Acknowledgement ChecklistEdition CheckResult Fill Reading ReadingInput",
    "parts": "Part PartOrder PartUsed StockMovement",
    "people": "Customer Person Shop",
    "premises": "Premises",
    "contacts": "CustomerEmail CustomerPhone PremisesLink",
    "visits": "Visit",
}
_MODULE_OF = {name: module for module, names in _OF_MODULE.items() for name in names.split()}


def __getattr__(name: str) -> type[Base]:
    """Map the table of a name when it is first asked for.

    Raises:
        AttributeError: there is none.
    """
    if name not in _MODULE_OF:
        raise AttributeError(name)
    table: type[Base] = getattr(import_module(f"{__name__}.{_MODULE_OF[name]}"), name)
    globals()[name] = table
    return table


def map_all() -> type[Base]:
    """Map every table and return what they are mapped on."""
    for module in _OF_MODULE:
        import_module(f"{__name__}.{module}")
    return Base


def table_names() -> set[str]:
    """Return the names of all tables, without mapping them: those of the classes, in snake case."""
    return {re.sub(r"(?<!^)(?=[A-Z])", "_", name).lower() for name in _MODULE_OF}
