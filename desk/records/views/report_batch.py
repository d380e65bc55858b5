"""The reports of some days, to be printed in one go."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date

from desk.base.texts import Message


@dataclass(frozen=True, slots=True)
class BatchLine:
    """A report that can be printed; one that is not sealed may still change."""

    visit_id: uuid.UUID
    number: str
    customer: str
    finished: date
    is_sealed: bool


@dataclass(frozen=True, slots=True)
class UnfinishedLine:
    """A visit of those days that has no report yet, and why."""

    number: str
    customer: str
    why: Message


@dataclass(frozen=True, slots=True)
class NotPrinted:
    """A report that was to be printed and could not be."""

    number: str
    why: Message


@dataclass(frozen=True, slots=True)
class HandedOn:
    """How many reports were handed on to be printed, and those that could not be."""

    count: int
    left_out: tuple[NotPrinted, ...] = ()


@dataclass(frozen=True, slots=True)
class ReportBatch:
    """The reports of the visits that were finished from a day to a day."""

    since: date
    until: date
    reports: tuple[BatchLine, ...]
    unfinished: tuple[UnfinishedLine, ...]
