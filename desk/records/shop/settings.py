"""The shop as it says itself: letterhead, logo, money, the values it goes by, its containers."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.pictures import LARGEST_LOGO, as_png
from desk.base.texts import message, say
from desk.records.fields.address_fields import Address
from desk.records.fields.field import names_of
from desk.records.journal.blob_store import keep_bytes
from desk.records.journal.journal import keep, withdraw
from desk.records.journal.row_access import change_fields, row_of
from desk.records.shop.charging_settings import FIELDS, change_rule, rule_of, typed_rule
from desk.records.tables import AttachmentBytes, Container, Shop, ShopLogo
from desk.records.tables.people import PAPER_SIZES, UNIT_SYSTEMS
from desk.records.tables.sequence import newest_first
from desk.records.views.shop import ContainerCard, ShopView
from desk.trade.charging.charges import rule_words
from desk.trade.quantities.typed_quantity import parse
from desk.trade.quantities.units import QuantityKind
from desk.trade.readings.shop_thresholds import Thresholds

_SHOP = "drawoff_shop"
"""Where a session, which lasts for one transaction, holds the shop's row."""

CEILING_FROM_K, CEILING_TO_K = 273.15 + 35, 273.15 + 60


def the_shop(session: Session) -> Shop:
    """Return the shop's one row; within one transaction it is read once."""
    shop: Shop | None = session.info.get(_SHOP)
    if shop is None:
        shop = session.info[_SHOP] = session.scalars(sa.select(Shop)).one()
    return shop


def shop_of(session: Session) -> ShopView:
    """Return the shop's own page."""
    shop, logo = shop_and_logo(session)
    return ShopView(
        **{name: getattr(shop, name) for name in sorted(_PLAIN)},
        **typed_rule(shop),
        tax_rule=say(rule_words(rule_of(shop), shop.currency, shop.language)),
        **{name: getattr(shop, f"{name}_typed") for name in _VALUES},
        logo=logo,
        containers=containers_of(session),
    )


_PLAIN = frozenset(
    {"name", *names_of(Address), "phone", "email", "licence"}
    | {"emergency_phone", "gas_supplier_phone"}
    | {"zone", "system", "paper", "language", "currency"}
)
_VALUES = {
    "usual_activation": QuantityKind.VOLUME_RATE,
    "timing": QuantityKind.TIME,
    "ceiling": QuantityKind.TEMPERATURE,
}


def change_shop(session: Session, typed: Mapping[str, str]) -> None:
    """Change what the shop says of itself.

    Args:
        session: of a unit of work.
        typed: fields of :class:`ShopView` but logo and containers, as typed; one that is left out
            stays.

    Raises:
        InputError: a field is none of these, or what was typed for it cannot be meant.
    """
    plain = {key: text.strip() for key, text in typed.items() if key in _PLAIN}
    _check_plain(plain)
    shop = the_shop(session)
    for key in typed.keys() & _VALUES.keys():
        text = typed[key].strip()
        _check_value(key, text)
        setattr(shop, f"{key}_typed", text)
    rest = {key: typed[key] for key in typed.keys() - _VALUES.keys() - FIELDS}
    change_fields(shop, rest | plain, allowed=_PLAIN)
    change_rule(shop, typed)


def _check_plain(plain: Mapping[str, str]) -> None:
    if not plain.get("name", "-"):
        raise InputError(message("Type what your shop is called."), field="name")
    if plain.get("system", UNIT_SYSTEMS[0]) not in UNIT_SYSTEMS:
        raise InputError(message("Choose the units."), field="system")
    if plain.get("paper", PAPER_SIZES[0]) not in PAPER_SIZES:
        raise InputError(message("Choose the paper."), field="paper")
    currency = plain.get("currency", "USD")
    if not (len(currency) == 3 and currency.isascii() and currency.isupper()):  # noqa: PLR2004
        raise InputError(
            message("Type the currency's three letters, such as USD or CAD (ISO 4217)."),
            field="currency",
        )
    try:
        ZoneInfo(plain.get("zone", "UTC"))
    except (KeyError, ValueError, OSError):
        raise InputError(message("There is no such time zone."), field="zone") from None


def _check_value(key: str, text: str) -> None:
    if not text:
        return
    value = parse(text, _VALUES[key], field=key).si
    if key == "ceiling" and not CEILING_FROM_K <= value <= CEILING_TO_K:
        raise InputError(
            message("Type a ceiling from 95 F (35 C) to 140 F (60 C); 120 F is usual."), field=key
        )
    if value <= 0:
        raise InputError(message("Type a value above 0."), field=key)


