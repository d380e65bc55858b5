"""Joining two rows that are the same customer, premises or appliance.

Nothing is deleted. What belonged to the row that goes is pointed at the one that stays, field by
field through the journal, so that one step takes all of it back. The row that goes is withdrawn
with everything that was written in it, and leads to the one that stays. Sealed reports are bytes
of their own and do not change; their visits are found with the row that stays.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, Session

from desk.base.errors import InputError, RuleError
from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.fields.address_fields import Address
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import joined_columns, names_of
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.journal import withdraw
from desk.records.journal.row_access import row_of
from desk.records.tables import (
    Appliance,
    Customer,
    CustomerEmail,
    CustomerPhone,
    Premises,
    PremisesLink,
    Visit,
)
from desk.records.tables.sequence import in_sequence
from desk.records.views.customer_record import JoinView
from desk.trade.reference.sensing_kinds import NOT_KNOWN

CUSTOMERS_JOINED = message("Customers joined")
PREMISES_JOINED = message("Premises joined")
APPLIANCES_JOINED = message("Appliances joined")
JOINS = frozenset({CUSTOMERS_JOINED.id, PREMISES_JOINED.id, APPLIANCES_JOINED.id})
"""Deeds that touch visits without being anybody's work on them."""

type Joinable = Customer | Premises | Appliance
type Pointer = InstrumentedAttribute[uuid.UUID] | InstrumentedAttribute[uuid.UUID | None]

_NOTHING_SAID = frozenset({"", None, NOT_KNOWN, "other"})


@dataclass(frozen=True, slots=True)
class MergeKind:
    """What a join of one kind moves and fills.

    Attributes:
        points: the columns that name a row of this kind.
        fills: fields that the row which stays takes over where it says nothing.
        as_one: fields that are only taken over all together.
        notes: free text, of which both are kept.
    """

    points: tuple[Pointer, ...]
    fills: tuple[str, ...] = ()
    as_one: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


CUSTOMER = MergeKind(
    points=(
        CustomerPhone.customer_id,
        CustomerEmail.customer_id,
        PremisesLink.customer_id,
        Visit.customer_id,
        Customer.joined_into_id,
    ),
    as_one=names_of(Address),
    notes=joined_columns(CustomerDetails, "both"),
)
PREMISES = MergeKind(
    points=(
        PremisesLink.premises_id,
        Appliance.premises_id,
        Visit.premises_id,
        Premises.joined_into_id,
    ),
    fills=joined_columns(PremisesDetails, "fill"),
    notes=joined_columns(PremisesDetails, "both"),
)
APPLIANCE = MergeKind(
    points=(Visit.appliance_id, Appliance.replaced_by_id, Appliance.joined_into_id),
    fills=(*joined_columns(ApplianceDetails, "fill"), "replaced_by_id", "replaced_on"),
    notes=joined_columns(ApplianceDetails, "both"),
)


def comes_over(session: Session, gone_id: uuid.UUID) -> JoinView:
    """Return what would come over if a row were joined into another one."""

    def count(pointer: Pointer) -> int:
        table = pointer.class_
        wanted = sa.select(sa.func.count()).where(pointer == gone_id, table.withdrawn_at.is_(None))
        return session.scalar(wanted) or 0

    return JoinView(
        phones=count(CustomerPhone.customer_id),
        emails=count(CustomerEmail.customer_id),
        premises=count(PremisesLink.customer_id),
        appliances=count(Appliance.premises_id),
        visits=count(Visit.customer_id) + count(Visit.premises_id) + count(Visit.appliance_id),
    )


def join_customers(session: Session, gone_id: uuid.UUID, stays_id: uuid.UUID) -> None:
    """Make one customer of two: phones, e-mails, premises and visits go to the one that stays.

    Args:
        session: of a unit of work.
        gone_id: who was entered once too often.
        stays_id: who stays.

    Raises:
        InputError: one of them is not there, or both are the same row.
    """
    gone, stays = _two(session, Customer, gone_id, stays_id)
    _withdraw_doubles(session, CustomerPhone, gone, stays, lambda row: row.e164 or fold(row.typed))
    _withdraw_doubles(session, CustomerEmail, gone, stays, lambda row: fold(row.address))
    _join(session, CUSTOMER, gone, stays)
    _withdraw_doubled_ties(session, PremisesLink.customer_id == stays.id)


