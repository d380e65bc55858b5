"""What the shop knows of a model from the appliances of it that it has entered before."""

from __future__ import annotations

from collections import Counter

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.field import fields_of
from desk.records.tables import Appliance
from desk.records.tables.sequence import newest_first
from desk.trade.reference.sensing_kinds import NOT_KNOWN

_OF_MODEL = tuple(one for one in fields_of(ApplianceDetails) if one.of_model)
_MOST = 200


def values_of_model(session: Session, maker: str, model: str) -> dict[str, str]:
    """Return what appliances of a model usually have, as it was typed.

    Args:
        session: looking.
        maker: as typed; "" counts every maker.
        model: as typed; capitals count for nothing.

    Returns:
        Field of ``ApplianceDetails`` to the value met most often among the newest ones, the
        newest of equals; a field that nobody has filled in is left out.
    """
    if not model.strip():
        return {}
    wanted = [sa.func.lower(Appliance.model) == model.strip().lower()]
    if maker.strip():
        wanted.append(sa.func.lower(Appliance.maker) == maker.strip().lower())
    rows = session.execute(
        sa.select(*(getattr(Appliance, one.column) for one in _OF_MODEL))
        .where(*wanted, Appliance.withdrawn_at.is_(None))
        .order_by(*newest_first(Appliance))
        .limit(_MOST)
    ).all()
    usual: dict[str, str] = {}
    for place, field in enumerate(_OF_MODEL):
        met = Counter(row[place] for row in rows if row[place] not in {"", NOT_KNOWN})
        if met:
            usual[field.name] = met.most_common(1)[0][0]
    return usual
