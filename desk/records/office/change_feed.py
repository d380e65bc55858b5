"""What other desks commit, told in the same transaction and heard soon after.

On a server a change set notifies a channel, and PostgreSQL delivers that when the change set
commits, or not at all. An SQLite file is asked whether another connection has written (``PRAGMA
data_version``). Both then look which change sets are not this desk's own, so that nothing is missed
where a connection was gone for a while.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import Session, UOWTransaction

from desk.base.errors import OutageError
from desk.records import tables
from desk.records.database.column_types import Instant
from desk.records.database.engine import outages
from desk.records.views.changes import RemoteChange

if TYPE_CHECKING:
    import psycopg
    from psycopg import Notify

    from desk.records.tables import ChangeSet

CHANNEL = "drawoff"
MOST_VISITS = 100
"""With more visits it is told as one that may show anywhere: a payload ends at 8000 bytes."""
_ANYWHERE = "*"
_TOUCHED = "drawoff_visits_touched"


def watch(session_class: type[Session]) -> None:
    """Have every session of this class note which visits its rows belong to."""
    event.listen(session_class, "before_flush", _note_visits)


def _note_visits(session: Session, _context: UOWTransaction, _instances: object) -> None:
    touched: set[uuid.UUID | None] = session.info.setdefault(_TOUCHED, set())
    for row in (*session.new, *session.dirty):
        if isinstance(row, tables.Made):
            is_visit = sa.inspect(row).mapper.local_table.name == "visit"
            touched.add(row.id if is_visit else getattr(row, "visit_id", None))


def tell(session: Session, change_set: ChangeSet) -> None:
    """Tell the other desks of a server that a change set is committed, once it is.

    Args:
        session: in the unit of work, at its end.
        change_set: of it.
    """
    if session.get_bind().dialect.name != "postgresql":
        return
    session.flush()
    touched: set[uuid.UUID | None] = session.info.get(_TOUCHED, set())
    visits = sorted(key.hex for key in touched if key is not None)
    if None in touched or len(visits) > MOST_VISITS:
        visits = [_ANYWHERE]
    told = " ".join((change_set.id.hex, str(change_set.number), *visits))
    session.execute(sa.select(sa.func.pg_notify(CHANNEL, told)))


_NEWEST = sa.text(
    "SELECT sets_made, (SELECT at FROM change_set"
    " ORDER BY clock DESC, device_id DESC LIMIT 1) AS at"
    " FROM device WHERE id = (SELECT device_id FROM here)"
).columns(sa.column("sets_made", sa.BigInteger()), sa.column("at", Instant()))
"""In plain SQL: it is asked at every start, before these tables are mapped."""


def newest_set(session: Session) -> tuple[int, datetime | None]:
    """Return the running number of the last done here, and when the newest of all was."""
    found = session.execute(_NEWEST).first()
    return (found.sets_made, found.at) if found is not None else (0, None)


class ChangeFeed(Protocol):
    """Hears what others commit; used by one thread at a time."""

    def open(self) -> tuple[RemoteChange, ...]:
        """Begin to listen, or begin again; return what was missed until then.

        Raises:
            OutageError: nothing can be heard now.
        """
        ...

    def fileno(self) -> int | None:
        """Return what can be waited on for news; None where it has to be asked for."""
        ...

    def hear(self) -> tuple[RemoteChange, ...]:
        """Return what others have committed since it was last asked.

        Raises:
            OfficeGone: it is another file now; opening again does not help.
            OutageError: it has to be opened again.
        """
        ...

    def close(self) -> None:
        """Listen no longer."""
        ...


class _Known:
    """Which change sets are known here: this desk's own, and those up to a number."""

    def __init__(self, engine: sa.Engine, own: set[uuid.UUID], newest: int) -> None:
        self._engine, self._own, self._newest = engine, own, newest

    def is_news(self, key: uuid.UUID, number: int) -> bool:
        """Return whether a change set is another desk's, and know it from now on."""
        is_own = key in self._own
        self._own.discard(key)
        is_new = number > self._newest
        self._newest = max(self._newest, number)
        return is_new and not is_own

    def missed(self) -> tuple[RemoteChange, ...]:
        """Return one change set for everything that others did and that is not known yet."""
        made, here = tables.ChangeSet, sa.select(tables.Here.device_id).scalar_subquery()
        unknown = sa.select(made.id, made.number).where(
            made.device_id == here, made.number > self._newest
        )
        with Session(self._engine) as session:
            found = session.execute(unknown.order_by(made.number)).all()
        news = [self.is_news(key, number) for key, number in found]
        return (RemoteChange(),) if any(news) else ()