def thresholds_of(session: Session) -> Thresholds:
    """Return the values that the shop goes by."""
    shop = the_shop(session)
    own = Thresholds()
    ceiling = shop.ceiling_typed
    return Thresholds(
        usual_activation=shop.usual_activation_typed or own.usual_activation,
        timing=shop.timing_typed or own.timing,
        ceiling_k=parse(ceiling, QuantityKind.TEMPERATURE, field="ceiling").si
        if ceiling
        else own.ceiling_k,
    )


def put_logo(session: Session, picture: bytes) -> None:
    """Put a picture on the letterhead, in the place of the one before.

    Args:
        session: of a unit of work.
        picture: PNG, JPEG or WebP; it is made smaller and kept as PNG, without what else the file
            told.

    Raises:
        InputError: it is no such picture, or too large.
    """
    sha256 = keep_bytes(session, as_png(picture, LARGEST_LOGO, field="logo"))
    take_logo_off(session)
    keep(session, ShopLogo(sha256=sha256))


def take_logo_off(session: Session) -> None:
    """Print the letterhead without a picture."""
    for row in session.scalars(_logos()):
        withdraw(session, row)


def shop_and_logo(session: Session) -> tuple[Shop, bytes]:
    """Return the shop's one row and the letterhead's picture as PNG bytes; none without one."""
    newest = _logos().with_only_columns(ShopLogo.sha256).limit(1).scalar_subquery()
    shop, logo = session.execute(
        sa.select(Shop, AttachmentBytes.content).outerjoin(
            AttachmentBytes, AttachmentBytes.sha256 == newest
        )
    ).one()
    session.info[_SHOP] = shop
    return shop, logo or b""


def _logos() -> sa.Select[ShopLogo]:
    standing = sa.select(ShopLogo).where(ShopLogo.withdrawn_at.is_(None))
    return standing.order_by(*newest_first(ShopLogo))


def containers_of(session: Session) -> tuple[ContainerCard, ...]:
    """Return the shop's containers by name."""
    rows = session.scalars(sa.select(Container).where(Container.withdrawn_at.is_(None)))
    cards = map(_card_of, rows)
    return tuple(sorted(cards, key=lambda card: (card.name.casefold(), card.container_id)))


def container_of(session: Session, container_id: uuid.UUID) -> ContainerCard:
    """Return a container of the shop.

    Raises:
        InputError: there is none with this key, or it was withdrawn.
    """
    return _card_of(row_of(session, Container, container_id))


def _card_of(row: Container) -> ContainerCard:
    return ContainerCard(row.id, row.name, row.volume_typed, row.graduation_typed)


def add_container(session: Session, name: str, volume: str, graduation: str = "") -> uuid.UUID:
    """Enter a container.

    Args:
        session: of a unit of work.
        name: what people call it.
        volume: to its mark, as typed.
        graduation: distance between two marks, as typed; "" where it is exact.

    Raises:
        InputError: the name is missing, or a volume cannot be meant.
    """
    values = _container(name, volume, graduation)
    return keep(session, Container(**values)).id


def change_container(
    session: Session, container_id: uuid.UUID, name: str, volume: str, graduation: str
) -> None:
    """Change a container; flows that were timed with it stay as they were.

    Args:
        session: of a unit of work.
        container_id: the container.
        name: as in :func:`add_container`.
        volume: as in :func:`add_container`.
        graduation: as in :func:`add_container`.

    Raises:
        InputError: as :func:`add_container`, or there is no such container.
    """
    row = row_of(session, Container, container_id)
    for field, value in _container(name, volume, graduation).items():
        setattr(row, field, value)


def withdraw_container(session: Session, container_id: uuid.UUID) -> None:
    """Offer a container no more.

    Raises:
        InputError: there is no such container.
    """
    withdraw(session, row_of(session, Container, container_id))


def _container(name: str, volume: str, graduation: str) -> dict[str, str | float]:
    if not name.strip():
        raise InputError(message("Type what the container is called."), field="name")
    if not volume.strip():
        raise InputError(message("Type the volume to its mark, such as 2 gal."), field="volume")
    held = parse(volume, QuantityKind.VOLUME, field="volume").si
    between = (
        parse(graduation, QuantityKind.VOLUME, field="graduation").si if graduation.strip() else 0.0
    )
    if held <= 0:
        raise InputError(message("A container holds more than nothing."), field="volume")
    if not 0 <= between < held:
        raise InputError(
            message("The distance between two marks is less than the volume."), field="graduation"
        )
    return {
        "name": name.strip(),
        "volume_typed": volume.strip(),
        "volume_m3": held,
        "graduation_typed": graduation.strip(),
    }
