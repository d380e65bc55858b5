"""Looking for what stands typed somewhere and is not handed in yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy.orm import Session

from desk.records.journal import drafts
from desk.records.views.drafts import Draft


@dataclass(frozen=True, slots=True)
class SeeHalfTyped:
    """Look at what stands typed at a place."""

    place: str

    def run(self, session: Session) -> Mapping[str, str]:
        """Return it by field."""
        return drafts.typed_at(session, self.place)


@dataclass(frozen=True, slots=True)
class SeeDrafts:
    """Look at what stands typed at a place, and at those below it."""

    place: str

    def run(self, session: Session) -> tuple[Draft, ...]:
        """Return each by itself."""
        return drafts.drafts_of(session, self.place)