class FileFeed:
    """Asks a file whether another connection has written; that reads one page of shared memory.

    It also asks whether it is still the same file (`OfficeGone`).
    """

    def __init__(
        self, engine: sa.Engine, own: set[uuid.UUID], newest: int, see_same: Callable[[], None]
    ) -> None:
        self._engine, self._see_same = engine, see_same
        self._known = _Known(engine, own, newest)
        self._connection: sa.PoolProxiedConnection | None = None
        self._version = -1

    def open(self) -> tuple[RemoteChange, ...]:
        """Begin to listen; see :class:`ChangeFeed`."""
        self.close()
        self._see_same()
        with outages():
            self._connection = self._engine.raw_connection()
        return self.hear()

    def fileno(self) -> None:
        """Return None: a file tells nobody."""

    def hear(self) -> tuple[RemoteChange, ...]:
        """Return what others have written; see :class:`ChangeFeed`.

        Raises:
            OfficeGone: the file was replaced or taken away.
            OutageError: it cannot be read.
        """
        if self._connection is None:
            return ()
        self._see_same()
        try:
            with outages():
                cursor = self._connection.cursor()
                cursor.execute("PRAGMA data_version")
                (version,) = cursor.fetchone() or (0,)
                cursor.close()
                if version == self._version:
                    return ()
                self._version = version
                return self._known.missed()
        except OutageError:
            self._see_same()  # a file that is taken away meanwhile reads as a disk that fails
            raise

    def close(self) -> None:
        """Listen no longer."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None


_NOTICED_S = 10
"""So long a server may be silent before its connection counts as lost."""


class ServerFeed:
    """Listens to a server's channel on a connection of its own."""

    def __init__(self, engine: sa.Engine, own: set[uuid.UUID], newest: int) -> None:
        self._engine = engine
        self._known = _Known(engine, own, newest)
        self._connection: psycopg.Connection[Any] | None = None
        self._came: list[str] = []

    def open(self) -> tuple[RemoteChange, ...]:
        """Connect and listen, then look what was missed; see :class:`ChangeFeed`."""
        import psycopg

        from desk.records.database.postgres import CONNECT_S, server_outages

        self.close()
        with server_outages():
            _args, named = self._engine.dialect.create_connect_args(self._engine.url)
            self._connection = psycopg.connect(
                **named,
                autocommit=True,
                connect_timeout=CONNECT_S,
                keepalives_idle=_NOTICED_S,
                keepalives_interval=_NOTICED_S,
                tcp_user_timeout=_NOTICED_S * 1000,
            )
            self._connection.add_notify_handler(self._notice)
            self._connection.execute(f"LISTEN {CHANNEL}")
        with outages():
            return self._known.missed()

    def _notice(self, notify: Notify) -> None:
        self._came.append(notify.payload)

    def fileno(self) -> int | None:
        """Return the socket that becomes readable when something comes."""
        return None if self._connection is None else self._connection.fileno()

    def hear(self) -> tuple[RemoteChange, ...]:
        """Return what others have told; see :class:`ChangeFeed`."""
        from desk.records.database.postgres import server_outages

        if self._connection is None:
            return ()
        with server_outages():
            self._connection.execute("SELECT 1")  # brings what has come, and tells a dead line
        came, self._came = self._came, []
        return tuple(change for text in came for change in self._read(text))

    def _read(self, text: str) -> Iterable[RemoteChange]:
        """Give the change set of another desk that a payload tells of."""
        key, number, *visits = text.split(" ")
        if self._known.is_news(uuid.UUID(hex=key), int(number)):
            anywhere = visits == [_ANYWHERE]
            yield RemoteChange(None if anywhere else frozenset(map(uuid.UUID, visits)))

    def close(self) -> None:
        """Listen no longer."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None
