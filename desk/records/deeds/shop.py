"""What the shop's own page asks and does."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.records import shop
from desk.records.shop import ShopView
from desk.wording import Message, message


@dataclass(frozen=True, slots=True)
class SeeShop:
    """Look at the shop's own page."""

    def run(self, session: Session) -> ShopView:
        """Return it."""
        return shop.shop_of(session)


@dataclass(frozen=True, slots=True)
class MendShop:
    """Change what the shop says of itself; fields as :func:`desk.records.shop.change_shop`."""

    typed: Mapping[str, str]
    what: ClassVar[Message] = message("Shop changed")

    def run(self, session: Session) -> None:
        """Change it."""
        shop.change_shop(session, self.typed)


@dataclass(frozen=True, slots=True)
class PutLogo:
    """Put a picture on the letterhead."""

    picture: bytes
    what: ClassVar[Message] = message("Logo put on the letterhead")

    def run(self, session: Session) -> None:
        """Put it there."""
        shop.put_logo(session, self.picture)


@dataclass(frozen=True, slots=True)
class TakeLogoOff:
    """Print the letterhead without a picture."""

    what: ClassVar[Message] = message("Logo taken off the letterhead")

    def run(self, session: Session) -> None:
        """Take it off."""
        shop.take_logo_off(session)


@dataclass(frozen=True, slots=True)
class AddContainer:
    """Enter a container that flows are timed with."""

    name: str
    volume: str
    graduation: str = ""
    what: ClassVar[Message] = message("Container entered")

    def run(self, session: Session) -> uuid.UUID:
        """Return its key."""
        return shop.add_container(session, self.name, self.volume, self.graduation)


@dataclass(frozen=True, slots=True)
class MendContainer:
    """Change a container."""

    container_id: uuid.UUID
    name: str
    volume: str
    graduation: str
    what: ClassVar[Message] = message("Container changed")

    def run(self, session: Session) -> None:
        """Change it."""
        shop.change_container(session, self.container_id, self.name, self.volume, self.graduation)


@dataclass(frozen=True, slots=True)
class WithdrawContainer:
    """Offer a container no more."""

    container_id: uuid.UUID
    what: ClassVar[Message] = message("Container withdrawn")

    def run(self, session: Session) -> None:
        """Withdraw it."""
        shop.withdraw_container(session, self.container_id)
