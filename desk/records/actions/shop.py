"""What the shop's own page, and the list of its people, ask and do."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.histories import record
from desk.records.journal.three_way_merge import merged
from desk.records.learning import content_in_use
from desk.records.shop import settings
from desk.records.views.shop import ContainerCard, PersonCard, ShopView
from desk.trade.content.checklist import Checklist
from desk.trade.content.findings import ContentFinding
from desk.trade.content.in_use import InUse


@dataclass(frozen=True, slots=True)
class SeeShop:
    """Look at the shop's own page."""

    def run(self, session: Session) -> ShopView:
        """Return it."""
        return settings.shop_of(session)


@dataclass(frozen=True, slots=True)
class MendShop:
    """Change what the shop says of itself, as :func:`desk.records.shop.settings.change_shop`."""

    typed: Mapping[str, str]
    shown: MendShop | None = None
    what: ClassVar[Message] = message("Shop changed")

    def run(self, session: Session) -> None:
        """Change it."""
        typed = self.typed
        if self.shown is not None:
            view = settings.shop_of(session)
            typed = merged(self.shown.typed, typed, {key: getattr(view, key) for key in typed})
        settings.change_shop(session, typed)


@dataclass(frozen=True, slots=True)
class PutLogo:
    """Put a picture on the letterhead."""

    picture: bytes
    what: ClassVar[Message] = message("Logo put on the letterhead")

    def run(self, session: Session) -> None:
        """Put it there."""
        settings.put_logo(session, self.picture)


@dataclass(frozen=True, slots=True)
class TakeLogoOff:
    """Print the letterhead without a picture."""

    what: ClassVar[Message] = message("Logo taken off the letterhead")

    def run(self, session: Session) -> None:
        """Take it off."""
        settings.take_logo_off(session)


@dataclass(frozen=True, slots=True)
class AddContainer:
    """Enter a container that flows are timed with."""

    name: str
    volume: str
    graduation: str = ""
    what: ClassVar[Message] = message("Container entered")

    def run(self, session: Session) -> uuid.UUID:
        """Return its key."""
        return settings.add_container(session, self.name, self.volume, self.graduation)


@dataclass(frozen=True, slots=True)
class MendContainer:
    """Change a container."""

    container_id: uuid.UUID
    name: str
    volume: str
    graduation: str
    shown: MendContainer | None = None
    what: ClassVar[Message] = message("Container changed")

    def run(self, session: Session) -> None:
        """Change it."""
        typed = _container_fields(self)
        if self.shown is not None:
            theirs = _container_fields(settings.container_of(session, self.container_id))
            typed = merged(_container_fields(self.shown), typed, theirs)
        settings.change_container(session, self.container_id, **typed)


def _container_fields(of: MendContainer | ContainerCard) -> dict[str, str]:
    return {name: getattr(of, name) for name in ("name", "volume", "graduation")}


@dataclass(frozen=True, slots=True)
class WithdrawContainer:
    """Offer a container no more."""

    container_id: uuid.UUID
    what: ClassVar[Message] = message("Container withdrawn")

    def run(self, session: Session) -> None:
        """Withdraw it."""
        settings.withdraw_container(session, self.container_id)


@dataclass(frozen=True, slots=True)
class SeeInUse:
    """Look at all of the content, and at what of it is the shop's own."""

    def run(self, session: Session) -> InUse:
        """Return it."""
        return content_in_use.in_use(session)


@dataclass(frozen=True, slots=True)
class SeeTrouble:
    """Ask why the shop's own checks are not used."""

    def run(self, session: Session) -> tuple[ContentFinding, ...]:
        """Return what is wrong with them; nothing where they are used, or there are none."""
        return content_in_use.trouble_of(session)


@dataclass(frozen=True, slots=True)
class SeeChecklist:
    """Ask which list a visit would be worked by if it began now."""

    complaint: str

    def run(self, session: Session) -> Checklist:
        """Return it."""
        return content_in_use.in_use(session).content.checklist_for(self.complaint)


@dataclass(frozen=True, slots=True)
class SeePeople:
    """Look at the people of the shop."""

    def run(self, session: Session) -> tuple[PersonCard, ...]:
        """Return them by name."""
        return record.people_of(session)
