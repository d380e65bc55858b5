"""What is half typed: where it stands, and the names of its fields."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass

SMALL_JOB = "small_"
"""Begins the names of the small job's fields on a visit's sheet."""


SIGNATURE = "signature_"
"""Begins the names of what is drawn and not kept as a signature on a visit's sheet."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What stands typed at a place, by field."""

    place: str
    typed: Mapping[str, str]


def on_visit(visit_id: uuid.UUID) -> str:
    """Return the place of a visit's sheet."""
    return f"visit/{visit_id}"


def on_call(visit_id: uuid.UUID) -> str:
    """Return the place of a call that was written down and is told further."""
    return f"call/{visit_id}"


def on_own_check(kind: str, checklist: str, item_id: str) -> str:
    """Return the place of one of the shop's own checks, causes or cautions in its form.

    Args:
        kind: ``check``, ``cause`` or ``caution``.
        checklist: id of the list that a check is in; "" for the others.
        item_id: its id.
    """
    return f"own/{kind}/{checklist}/{item_id}"


def reading_field(kind: str, moment: str) -> str:
    """Return the name of the line in which a kind of reading is typed on a visit's sheet."""
    return f"reading_{kind}_{moment}"


def price_field(part_used_id: uuid.UUID) -> str:
    """Return the name of the input in which a fitted part's price is typed."""
    return f"price_{part_used_id.hex}"
