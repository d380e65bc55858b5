"""The checklists in use: each complaint is worked by the one that is made for it."""

from __future__ import annotations

import random
import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from desk.base.texts import message
from desk.records.tables import ChecklistEdition
from desk.trade.content.checklist import Checklist, Content
from sample_db.kit.diary import Diary
from sample_db.visits.walks import Walks


@dataclass(frozen=True, slots=True)
class ListInUse:
    """A checklist, the edition of it that the office keeps, and the walks through it."""

    checklist: Checklist
    edition_id: uuid.UUID
    walks: Walks


class Lists:
    """Leads from a complaint to its list.

    Args:
        diary: the editions are kept through it.
        content: what is shipped.
        rng: the chance that the answers of every list are drawn from.
    """

    def __init__(self, diary: Diary, content: Content, rng: random.Random) -> None:
        self._content = content
        self._in_use: Mapping[str, ListInUse] = {
            checklist.id: ListInUse(
                checklist, _keep_edition(diary, checklist), Walks(checklist, rng)
            )
            for checklist in content.checklists.values()
        }

    def worked_for(self, complaint: str) -> ListInUse:
        """Return the list for a complaint; "" is planned service."""
        return self._in_use[self._content.checklist_for(complaint).id]


def _keep_edition(diary: Diary, checklist: Checklist) -> uuid.UUID:
    entry = diary.entry(message("Checklist taken into use"), None)
    kept: uuid.UUID = entry.keep(
        ChecklistEdition,
        checklist=checklist.id,
        edition=checklist.edition,
        content=checklist.edition_text,
    )["id"]
    return kept
