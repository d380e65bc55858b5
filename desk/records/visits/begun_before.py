"""A visit that is under way and was begun before the safety rules: it is told of them once."""

from __future__ import annotations

import uuid
from collections.abc import Collection

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import open_visit
from desk.records.tables import Acknowledgement, Visit
from desk.records.visits.editions import acknowledged
from desk.trade.content.checklist import Checklist

TOLD_OF_RULES = "told_of_rules"
"""Stands among what was acknowledged on a visit, and is no caution."""

TOLD = message("Told of the rules since it was begun")
"""What history says of it; it is no step of the work, and is not taken back with it."""


def is_to_be_told(visit: Visit, checklist: Checklist, read: Collection[str]) -> bool:
    """Return whether whoever works on a visit has to be told yet that its rules are older.

    Args:
        visit: one that has begun.
        checklist: the one that it goes on with.
        read: what was acknowledged on it.
    """
    return visit.state == "under_way" and not checklist.binding and TOLD_OF_RULES not in read


def told_of_rules(session: Session, visit_id: uuid.UUID) -> None:
    """Record that somebody read it; once a visit, at whichever desk, is enough."""
    visit = open_visit(session, visit_id)
    if TOLD_OF_RULES in acknowledged(session, visit.id):
        return
    keep(
        session,
        Acknowledgement(
            visit_id=visit.id,
            caution=TOLD_OF_RULES,
            person_id=visit.technician_id,
            at=unit_of_work(session).now(),
        ),
    )
