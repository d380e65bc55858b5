"""What the office keeps of a visit beside the customer's report: frozen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from desk.records.views.report import CheckLine, Printout
from desk.records.views.shop import UsedPart


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """An answer and who gave it, "" where that was not written down."""

    line: CheckLine
    by: str


@dataclass(frozen=True, slots=True)
class RevisionLine:
    """A sealed revision: when, by whom, why, and its fingerprint in hex."""

    revision: int
    reason: str
    sealed_at: datetime
    sealed_by: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class DoneLine:
    """An act on the visit; ``about`` is what it takes back or does again, "" for any other."""

    what: str
    about: str
    at: datetime
    by: str
    desk: str


@dataclass(frozen=True, slots=True)
class OfficeCopy:
    """A visit as the office keeps it.

    ``printout`` is what the customer holds; ``answers``, ``revisions`` and ``done`` stand in order
    of time. ``repeats`` and ``days_since`` tell which finished visit it repeats, ``continued_by``
    which go on with it. ``parts`` have their prices in ``currency``.
    """

    printout: Printout
    booked_minutes: int | None
    called_off_reason: str
    repeats: str
    days_since: int | None
    continued_by: tuple[str, ...]
    answers: tuple[GivenAnswer, ...]
    revisions: tuple[RevisionLine, ...]
    parts: tuple[UsedPart, ...]
    currency: str
    done: tuple[DoneLine, ...]
