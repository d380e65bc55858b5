"""All rows of one visit, read at once and in few statements, for what is made of many of them."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.records.journal.row_access import row_of
from desk.records.measured.taken import Taken, taken_on
from desk.records.shop.visit_charges import further_of
from desk.records.tables import (
    Acknowledgement,
    Appliance,
    Attachment,
    ChangeSet,
    ChecklistEdition,
    CheckResult,
    Customer,
    FurtherCharge,
    PartOrder,
    PartUsed,
    Person,
    Premises,
    Reading,
    Signature,
    Visit,
    VisitCharging,
)
from desk.records.tables.sequence import in_sequence, newest_first
from desk.records.visits.checks import results_of

_NOT_ON_EACH = (Attachment, FurtherCharge, PartOrder, PartUsed, Reading)
"""Tables of which most visits have no row; they are asked only where there is one."""


@dataclass(frozen=True, slots=True, eq=False)
class VisitRows:
    """The rows of one visit as they stood when they were read, none of them withdrawn.

    Attributes:
        visit: its own.
        customer: whose call it is; None, as for the next ones, where the visit names none.
        premises: where it is.
        appliance: what it is about.
        technician: who does the work.
        edition: the kept text of its checklist.
        signature: the one that stands.
        charging: how it is charged.
        continues: the number of the visit that it goes on with, "" where it begins a job.
        answers: all, in the office's own sequence, the superseded ones among them.
        cautions: what was acknowledged, in sequence, each with the name of who did.
        photographs: in their order, each with the time at which it was added.
        taken: flows, readings and cards, in sequence.
        parts: those fitted, in sequence.
        further: what is charged besides, in sequence.
        asks_for_parts: it has asked for parts, whatever became of it.
    """

    visit: Visit
    customer: Customer | None
    premises: Premises | None
    appliance: Appliance | None
    technician: Person | None
    edition: ChecklistEdition | None
    signature: Signature | None
    charging: VisitCharging | None
    continues: str
    answers: Sequence[CheckResult]
    cautions: tuple[tuple[Acknowledgement, str], ...]
    photographs: tuple[tuple[Attachment, datetime], ...]
    taken: tuple[Taken, ...]
    parts: Sequence[PartUsed]
    further: Sequence[FurtherCharge]
    asks_for_parts: bool


def rows_of_visit(session: Session, visit_id: uuid.UUID) -> VisitRows:
    """Return all rows of a visit.

    Raises:
        InputError: there is no such visit.
    """
    found = session.execute(_single_rows(), {"visit_id": visit_id}).one_or_none()
    visit = row_of(session, Visit, visit_id)
    assert found is not None  # noqa: S101 - the visit is there
    _visit, customer, premises, appliance, technician, edition, *more = found
    signature, charging, continues, *is_there = more
    there = dict(zip(_NOT_ON_EACH, is_there, strict=True))
    return VisitRows(
        visit=visit,
        customer=customer,
        premises=premises,
        appliance=appliance,
        technician=technician,
        edition=edition,
        signature=signature,
        charging=charging,
        continues=continues or "",
        answers=results_of(session, visit_id) if visit.edition_id is not None else (),
        cautions=_cautions(session, visit_id),
        photographs=_photographs(session, visit_id) if there[Attachment] else (),
        taken=taken_on(session, visit) if there[Reading] else (),
        parts=_parts(session, visit_id) if there[PartUsed] else (),
        further=further_of(session, visit_id) if there[FurtherCharge] else (),
        asks_for_parts=there[PartOrder],
    )


@cache
def _single_rows() -> sa.Select[*tuple[Any, ...]]:
    """Return what asks for the visit and all of which it has one row at the most, built once."""
    continued = aliased(Visit)
    return (
        sa.select(
            Visit,
            Customer,
            Premises,
            Appliance,
            Person,
            ChecklistEdition,
            Signature,
            VisitCharging,
            continued.number,
            *(sa.exists().where(table.visit_id == Visit.id) for table in _NOT_ON_EACH),
        )
        .outerjoin(Customer, Customer.id == Visit.customer_id)
        .outerjoin(Premises, Premises.id == Visit.premises_id)
        .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
        .outerjoin(Person, Person.id == Visit.technician_id)
        .outerjoin(ChecklistEdition, ChecklistEdition.id == Visit.edition_id)
        .outerjoin(Signature, Signature.id == _newest_of(Signature))
        .outerjoin(VisitCharging, VisitCharging.id == _newest_of(VisitCharging))
        .outerjoin(continued, continued.id == Visit.continues_id)
        .where(Visit.id == sa.bindparam("visit_id", type_=Visit.id.type))
    )


def _newest_of(table: type[Signature | VisitCharging]) -> sa.ScalarSelect[uuid.UUID]:
    """Return the key of the row of a table that stands for the visit."""
    row = aliased(table)
    return (
        sa.select(row.id)
        .where(row.visit_id == Visit.id, row.withdrawn_at.is_(None))
        .order_by(*newest_first(row))
        .limit(1)
        .correlate(Visit)
        .scalar_subquery()
    )


def _cautions(session: Session, visit_id: uuid.UUID) -> tuple[tuple[Acknowledgement, str], ...]:
    rows = session.execute(
        sa.select(Acknowledgement, Person.name)
        .outerjoin(Person, Person.id == Acknowledgement.person_id)
        .where(Acknowledgement.visit_id == visit_id, Acknowledgement.withdrawn_at.is_(None))
        .order_by(*in_sequence(Acknowledgement))
    )
    return tuple((row, name or "") for row, name in rows)


def _photographs(session: Session, visit_id: uuid.UUID) -> tuple[tuple[Attachment, datetime], ...]:
    rows = session.execute(
        sa.select(Attachment, ChangeSet.at)
        .join(ChangeSet, ChangeSet.id == Attachment.made_in)
        .where(Attachment.visit_id == visit_id, Attachment.withdrawn_at.is_(None))
        .order_by(Attachment.place, *in_sequence(Attachment))
    )
    return tuple((row, at) for row, at in rows)


def _parts(session: Session, visit_id: uuid.UUID) -> Sequence[PartUsed]:
    return session.scalars(
        sa.select(PartUsed)
        .where(PartUsed.visit_id == visit_id, PartUsed.withdrawn_at.is_(None))
        .order_by(*in_sequence(PartUsed))
    ).all()
