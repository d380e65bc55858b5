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
from desk.records.office.protocol import CommandKind, QueryKind
from desk.records.shop import settings
from desk.records.views.shop import ContainerCard
from desk.trade.content.checklist import Checklist


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


def _checklist(session: Session, complaint: str) -> Checklist:
    """Return the list that a visit would be worked by if it began now."""
    return content_in_use.in_use(session).content.checklist_for(complaint)


SeeShop = QueryKind(settings.shop_of)
PutLogo = CommandKind(message("Logo put on the letterhead"), settings.put_logo)
TakeLogoOff = CommandKind(message("Logo taken off the letterhead"), settings.take_logo_off)
AddContainer = CommandKind(message("Container entered"), settings.add_container)
WithdrawContainer = CommandKind(message("Container withdrawn"), settings.withdraw_container)
SeeInUse = QueryKind(content_in_use.in_use)
SeeTrouble = QueryKind(content_in_use.trouble_of)
SeeChecklist = QueryKind(_checklist)
SeePeople = QueryKind(record.people_of)
