"""An open office: units of work that write, sessions that read, and the rules of opening one."""

from __future__ import annotations

import logging
import platform
import uuid
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Self
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session, configure_mappers

from desk.base.errors import ConflictError
from desk.base.office_location import is_url
from desk.base.texts import Message, message
from desk.records import tables
from desk.records.database.engine import fold_log, make_engine, outages
from desk.records.database.keys import KeyMaker
from desk.records.journal import journal
from desk.records.office import change_feed
from desk.records.office.founding import ShopDetails, found, zone_of_shop
from desk.records.office.guard import Guard
from desk.records.office.held_database import HeldDatabase
from desk.records.office.opening import hold_new, open_file, open_server
from desk.records.office.protocol import Command, Query
from desk.records.tables import Shop
from desk.trade.scheduling.booking_text import Calendar

log = logging.getLogger(__name__)

CLOCKS_APART = timedelta(minutes=5)
"""So far the clocks of two desks may differ before it is said; Kerberos puts up with as much
(RFC 4120 recommends it; from memory)."""
CLOCK_BEHIND = message(
    "The clock of this computer is behind the newest entry; check date and time."
)
TRIES = 3
"""So often a command is carried out that other desks overtake."""


def utc_now() -> datetime:
    """Return the time now."""
    return datetime.now(UTC)


def map_for_threads() -> None:
    """Map every table now, before a second thread is given an office.

    A table that one thread maps while another one reads is seen by it half made.
    """
    tables.map_all()
    configure_mappers()


