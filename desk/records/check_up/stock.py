"""Whether what left the vans is what was fitted."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.texts import Message, message
from desk.records.tables import ChangeSet, Part, PartUsed, StockMovement, Visit


def stock_and_fitted(session: Session) -> Iterator[Message]:
    """Say on which visits more or fewer pieces left the stock than were fitted."""
    fitted = sa.select(PartUsed.visit_id, PartUsed.part_id, PartUsed.pieces.label("pieces")).where(
        PartUsed.part_id.is_not(None), PartUsed.withdrawn_at.is_(None)
    )
    both = sa.union_all(fitted, _moved()).subquery()
    unequal = (
        sa.select(both.c.visit_id, both.c.part_id)
        .group_by(both.c.visit_id, both.c.part_id)
        .having(sa.func.sum(both.c.pieces) != 0)
        .subquery()
    )
    for number, part in session.execute(
        sa.select(Visit.number, Part.number)
        .select_from(unequal)
        .join(Visit, Visit.id == unequal.c.visit_id)
        .join(Part, Part.id == unequal.c.part_id)
        .order_by(Visit.number, Part.number)
    ):
        yield message(
            "The stock of part {part} does not fit what was fitted on visit {number}.",
            part=part,
            number=number,
        )


def _moved() -> sa.Select[uuid.UUID | None, uuid.UUID, int]:
    """Return what visits took from the stock and gave back; pieces that came for one stay out.

    So does what took such a coming back: it is a return too.
    """
    came = aliased(StockMovement)
    of_coming = (
        sa.select(ChangeSet.id)
        .join(came, came.made_in == ChangeSet.undoes_id)
        .where(
            ChangeSet.id == StockMovement.made_in,
            came.kind == "received",
            came.part_id == StockMovement.part_id,
        )
        .exists()
    )
    return sa.select(StockMovement.visit_id, StockMovement.part_id, StockMovement.pieces).where(
        StockMovement.visit_id.is_not(None),
        sa.or_(
            StockMovement.kind == "used",
            sa.and_(StockMovement.kind == "returned", ~of_coming),
        ),
    )
