"""A call while it is told: what was heard, who it may be, and what it may repeat."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field
from datetime import date

from desk.records.fields.address_fields import Address
from desk.records.fields.appliance_fields import ApplianceDetails

MOST = 3
"""So many are offered; more would have to be read and not recognised."""


@dataclass(frozen=True, slots=True)
class CallerDetails:
    """What a caller has told so far, as typed."""

    phone: str = ""
    address: Address = field(default_factory=Address)
    serial: str = ""


@dataclass(frozen=True, slots=True)
class Likely:
    """Somebody, or some place, that is likely the one that is typed in again.

    Attributes:
        same: what is the same, of ``phone``, ``address`` and ``serial``.
        customer_id: whose record it is; None for premises that are nobody's now.
        premises_id: the place, where it is known from what is the same.
        appliance_id: likewise.
        who: the customer's name.
        where: street and town.
        what: the appliance of the same serial.
    """

    same: tuple[str, ...]
    customer_id: uuid.UUID | None
    premises_id: uuid.UUID | None = None
    appliance_id: uuid.UUID | None = None
    who: str = ""
    where: str = ""
    what: str = ""


@dataclass(frozen=True, slots=True)
class NewCaller:
    """Who calls, where and about what, where the office does not know them yet."""

    name: str
    phone: str = ""
    email: str = ""
    address: Address = field(default_factory=Address)
    access_note: str = ""
    supply_area: str = ""
    role: str = "owner"
    appliance: ApplianceDetails | None = None


@dataclass(frozen=True, slots=True)
class JobBefore:
    """The job that a call is about already.

    Attributes:
        number: of its last visit.
        state: of its last visit.
        day: when it was finished; when it is booked for, or was called in, while it is open.
        days: local days from its finish to the call; None while it is open, which is no repeat.
        cause: what was found, in words; "" where nothing was written down.
        parts: what was fitted on all of its visits.
    """

    number: str
    state: str
    day: date
    days: int | None
    cause: str
    parts: tuple[str, ...]
