"""Who owns, occupies or manages premises from when to when, and which appliance follows which.

A tie holds from its first day until the day on which it ended; on that day the next one begins.
"""

from __future__ import annotations

import uuid
from datetime import date
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.journal.journal import unit_of_work
from desk.records.journal.row_access import row_of, sensible_day
from desk.records.parties.merge_duplicates import successors
from desk.records.parties.places import link_customer
from desk.records.shop.settings import the_shop
from desk.records.tables import Appliance, Customer, Premises, PremisesLink
from desk.records.tables.sequence import in_sequence


def change_hands(
    session: Session, premises_id: uuid.UUID, role: str, customer_id: uuid.UUID, day: date
) -> uuid.UUID:
    """Let somebody be owner, occupant or agent from a day on; who was it before is until then.

    Args:
        session: of a unit of work.
        premises_id: where.
        role: one of ``LINK_ROLES``.
        customer_id: who it is from now on.
        day: the first day; not ahead.

    Returns:
        The key of the new tie.

    Raises:
        InputError: somebody or something is not there, or the day lies ahead or before the one
            on which the tie before began.
        RuleError: the customer is it already.
    """
    sensible_day(day, _today(session), field="day", ahead_years=0)
    row_of(session, Premises, premises_id)
    for tie in _open_ties(session, premises_id, role):
        if tie.customer_id == customer_id:
            name = session.get_one(Customer, customer_id).name
            raise RuleError(message("{name} is that already.", name=name), field="customer")
        _end(tie, day)
    return link_customer(session, premises_id, customer_id, role, since=day)


def end_tie(session: Session, tie_id: uuid.UUID, day: date) -> None:
    """End a tie without another one in its place, such as where nobody lives now.

    Args:
        session: of a unit of work.
        tie_id: the tie.
        day: when it ended; it holds no more on that day.

    Raises:
        InputError: there is no such tie, or the day lies ahead or before its first day.
        RuleError: it has ended already.
    """
    tie = row_of(session, PremisesLink, tie_id)
    sensible_day(day, _today(session), field="day", ahead_years=0)
    if tie.until is not None:
        raise RuleError(message("This ended already, on {day}.", day=tie.until.isoformat()))
    _end(tie, day)


def replace_appliance(
    session: Session, old_id: uuid.UUID, new_id: uuid.UUID, day: date | None
) -> None:
    """Write down that another appliance came in place of one; both keep their visits.

    Args:
        session: of a unit of work.
        old_id: what was taken away.
        new_id: what came in its place, at the same premises.
        day: when, where it is known; not ahead.

    Raises:
        InputError: one of them is not there, or the day lies ahead.
        RuleError: it was replaced already, they stand at different premises, or each would have
            come in place of the other.
    """
    old, new = row_of(session, Appliance, old_id), row_of(session, Appliance, new_id)
    if day is not None:
        sensible_day(day, _today(session), field="day", ahead_years=0)
    if old.replaced_by_id is not None:
        raise RuleError(message("Appliance {number} was replaced already.", number=old.number))
    if old.premises_id != new.premises_id:
        raise RuleError(message("The two appliances stand at different premises."), field="new")
    if old.id == new.id or old.id in successors(session, new):
        raise RuleError(
            message(
                "Appliance {old} cannot be replaced by {new}; it came before.",
                old=old.number,
                new=new.number,
            ),
            field="new",
        )
    old.replaced_by_id, old.replaced_on = new.id, day


def _open_ties(session: Session, premises_id: uuid.UUID, role: str) -> list[PremisesLink]:
    return list(
        session.scalars(
            sa.select(PremisesLink)
            .where(
                PremisesLink.premises_id == premises_id,
                PremisesLink.role == role,
                PremisesLink.until.is_(None),
                PremisesLink.withdrawn_at.is_(None),
            )
            .order_by(*in_sequence(PremisesLink))
        )
    )


def _end(tie: PremisesLink, day: date) -> None:
    if tie.since is not None and day < tie.since:
        raise InputError(
            message("That began on {since}; type a later day.", since=tie.since.isoformat()),
            field="day",
        )
    tie.until = day


def _today(session: Session) -> date:
    return unit_of_work(session).now().astimezone(ZoneInfo(the_shop(session).zone)).date()
