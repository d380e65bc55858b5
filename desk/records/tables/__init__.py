"""The tables of an office, by subject: journal, people, places, visits, parts."""

from desk.records.tables.base import Base, Changeable, Made
from desk.records.tables.half_typed import HalfTyped
from desk.records.tables.journal import Change, ChangeSet, Conflict, Device, Here
from desk.records.tables.parts import Part, PartUsed, StockMovement
from desk.records.tables.people import Customer, CustomerEmail, CustomerPhone, Person, Shop
from desk.records.tables.places import Appliance, Premises, PremisesLink
from desk.records.tables.visits import (
    Acknowledgement,
    Attachment,
    AttachmentBytes,
    ChecklistEdition,
    CheckResult,
    Fill,
    Reading,
    ReadingInput,
    SealedRevision,
    Signature,
    Visit,
)

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
    "Customer",
    "CustomerEmail",
    "CustomerPhone",
    "Device",
    "Fill",
    "HalfTyped",
    "Here",
    "Made",
    "Part",
    "PartUsed",
    "Person",
    "Premises",
    "PremisesLink",
    "Reading",
    "ReadingInput",
    "SealedRevision",
    "Shop",
    "Signature",
    "StockMovement",
    "Visit",
]
