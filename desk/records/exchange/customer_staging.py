"""Customers of a file made ready beside the office, and taken over in one short unit of work.

Reading, checking and matching many thousands takes seconds that nobody has to wait for: none of
it holds the office's one writer. What is then taken over stands ready as the rows that will be
written; whether somebody else entered one of these customers since is looked up again in the
unit of work, for the names alone that were touched.
"""

from __future__ import annotations

import itertools
import uuid
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.progress import Watch, unwatched
from desk.base.text_folding import fold
from desk.records.database.bulk_insert import binder, insert_rows
from desk.records.database.keys import KeyMaker
from desk.records.exchange.customer_fields import SINGLE, Checked, Values, comparable
from desk.records.exchange.customers_known import ASKED_AT_ONCE, values_there
from desk.records.exchange_kit.intake import Imported
from desk.records.journal.journal import from_json, unit_of_work
from desk.records.parties.customers import e164
from desk.records.search.indexed_words import PEOPLE, SEARCH_TEXT, SOURCES, WORDS, keep_all
from desk.records.tables import (
    Change,
    ChangeSet,
    Customer,
    CustomerEmail,
    CustomerPhone,
    Device,
)

"""Told how many of how many are done; what it raises leaves everything as it was."""

_CUSTOMER = ("id", *SINGLE, "folded")
_PHONE = ("id", "customer_id", "typed", "e164", "label")
_EMAIL = ("id", "customer_id", "address", "label")
_SAME = ("version", "made_in")
"""Columns that are the same in every row of an import, beside those above."""


@dataclass(frozen=True, slots=True)
class StagedCustomer:
    """A customer of the file, under the folded name that it is looked up by."""

    folded: str
    values: Values


@dataclass(frozen=True, slots=True)
class Ready:
    """A customer as it will be written, as the driver takes it.

    Attributes:
        entry: what it was in the file.
        customer: its row, but for the columns that are the same for all (`_SAME`).
        phones: its numbers' rows, likewise.
        emails: its addresses' rows, likewise.
        words: what the box on top finds each row by.
    """

    entry: StagedCustomer
    customer: tuple[object, ...]
    phones: tuple[tuple[object, ...], ...]
    emails: tuple[tuple[object, ...], ...]
    words: tuple[tuple[object, ...], ...]


@dataclass(frozen=True, slots=True)
class Staged:
    """A file made ready.

    Attributes:
        checked: its lines, sorted.
        entries: its customers, each once.
        ready: those that the office did not have.
        seen: of each device, the last of its units of work that had been done when they were
            matched.
        new_key: makes the keys of more rows.
    """

    checked: Checked
    entries: tuple[StagedCustomer, ...]
    ready: tuple[Ready, ...]
    seen: Mapping[uuid.UUID, int]
    new_key: Callable[[], uuid.UUID]


def outcome(staged: Staged, came_in: int) -> Imported:
    """Return what an import of so many new customers comes to."""
    checked = staged.checked
    return Imported(came_in, len(checked.rows) - came_in, checked.refused, checked.unused)


def stage(
    session: Session, checked: Checked, new_key: KeyMaker, watch: Watch = unwatched
) -> Staged:
    """Match the customers of a file with the office's, and make ready those that are new.

    Args:
        session: looking.
        checked: the file's lines.
        new_key: makes the keys of the rows; one of its own, as this runs beside the writer.
        watch: told how far it is.
    """
    seen = _seen(session)
    entries, maker = _each_once(checked.rows), _Maker(session, new_key)
    ready: list[Ready] = []
    for done in range(0, len(entries), ASKED_AT_ONCE):
        watch(done, len(entries))
        some = entries[done : done + ASKED_AT_ONCE]
        ready += map(maker.ready, _not_there(session, some, checked.fields))
    watch(len(entries), len(entries))
    return Staged(checked, tuple(entries), tuple(ready), seen, new_key)


def _each_once(rows: Iterable[Values]) -> list[StagedCustomer]:
    once = {comparable(values): values for values in reversed(tuple(rows))}  # the first one stays
    return [
        StagedCustomer(fold(*dict(values)["name"]), values) for values in reversed(once.values())
    ]


def _seen(session: Session) -> dict[uuid.UUID, int]:
    newest = sa.select(sa.func.max(ChangeSet.number)).where(ChangeSet.device_id == Device.id)
    found = session.execute(sa.select(Device.id, newest.scalar_subquery()))
    return {device_id: number or 0 for device_id, number in found}


def _not_there(
    session: Session, entries: Sequence[StagedCustomer], fields: Iterable[str]
) -> Iterator[StagedCustomer]:
    there: set[Values] = set()
    for some in itertools.batched(sorted({each.folded for each in entries}), ASKED_AT_ONCE):
        there.update(values_there(session, some, tuple(fields)))
    return (each for each in entries if comparable(each.values) not in there)


