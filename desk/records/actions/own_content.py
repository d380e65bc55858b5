"""What windows ask about the content that an office works with."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy.orm import Session

from desk.records.learning import content_in_use
from desk.trade.content.findings import Finding
from desk.trade.content.in_use import InUse
from desk.trade.content.model import Checklist


@dataclass(frozen=True, slots=True)
class SeeInUse:
    """Look at all of the content, and at what of it is the shop's own."""

    def run(self, session: Session) -> InUse:
        """Return it."""
        return content_in_use.in_use(session)


@dataclass(frozen=True, slots=True)
class SeeTrouble:
    """Ask why the shop's own checks are not used."""

    def run(self, session: Session) -> tuple[Finding, ...]:
        """Return what is wrong with them; nothing where they are used, or there are none."""
        return content_in_use.trouble_of(session)


@dataclass(frozen=True, slots=True)
class SeeChecklist:
    """Ask which list a visit would be worked by if it began now."""

    complaint: str

    def run(self, session: Session) -> Checklist:
        """Return it."""
        return content_in_use.in_use(session).content.checklist_for(self.complaint)
