"""The content that an office works with: what travels with the program, and the shop's own."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem
from desk.trade.content.todays_cautions import with_todays_cautions


@dataclass(frozen=True, slots=True)
class InUse:
    """What an office works with.

    Attributes:
        folder: where the shop's own checks are kept; it may be missing.
        content: all of it.
        findings: why the shop's own checks are not used; empty where they are.
        own: what the shop wrote.
    """

    folder: Path
    content: Content
    findings: tuple[ContentFinding, ...] = ()
    own: tuple[ContentItem, ...] = ()
    _editions: dict[str, str] = field(default_factory=dict)
    _cautioned: dict[str, Checklist] = field(default_factory=dict)

    def edition(self, checklist_id: str) -> str:
        """Return the edition that a list has now; "" where there is no such list."""
        checklist = self.content.checklists.get(checklist_id)
        if checklist is not None and checklist_id not in self._editions:
            self._editions[checklist_id] = checklist.edition
        return self._editions.get(checklist_id, "")

    def cautioned(self, edition: str, kept: Checklist) -> Checklist:
        """Return a list that was begun with before the safety rules, with today's cautions."""
        if edition not in self._cautioned:
            self._cautioned[edition] = with_todays_cautions(kept, self.content)
        return self._cautioned[edition]
