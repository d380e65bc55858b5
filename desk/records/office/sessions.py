"""The sessions of an open office: one that reads, and one whose changes are journalled."""

from __future__ import annotations

from collections import deque

from sqlalchemy.orm import Session

from desk.records.journal import journal
from desk.records.office import change_feed
from desk.records.search import indexed_words

HELD, MOST_HELD = "held", 64
"""Where a session holds the rows that were got last, and how many: a change set needs few, and one
that
goes through all visits is not to hold them all."""


class ReadSession(Session):
    """A session that reads; what was got by its key lately is not read again.

    SQLAlchemy forgets a row as soon as nobody holds it, and a visit, its list and its appliance
    are asked for many times in one change set.
    """

    def get[R](self, entity: type[R], ident: object, **options: object) -> R | None:  # type: ignore[override]
        """Return the row with a key; None without one. The rows got last stay at hand."""
        row = super().get(entity, ident, **options)  # type: ignore[arg-type]
        if row is not None:
            held: deque[object] = self.info.setdefault(HELD, deque(maxlen=MOST_HELD))
            held.append(row)
        return row


class WriteSession(ReadSession):
    """A session whose changes are journalled; every other session is a bug."""


journal.watch(WriteSession)
indexed_words.watch(WriteSession)
change_feed.watch(WriteSession)
