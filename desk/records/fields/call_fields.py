"""What is kept of a call."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, field

from desk.base.texts import message
from desk.records.fields.field import choice, flag, key, line, text
from desk.trade.reference.complaints import COMPLAINTS

DANGER_QUESTION = message(
    "Ask first: a smell of gas, a CO alarm, headaches or dizziness, water near electrics?"
)


@dataclass(frozen=True, slots=True)
class CallDetails:
    """What the office hears on the phone; what is not known yet stays empty.

    A line here with its column in :mod:`desk.records.tables.visits` is all that a field needs. The
    complaint is "" for planned service, and ``continues_id`` the visit that this one is booked to
    finish.
    """

    complaint: str = field(metadata=choice(message("What kind of complaint"), COMPLAINTS))
    words: str = field(
        default="",
        metadata=text(message("What they say, in their words"), kept_in="complaint_words"),
    )
    caller_name: str = field(default="", metadata=line(message("Who calls")))
    caller_phone: str = field(default="", metadata=line(message("Phone")))
    danger_reported: bool = field(default=False, metadata=flag(DANGER_QUESTION))
    customer_id: uuid.UUID | None = field(default=None, metadata=key(message("Customer")))
    premises_id: uuid.UUID | None = field(default=None, metadata=key(message("Where")))
    appliance_id: uuid.UUID | None = field(default=None, metadata=key(message("Which appliance")))
    continues_id: uuid.UUID | None = field(default=None, metadata=key(message("Continues")))
