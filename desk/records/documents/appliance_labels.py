"""The appliances that labels are printed for."""

from __future__ import annotations

import uuid
from collections.abc import Sequence

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.journal.row_access import standing
from desk.records.shop.settings import the_shop
from desk.records.tables import Appliance
from desk.records.views.parties import ApplianceLabel


def labels_for(session: Session, numbers: Sequence[str]) -> tuple[ApplianceLabel, ...]:
    """Return the labels of appliances by their numbers, in that order.

    The number of one that was joined into another gives the label of the one that stays.

    Raises:
        InputError: an office has no appliance of a number.
    """
    wanted = [number.strip().upper() for number in numbers]
    rows = {
        row.number: row
        for row in session.scalars(sa.select(Appliance).where(Appliance.number.in_(wanted)))
    }
    for number in wanted:
        if number not in rows:
            raise InputError(
                message("There is no appliance {number} in this office.", number=number[:40]),
                field="appliance",
            )
    stand = [standing(session, Appliance, rows[number].id) for number in wanted]
    return _labels(session, stand)


def labels_at(session: Session, premises_id: uuid.UUID) -> tuple[ApplianceLabel, ...]:
    """Return the labels of the appliances that stand at some premises, by number."""
    rows = session.scalars(
        sa.select(Appliance)
        .where(
            Appliance.premises_id == premises_id,
            Appliance.withdrawn_at.is_(None),
            Appliance.replaced_by_id.is_(None),
        )
        .order_by(Appliance.number)
    )
    return _labels(session, rows.all())


def _labels(session: Session, rows: Sequence[Appliance]) -> tuple[ApplianceLabel, ...]:
    shop = the_shop(session)
    return tuple(
        ApplianceLabel(
            number=row.number,
            name=" ".join(part for part in (row.maker, row.model) if part),
            serial=row.serial,
            shop=shop.name,
            phone=shop.phone,
        )
        for row in rows
    )
