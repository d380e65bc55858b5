"""Snapshots as JSON on standard output: the names of their fields, SI values, days and keys."""

from __future__ import annotations

import json
import uuid
from dataclasses import fields, is_dataclass
from datetime import date, datetime

from desk.base.texts import Message, say
from desk.records.views.parties import Letterhead


def as_json(snapshot: object) -> str:
    """Return a frozen snapshot as JSON; the letterhead, which says who asks, is left out."""
    return json.dumps(_plain(snapshot), ensure_ascii=False, indent=2)


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, Message | type):
        named = {field.name: getattr(value, field.name) for field in fields(value)}
        return {name: _plain(one) for name, one in named.items() if not isinstance(one, Letterhead)}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return _word(value)


def _word(value: object) -> object:
    if isinstance(value, Message):
        return say(value)
    if isinstance(value, date | datetime):
        return value.isoformat()
    return value.hex if isinstance(value, uuid.UUID) else value