class _Maker:
    """Makes customers ready to be written."""

    def __init__(self, session: Session, new_key: Callable[[], uuid.UUID]) -> None:
        dialect = session.get_bind().dialect
        self._new_key = new_key
        self._customer = binder(_table(Customer), _CUSTOMER, dialect)
        self._phone = binder(_table(CustomerPhone), _PHONE, dialect)
        self._email = binder(_table(CustomerEmail), _EMAIL, dialect)
        self._words = binder(SEARCH_TEXT, WORDS, dialect)

    def ready(self, entry: StagedCustomer) -> Ready:
        """Return a customer as it will be written."""
        given, key = dict(entry.values), self._new_key()
        single = {field: "".join(given.get(field, ())) for field in SINGLE}
        words = [self._words((key, key, SOURCES["customer"].folded(single)))]
        phones, emails = [], []
        for typed in given.get("phone", ()):
            phone, understood = self._new_key(), e164(typed)
            phones.append(self._phone((phone, key, typed, understood, "")))
            row = {"typed": typed, "e164": understood}
            words.append(self._words((phone, key, SOURCES["customer_phone"].folded(row))))
        for address in given.get("email", ()):
            email = self._new_key()
            emails.append(self._email((email, key, address, "")))
            folded = SOURCES["customer_email"].folded({"address": address})
            words.append(self._words((email, key, folded)))
        customer = self._customer((key, *single.values(), entry.folded))
        return Ready(entry, customer, tuple(phones), tuple(emails), tuple(words))


def _table(mapped: type[Customer | CustomerPhone | CustomerEmail]) -> sa.Table:
    return cast("sa.Table", mapped.__table__)


def take_over(session: Session, staged: Staged, watch: Watch = unwatched) -> Imported:
    """Write what stands ready, but for what somebody else entered since it was matched.

    Args:
        session: of a unit of work.
        staged: the file made ready.
        watch: told how far it is.
    """
    session.flush()  # the change set that all the rows carry
    ready = _still_new(session, staged)
    step = _Steps(ready, watch)
    connection = session.connection()
    same = binder(_table(Customer), _SAME, connection.dialect)(
        (1, unit_of_work(session).change_set.id)
    )
    for table, columns, rows in (
        (Customer, _CUSTOMER, (each.customer for each in ready)),
        (CustomerPhone, _PHONE, (row for each in ready for row in each.phones)),
        (CustomerEmail, _EMAIL, (row for each in ready for row in each.emails)),
    ):
        whole = (row + same for row in rows)
        insert_rows(connection, _table(table), (*columns, *_SAME), whole, step)
    keep_all(connection, PEOPLE, [words for each in ready for words in each.words], step)
    return outcome(staged, len(ready))


class _Steps:
    """Counts rows as they are written and tells them as customers."""

    def __init__(self, ready: Sequence[Ready], watch: Watch) -> None:
        self._customers, self._watch = len(ready), watch
        self._rows = 2 * sum(len(each.words) for each in ready)
        self._done = 0

    def __call__(self, count: int) -> None:
        self._done += count
        self._watch(self._done * self._customers // self._rows, self._customers)


def _still_new(session: Session, staged: Staged) -> Sequence[Ready]:
    names = _names_touched(session, staged.seen)
    if not names:
        return staged.ready
    again = [each for each in staged.entries if each.folded in names]
    new = _not_there(session, again, staged.checked.fields)
    return (
        *(each for each in staged.ready if each.entry.folded not in names),
        *map(_Maker(session, staged.new_key).ready, new),
    )


def _names_touched(session: Session, seen: Mapping[uuid.UUID, int]) -> set[str]:
    """Return the folded names that customers touched since then have now, or had before."""
    newer = sa.select(ChangeSet.id).where(
        ChangeSet.id != unit_of_work(session).change_set.id,
        sa.or_(
            ChangeSet.device_id.not_in(seen),
            *(
                sa.and_(ChangeSet.device_id == device, ChangeSet.number > number)
                for device, number in seen.items()
            ),
        ),
    )
    if session.scalar(newer.limit(1)) is None:
        return set()
    changed = sa.select(Change.row_id).where(Change.change_set_id.in_(newer))
    touched = [sa.or_(Customer.made_in.in_(newer), Customer.id.in_(changed))] + [
        Customer.id.in_(
            sa.select(table.customer_id).where(
                sa.or_(table.made_in.in_(newer), table.id.in_(changed))
            )
        )
        for table in (CustomerPhone, CustomerEmail)
    ]
    names = set(session.scalars(sa.select(Customer.folded).where(sa.or_(*touched))))
    before = session.scalars(
        sa.select(Change.before).where(
            Change.change_set_id.in_(newer),
            Change.table_name == Customer.__tablename__,
            Change.field == Customer.folded.key,
        )
    )
    return names | {str(from_json(text, str)) for text in before}
