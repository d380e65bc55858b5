"""Words for the ids of causes and complaints, and for groups that have none."""

from __future__ import annotations

from collections.abc import Callable

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.texts import message, say
from desk.records.tables import ChecklistEdition
from desk.records.tables.sequence import newest_first
from desk.trade.reference.complaints import complaint_text

type Labels = Callable[[str, str], str]
"""From what is grouped by, and a key of it, to the group's name."""


def labels_in(session: Session) -> Labels:
    """Return what gives names for people to the keys of an office, while the session is open."""
    named: dict[str, str] = {}

    def label(by: str, key: str) -> str:
        if not key:
            planned = by == "complaint"
            return say(message("Planned service") if planned else message("Not known"))
        if by == "cause":
            if key not in named:
                named[key] = _cause(session, key)
            return named[key]
        return say(complaint_text(key)) if by == "complaint" else key

    return label


def _cause(session: Session, key: str) -> str:
    """Return a cause's name; one that is in no list any more is named as it was when it was."""
    from desk.records.learning.content_in_use import (
        in_use,  # only here: they bring the whole content
    )
    from desk.trade.content.checklist import read_edition
    from desk.trade.content.model import in_language

    known = in_use(session).content.causes.get(key)
    if known is not None:
        return in_language(known.name)
    kept = sa.select(ChecklistEdition.content).order_by(*newest_first(ChecklistEdition))
    named = ChecklistEdition.content.contains(f'"id":"{key}"', autoescape=True)
    for text in session.scalars(kept.where(named)):
        causes = read_edition(text).causes
        if key in causes:
            return in_language(causes[key].name)
    return key