class Office:
    """One office, open. Windows and commands hold one; sessions never leave it.

    Attributes:
        now: the clock; it tells times and decides no order.
        clock_warning: what to say once of a clock that was behind when the office was opened.
    """

    def __init__(
        self,
        engine: sa.Engine,
        *,
        now: Callable[[], datetime] = utc_now,
        new_key: Callable[[], uuid.UUID] | None = None,
        desk: str | None = None,
        guard: Guard | None = None,
    ) -> None:
        self._engine = engine
        self._desk = platform.node() if desk is None else desk
        self._database = HeldDatabase(engine, self._desk, guard)
        self.now = now
        self._new_key = new_key or KeyMaker(now)
        self._zone: str | None = None
        self._system: str | None = None
        self._newest = 0
        self.clock_warning: Message | None = None
        self._own: set[uuid.UUID] = set()  # from the start: what is done before the ear is own

    @classmethod
    def open(
        cls,
        place: str | Path,
        *,
        now: Callable[[], datetime] = utc_now,
        new_key: Callable[[], uuid.UUID] | None = None,
        desk: str | None = None,
    ) -> Self:
        """Open an office that is there, upgrading it first where its program was older.

        Args:
            place: path of the file, or a server's URL.
            now: the clock.
            new_key: makes keys; random ones after the clock unless given.
            desk: names the machine in the journal; its network name unless given.

        Raises:
            InputError: there is no such file, or it is on a network share.
            NotAnOffice: the file is something else.
            NewerOffice: a newer program wrote it; it is left untouched.
            OfficeHeld: another program works on the whole of it, or stands in an upgrade's way.
            OutageError: it cannot be read, or an upgrade failed.
        """
        guard = None
        if is_url(place):
            engine = open_server(str(place))
        else:
            engine, guard = open_file(Path(place), now=now)
        office = cls(engine, now=now, new_key=new_key, desk=desk, guard=guard)
        try:
            office.zone  # noqa: B018 - an office without a shop fails here and not later
            office._meet_the_newest(place)
        except BaseException:
            office.close()
            raise
        return office

    def _meet_the_newest(self, place: str | Path) -> None:
        """See where the others are: which file, the last act, and is it later than the clock."""
        with self.read() as session:
            self._newest, at = change_feed.newest_set(session)
        self._database.remember(place)
        if at is not None and self.now() < at - CLOCKS_APART:
            self.clock_warning = CLOCK_BEHIND
            log.info("the clock is behind the newest entry by %s", at - self.now())

    @classmethod
    def create(
        cls,
        place: str | Path,
        shop: ShopDetails,
        *,
        now: Callable[[], datetime] = utc_now,
        new_key: Callable[[], uuid.UUID] | None = None,
        prefix: str = "A",
    ) -> Self:
        """Make a new, empty office for a shop.

        Args:
            place: path of a file that is not there yet, or a server's URL.
            shop: whose office it is.
            now: the clock.
            new_key: makes keys.
            prefix: begins the numbers that this device makes.

        Raises:
            InputError: the file is already there, or its folder is not.
            OutageError: the disk is full or does not let us write.
        """
        from desk.records.office import migrate

        guard = None if is_url(place) else hold_new(Path(place))
        office = cls(make_engine(place), now=now, new_key=new_key, guard=guard)
        try:
            with outages():
                migrate.make_schema(place)
            with office._database.write() as session:
                found(session, shop, prefix, now=office.now, new_key=office._new_key)
            if guard is not None:
                fold_log(office._engine)  # from here on the file by itself says whose log it has
            office._meet_the_newest(place)
            if guard is not None:
                guard.share()
        except BaseException:
            office._engine.dispose()
            if isinstance(place, Path):
                migrate.remove(place)
            office.close()
            raise
        return office

    def see_same(self) -> None:
        """See that the office is still the one that was opened; once it is not, it never is.

        Raises:
            OfficeGone: its file was replaced or taken away.
        """
        self._database.see_same()

    @property
    def zone(self) -> str:
        """The office's time zone, as its IANA name."""
        if self._zone is None:
            with self.read() as session:
                self._zone = zone_of_shop(session)
        return self._zone

    def calendar(self) -> Calendar:
        """Return what a typed day is read against: the office's clock and the shop's units."""
        if self._system is None:
            with self.read() as session:
                self._system = session.scalar(sa.select(Shop.system)) or ""
        today = self.now().astimezone(ZoneInfo(self.zone)).date()
        return Calendar.of(today, self._system)

    @contextmanager
    def unit_of_work(
        self,
        what: Message,
        *,
        person_id: uuid.UUID | None = None,
        undoes_id: uuid.UUID | None = None,
    ) -> Iterator[Session]:
        """Do one act of a person in one transaction, journalled; commit when the block ends.

        Args:
            what: what is done, as history will say it.
            person_id: who does it.
            undoes_id: the change set that this act takes back.

        Raises:
            OutageError, ConflictError: nothing of the block was kept. `OfficeGone` among them
                also comes where the file was replaced or taken away during the commit.
        """
        zone = self.zone
        with self._database.write() as session:
            opened = journal.begin(
                session,
                what.id,
                now=self.now,
                new_key=self._new_key,
                zone=zone,
                person_id=person_id,
                undoes_id=undoes_id,
                desk=self._desk,
            )
            self._own.add(opened.change_set.id)
            yield session
            head = journal.end(session)
            change_feed.tell(session, opened.change_set)
        self._database.tell_head(head)
        if Shop.__tablename__ in opened.changed:
            self._zone = self._system = None  # they may be others now

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Read in one transaction: everything seen in the block is of one moment."""
        with self._database.read() as session:
            yield session

    def carry_out[T](self, command: Command[T], *, person_id: uuid.UUID | None = None) -> T:
        """Carry out a command in one transaction and return its snapshot when the commit is back.

        A command is a value and rests on nothing read before, so that one which another desk
        has overtaken is carried out again; where a person has to choose, they are asked instead.

        Raises:
            ConflictError: both have changed a field, or others were in the way every time.
            DeskError: what the command raises, or an outage; nothing of it was kept.
        """
        for tries_left in reversed(range(TRIES)):
            try:
                with self.unit_of_work(command.what, person_id=person_id) as session:
                    return command.run(session)
            except ConflictError as error:
                if error.field or not tries_left:
                    raise
                log.info("overtaken, %d more tries: %s", tries_left, error.facts)
        raise AssertionError("a command is tried at least once")

    def set_aside(self, place: str, typed: Mapping[str, str]) -> None:
        """Keep what stands typed in some fields of a place; no act of a person, so no unit of work.

        Raises:
            OutageError: nothing of it was kept.
        """
        from desk.records.journal import drafts

        with self._database.write() as session:
            drafts.set_aside(session, place, typed, self.now())

    def answer[T](self, query: Query[T]) -> T:
        """Answer a question from one moment's state.

        Raises:
            DeskError: what the query raises, or an outage.
        """
        with self.read() as session:
            return query.run(session)

    def ear(self) -> change_feed.ChangeFeed:
        """Return what hears other desks; it hears everything since the office was opened.

        Whoever asks for it opens it, and closes it before the office.
        """
        return self._database.feed(self._own, self._newest)

    def close(self) -> None:
        """Let go of the file; the last to leave folds the write-ahead log back into it.

        Into what has taken its place nothing is folded.
        """
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
