"""The first rows of an office, the device that writes there and the shop; and where it lies."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import OutageError
from desk.base.texts import message
from desk.records import tables
from desk.records.journal import chain, journal
from desk.records.tables import Shop


@dataclass(frozen=True, slots=True)
class ShopDetails:
    """What has to be known before an office can be made."""

    name: str
    zone: str
    system: str = "us"
    paper: str = "letter"
    language: str = "en"
    currency: str = "USD"
    street: str = ""
    locality: str = ""
    region: str = ""
    postcode: str = ""
    country: str = ""
    phone: str = ""
    emergency_phone: str = ""
    gas_supplier_phone: str = ""
    email: str = ""
    licence: str = ""


def found(
    session: Session,
    shop: ShopDetails,
    prefix: str,
    *,
    now: Callable[[], datetime],
    new_key: Callable[[], uuid.UUID],
) -> None:
    """Write the first rows.

    Args:
        session: writing, in an office that has its tables and nothing in them.
        shop: whose office it is.
        prefix: begins the numbers that the device makes.
        now: the clock.
        new_key: makes keys.
    """
    device = tables.Device(
        id=new_key(),
        name=prefix,
        kind="office",
        prefix=prefix,
        sets_made=0,
        clock=0,
        visits_made=0,
        appliances_made=0,
    )
    session.add(device)
    session.add(tables.Here(id=1, device_id=device.id, generation=device.id, head=chain.NOTHING))
    session.flush()
    journal.begin(
        session,
        message("Office opened for the first time").id,
        now=now,
        new_key=new_key,
        zone=shop.zone,
    )
    journal.keep(session, Shop(**{name: getattr(shop, name) for name in ShopDetails.__slots__}))
    journal.end(session)


def zone_of_shop(session: Session) -> str:
    """Return the shop's time zone, as its IANA name.

    Raises:
        OutageError: there is no shop, or the zone is not known here.
    """
    zone: str | None = session.scalar(sa.select(Shop.zone))
    if zone is None:
        raise OutageError(message("This office has no shop in it. Restore a backup."))
    try:
        ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise OutageError(
            message("The office's time zone {zone} is not known here.", zone=zone)
        ) from error
    return zone
