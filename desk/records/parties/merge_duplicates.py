"""Joining two rows that are the same customer, premises or appliance.

Nothing is deleted. What belonged to the row that goes is pointed at the one that stays, field by
field through the journal, so that one step takes all of it back. The row that goes is withdrawn
with everything that was written in it, and leads to the one that stays. Sealed reports are bytes
of their own and do not change; their visits are found with the row that stays.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlalchemy.orm import InstrumentedAttribute, Session

from desk.base.errors import InputError, RuleError
from desk.base.text_folding import fold
from desk.base.texts import Message, message
from desk.records.fields.address_fields import Address
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import joined_columns, names_of
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.journal import withdraw
from desk.records.journal.row_access import row_of
from desk.records.tables import (
    Appliance,
    Base,
    Customer,
    CustomerEmail,
    CustomerPhone,
    Premises,
    PremisesLink,
    Visit,
    map_all,
)
from desk.records.tables.sequence import in_sequence
from desk.records.views.customer_record import JoinView
from desk.trade.reference.sensing_kinds import NOT_KNOWN

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

type Party = Customer | Premises | Appliance
type Pointer = InstrumentedAttribute[Any]

_NOTHING_SAID = frozenset({"", None, NOT_KNOWN, "other"})


@dataclass(frozen=True, slots=True)
class PartyKind:
    """A kind of row that is joined, withdrawn and brought back with what hangs on it.

    Attributes:
        table: of the row.
        fields: its table of fields; it says what the row that stays takes over.
        joined: what history says of a join.
        withdrawn: what history says where one is withdrawn.
        on_visit: the column of a visit that names one.
        tied_by: the column of a tie that names one, where people are tied by it.
        holds: a further column that names one, of rows that are withdrawn along with it.
        called_by: the columns of which its name is made.
        between: what stands between these.
        as_one: fields that are only taken over all together.
        also_fills: columns beside the fields that are taken over where nothing is said.
        doubles: the tables of what it has, each with what makes two of them the same.
        refuse: raises where two are not the same.
    """

    table: type[Party]
    fields: type[DataclassInstance]
    joined: Message
    withdrawn: Message
    on_visit: Pointer
    tied_by: Pointer | None = None
    holds: Pointer | None = None
    called_by: tuple[str, ...] = ("name",)
    between: str = ", "
    as_one: tuple[str, ...] = ()
    also_fills: tuple[str, ...] = ()
    doubles: Mapping[type[CustomerPhone | CustomerEmail], Callable[[Any], str]] = field(
        default_factory=dict
    )
    refuse: Callable[[Session, Any, Any], None] = lambda *_rows: None

    def name_of(self, row: Base) -> str:
        """Return what a row is called by."""
        return self.between.join(filter(None, (getattr(row, name) for name in self.called_by)))


def _refuse_other_appliances(session: Session, gone: Appliance, stays: Appliance) -> None:
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


KINDS: Mapping[str, PartyKind] = {
    "customer": PartyKind(
        Customer,
        CustomerDetails,
        message("Customers joined"),
        message("Customer withdrawn"),
        Visit.customer_id,
        PremisesLink.customer_id,
        as_one=names_of(Address),
        doubles={
            CustomerPhone: lambda row: row.e164 or fold(row.typed),
            CustomerEmail: lambda row: fold(row.address),
        },
    ),
    "premises": PartyKind(
        Premises,
        PremisesDetails,
        message("Premises joined"),
        message("Premises withdrawn"),
        Visit.premises_id,
        PremisesLink.premises_id,
        Appliance.premises_id,
        called_by=("street", "locality"),
    ),
    "appliance": PartyKind(
        Appliance,
        ApplianceDetails,
        message("Appliances joined"),
        message("Appliance withdrawn"),
        Visit.appliance_id,
        called_by=("maker", "model", "number"),
        between=" ",
        also_fills=("replaced_by_id", "replaced_on"),
        refuse=_refuse_other_appliances,
    ),
}
"""By the name of the table."""

JOINS = frozenset(kind.joined.id for kind in KINDS.values())
"""Change sets that touch visits without being anybody's work on them."""


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


def merge(session: Session, kind: str, gone_id: uuid.UUID, stays_id: uuid.UUID) -> None:
    """Make one row of two that are the same: what belonged to the one goes to the one that stays.

    Args:
        session: of a unit of work.
        kind: one of :data:`KINDS`.
        gone_id: what was entered once too often.
        stays_id: what stays.

    Raises:
        InputError: one of them is not there, or both are the same row.
        RuleError: they are two appliances: at different premises, or one replaced the other.
    """
    of = KINDS[kind]
    if gone_id == stays_id:
        raise InputError(message("Choose another one; this is the one that stays."), field="other")
    gone, stays = row_of(session, of.table, gone_id), row_of(session, of.table, stays_id)
    of.refuse(session, gone, stays)
    for table, same in of.doubles.items():
        _withdraw_doubles(session, table, same, gone_id, stays_id)
    for pointer in _pointers_to(of.table):
        for row in session.scalars(sa.select(pointer.class_).where(pointer == gone.id)):
            setattr(row, pointer.key, stays.id)
    _fill(of, gone, stays)
    gone.joined_into_id = stays.id
    withdraw(session, gone)
    session.flush()  # what is doubled now is looked for
    if of.tied_by is not None:
        _withdraw_doubled_ties(session, of.tied_by == stays.id)


@cache
def _pointers_to(table: type[Party]) -> Sequence[Pointer]:
    """Return every column of the office that names a row of a table."""
    pointers = [
        mapper.get_property_by_column(column).class_attribute
        for mapper in map_all().registry.mappers
        for column in mapper.columns
        if any(link.column.table is table.__table__ for link in column.foreign_keys)
    ]
    return sorted(pointers, key=str)


def successors(session: Session, appliance: Appliance) -> list[uuid.UUID]:
    """Return what came in place of an appliance, in order, however often it was replaced."""
    found: list[uuid.UUID] = []
    following = appliance.replaced_by_id
    while following is not None and following not in found:
        found.append(following)
        following = session.get_one(Appliance, following).replaced_by_id
    return found


def _fill(kind: PartyKind, gone: Party, stays: Party) -> None:
    """Let the row that stays say what only the other one said; where both speak, it stands."""
    for name in (*joined_columns(kind.fields, "fill"), *kind.also_fills):
        if name in kind.as_one:
            continue
        if getattr(stays, name) in _NOTHING_SAID and getattr(gone, name) not in _NOTHING_SAID:
            setattr(stays, name, getattr(gone, name))
    if not any(getattr(stays, name) for name in kind.as_one):
        for name in kind.as_one:
            setattr(stays, name, getattr(gone, name))
    for name in joined_columns(kind.fields, "both"):
        said, more = getattr(stays, name), getattr(gone, name)
        if fold(more) not in fold(said):
            setattr(stays, name, f"{said}\n{more}" if said else more)


def _withdraw_doubles(
    session: Session,
    table: type[Any],
    same: Callable[[Any], str],
    gone_id: uuid.UUID,
    stays_id: uuid.UUID,
) -> None:
    """Withdraw what the customer who goes has and the one who stays has as well."""

    def of(customer_id: uuid.UUID) -> Sequence[Any]:
        mine = (table.customer_id == customer_id, table.withdrawn_at.is_(None))
        return session.scalars(sa.select(table).where(*mine)).all()

    known = {same(row) for row in of(stays_id)}
    for row in of(gone_id):
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
