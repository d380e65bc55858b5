"""What the visit sheet hands in about photographs, and how it comes by their bytes."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.pictures import Photograph, small_picture
from desk.base.texts import Message, message
from desk.records.actions.visit import OnVisit
from desk.records.views.report import PhotographLine
from desk.records.views.visit_sheet import Shows
from desk.records.visits import photographs
from desk.records.visits.photographs import WHOLE_VISIT


@dataclass(frozen=True, slots=True)
class AddPhotographs(OnVisit):
    """Add photographs that were made ready to be kept."""

    taken: tuple[Photograph, ...]
    shows: Shows = WHOLE_VISIT
    what: ClassVar[Message] = message("Photographs added")

    def _do(self, session: Session) -> None:
        photographs.add_photographs(session, self.visit_id, self.taken, self.shows)


@dataclass(frozen=True, slots=True)
class DescribePhotograph(OnVisit):
    """Say what a photograph shows, and what is written under it."""

    photograph_id: uuid.UUID
    shows: Shows
    caption: str
    what: ClassVar[Message] = message("Photograph described")

    def _do(self, session: Session) -> None:
        photographs.describe_photograph(session, self.photograph_id, self.shows, self.caption)


@dataclass(frozen=True, slots=True)
class MovePhotograph(OnVisit):
    """Let a photograph stand at another place; ``to`` is how many stand before it then."""

    photograph_id: uuid.UUID
    to: int
    what: ClassVar[Message] = message("Photograph moved")

    def _do(self, session: Session) -> None:
        photographs.move_photograph(session, self.photograph_id, self.to)


@dataclass(frozen=True, slots=True)
class TakePhotographOut(OnVisit):
    """Take a photograph off the visit."""

    photograph_id: uuid.UUID
    what: ClassVar[Message] = message("Photograph taken out")

    def _do(self, session: Session) -> None:
        photographs.withdraw_photograph(session, self.photograph_id)


@dataclass(frozen=True, slots=True)
class SeePictures:
    """Fetch the bytes of photographs, to print them."""

    lines: tuple[PhotographLine, ...]

    def run(self, session: Session) -> dict[str, bytes]:
        """Return them by their SHA-256."""
        return photographs.pictures_of(session, self.lines)


@dataclass(frozen=True, slots=True)
class SeeSmall:
    """See photographs small, one fetched after the other."""

    hashes: tuple[str, ...]
    side: int

    def run(self, session: Session) -> dict[str, bytes]:
        """Return each as a JPEG by its SHA-256; nothing for one that cannot be read any more."""
        return {
            sha256: self._small(photographs.picture_of(session, sha256)) for sha256 in self.hashes
        }

    def _small(self, content: bytes) -> bytes:
        try:
            return small_picture(content, self.side)
        except InputError:
            return b""
