"""The database of an open office: its transactions, its log, and the hold on its file."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.office_location import is_url
from desk.records import tables
from desk.records.database.engine import fold_log, leave_log, outages
from desk.records.database.options import WRITES
from desk.records.journal import heads
from desk.records.journal.journal import DESK
from desk.records.office import change_feed
from desk.records.office.guard import Guard
from desk.records.office.identity import Identity
from desk.records.office.sessions import ReadSession, WriteSession

_LOG_BEGINS = sa.text("UPDATE here SET log_began = sets")


class HeldDatabase:
    """What an office writes to and reads from; on a server neither identity nor guard stands by.

    Args:
        engine: of the database.
        desk: names the machine in the journal.
        guard: holds the office's file, where it is one.
    """

    def __init__(self, engine: sa.Engine, desk: str, guard: Guard | None) -> None:
        self.engine = engine
        self._writer = engine.execution_options(**{WRITES: True})
        self._desk = desk
        self._guard = guard
        self._identity: Identity | None = None
        self._beside: heads.Writer | None = None

    def remember(self, place: str | Path) -> None:
        """See which file it is, if it is one, once it was read from."""
        if not is_url(place):
            self._identity = Identity(Path(place))
            self._beside = heads.Writer(Path(place))

    def see_same(self) -> None:
        """See that the office is still the one that was opened; once it is not, it never is.

        Raises:
            OfficeGone: its file was replaced or taken away.
        """
        if self._identity is not None:
            self._identity.check()

    @contextmanager
    def write(self) -> Iterator[Session]:
        """Write in one transaction, into the office that was opened and no other.

        Raises:
            OfficeGone: its file was replaced or taken away; what was written is not kept.
        """
        tables.map_all()
        self.see_same()
        with (
            outages(),
            WriteSession(self._writer, info={DESK: self._desk}) as session,
            session.begin(),
        ):
            if self._identity is not None:
                session.connection()  # begins; from here on nobody else writes
                if self._identity.log_is_empty():
                    session.execute(_LOG_BEGINS)
            yield session
        self.see_same()
        if self._identity is not None and self._identity.log_is_long():
            fold_log(self.engine)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Read in one transaction: everything seen in the block is of one moment."""
        with (
            outages(),
            ReadSession(self.engine, info={DESK: self._desk}) as session,
            session.begin(),
        ):
            yield session

    def tell_head(self, head: heads.Head) -> None:
        """Write the newest head beside the file, after the commit."""
        if self._beside is not None:
            self._beside.write(head)

    def feed(self, own: set[uuid.UUID], newest: int) -> change_feed.ChangeFeed:
        """Return what hears other desks: everything since a place in the journal, but what is own.

        Whoever asks for it opens it, and closes it before the office.
        """
        if self.engine.dialect.name == "postgresql":
            return change_feed.ServerFeed(self.engine, own, newest)
        return change_feed.FileFeed(self.engine, own, newest, self.see_same)

    def close(self) -> None:
        """Let go of the file; the last to leave folds the write-ahead log back into it.

        Into what has taken its place nothing is folded.
        """
        if self._identity is not None and self._identity.is_gone:
            leave_log(self.engine)
        self.engine.dispose()
        if self._guard is not None:
            self._guard.close()
