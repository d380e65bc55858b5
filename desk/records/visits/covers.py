"""Whether an appliance's cover seals its combustion chamber: remembered, and known next time."""

from __future__ import annotations

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.journal.row_access import row_of
from desk.records.tables import Appliance, CheckResult, Visit
from desk.records.tables.sequence import newest_first
from desk.records.views.visit_sheet import KnownCover
from desk.trade.reference.covers import COVER_SEALS, COVERS


def remember_cover(session: Session, visit: Visit, check_id: str, answer: str) -> None:
    """Let the appliance remember what was found of its cover; what cannot be told changes nothing.

    Args:
        session: in the unit of work of the answer.
        visit: where it was answered.
        check_id: the check that was answered.
        answer: what was said.
    """
    if visit.appliance_id is None or check_id != COVER_SEALS or answer not in COVERS:
        return
    appliance = row_of(session, Appliance, visit.appliance_id)
    if appliance.cover_seals != answer:
        appliance.cover_seals = answer


def known_cover(session: Session, visit: Visit) -> KnownCover | None:
    """Return what is known of the cover of a visit's appliance, None where nothing is.

    What is not known of it itself is taken from the others of its maker and model, unless they
    differ among themselves.

    Args:
        session: reading, or of a unit of work.
        visit: one on which the check is not answered yet.
    """
    if visit.appliance_id is None:
        return None
    appliance = row_of(session, Appliance, visit.appliance_id)
    if appliance.cover_seals:
        found = _found(session, Appliance.id == appliance.id)
        return KnownCover(appliance.cover_seals, found[0] if found else "")
    return _of_model(session, appliance)


def _of_model(session: Session, appliance: Appliance) -> KnownCover | None:
    if not appliance.maker or not appliance.model:
        return None
    alike = sa.and_(
        sa.func.lower(Appliance.maker) == sa.func.lower(appliance.maker),
        sa.func.lower(Appliance.model) == sa.func.lower(appliance.model),
        Appliance.cover_seals != "",
        Appliance.withdrawn_at.is_(None),
    )
    covers = session.scalars(sa.select(Appliance.cover_seals).where(alike).distinct()).all()
    if len(covers) != 1:
        return None
    found = _found(session, alike) or (
        "",
        session.scalars(
            sa.select(Appliance.number).where(alike).order_by(*newest_first(Appliance)).limit(1)
        ).one(),
    )
    return KnownCover(covers[0], *found)


def _found(session: Session, which: sa.ColumnElement[bool]) -> tuple[str, str] | None:
    """Return the last visit that found what is known of some appliances, and which one it was."""
    found = session.execute(
        sa.select(Visit.number, Appliance.number)
        .join(Appliance, Appliance.id == Visit.appliance_id)
        .join(CheckResult, CheckResult.visit_id == Visit.id)
        .where(
            which,
            Visit.withdrawn_at.is_(None),
            CheckResult.check_id == COVER_SEALS,
            CheckResult.answer == Appliance.cover_seals,
            sa.not_(CheckResult.superseded),
            CheckResult.withdrawn_at.is_(None),
        )
        .order_by(*newest_first(CheckResult))
        .limit(1)
    ).first()
    return found and (found[0], found[1])