def join_premises(session: Session, gone_id: uuid.UUID, stays_id: uuid.UUID) -> None:
    """Make one place of two: appliances, people and visits go to the one that stays.

    Args:
        session: of a unit of work.
        gone_id: what was entered once too often.
        stays_id: what stays.

    Raises:
        InputError: as :func:`join_customers`.
    """
    gone, stays = _two(session, Premises, gone_id, stays_id)
    _join(session, PREMISES, gone, stays)
    _withdraw_doubled_ties(session, PremisesLink.premises_id == stays.id)


def join_appliances(session: Session, gone_id: uuid.UUID, stays_id: uuid.UUID) -> None:
    """Make one appliance of two that stand at the same premises: visits go to the one that stays.

    Args:
        session: of a unit of work.
        gone_id: what was entered once too often.
        stays_id: what stays.

    Raises:
        InputError: as :func:`join_customers`.
        RuleError: they stand at different premises, or one replaced the other.
    """
    gone, stays = _two(session, Appliance, gone_id, stays_id)
    if gone.premises_id != stays.premises_id:
        raise RuleError(
            message("These appliances stand at different premises. Join the premises first.")
        )
    for one, other in ((gone, stays), (stays, gone)):
        if other.id in successors(session, one):
            raise RuleError(
                message(
                    "{new} came in place of {old}, so they are two appliances.",
                    new=other.number,
                    old=one.number,
                )
            )
    _join(session, APPLIANCE, gone, stays)


def successors(session: Session, appliance: Appliance) -> list[uuid.UUID]:
    """Return what came in place of an appliance, in order, however often it was replaced."""
    found: list[uuid.UUID] = []
    following = appliance.replaced_by_id
    while following is not None and following not in found:
        found.append(following)
        following = session.get_one(Appliance, following).replaced_by_id
    return found


def _two[R: Joinable](
    session: Session, table: type[R], gone_id: uuid.UUID, stays_id: uuid.UUID
) -> tuple[R, R]:
    if gone_id == stays_id:
        raise InputError(message("Choose another one; this is the one that stays."), field="other")
    return row_of(session, table, gone_id), row_of(session, table, stays_id)


def _join(session: Session, kind: MergeKind, gone: Joinable, stays: Joinable) -> None:
    """Point everything at the row that stays, fill it up, and withdraw the other one."""
    for pointer in kind.points:
        for row in session.scalars(sa.select(pointer.class_).where(pointer == gone.id)):
            setattr(row, pointer.key, stays.id)
    _fill(kind, gone, stays)
    gone.joined_into_id = stays.id
    withdraw(session, gone)
    session.flush()  # what is doubled now is looked for


def _fill(kind: MergeKind, gone: Joinable, stays: Joinable) -> None:
    """Let the row that stays say what only the other one said; where both speak, it stands."""
    for name in kind.fills:
        if getattr(stays, name) in _NOTHING_SAID and getattr(gone, name) not in _NOTHING_SAID:
            setattr(stays, name, getattr(gone, name))
    if not any(getattr(stays, name) for name in kind.as_one):
        for name in kind.as_one:
            setattr(stays, name, getattr(gone, name))
    for name in kind.notes:
        said, more = getattr(stays, name), getattr(gone, name)
        if fold(more) not in fold(said):
            setattr(stays, name, f"{said}\n{more}" if said else more)


def _withdraw_doubles[R: (CustomerPhone, CustomerEmail)](
    session: Session, table: type[R], gone: Customer, stays: Customer, same: Callable[[R], str]
) -> None:
    """Withdraw what the customer who goes has and the one who stays has as well."""

    def of(customer: Customer) -> Sequence[R]:
        mine = (table.customer_id == customer.id, table.withdrawn_at.is_(None))
        return session.scalars(sa.select(table).where(*mine)).all()

    known = {same(row) for row in of(stays)}
    for row in of(gone):
        if same(row) in known:
            withdraw(session, row)


def _withdraw_doubled_ties(session: Session, where: sa.ColumnElement[bool]) -> None:
    """Keep one of several open ties that say the same, from the earliest day that one names."""
    first: dict[tuple[uuid.UUID, uuid.UUID, str], PremisesLink] = {}
    for tie in session.scalars(
        sa.select(PremisesLink)
        .where(where, PremisesLink.withdrawn_at.is_(None), PremisesLink.until.is_(None))
        .order_by(*in_sequence(PremisesLink))
    ):
        kept = first.setdefault((tie.premises_id, tie.customer_id, tie.role), tie)
        if kept is not tie:
            days = [day for day in (kept.since, tie.since) if day is not None]
            kept.since = min(days, default=None)
            withdraw(session, tie)
