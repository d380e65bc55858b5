"""The journal of the invented office: a clock that is moved on, and one change set an entry."""

from __future__ import annotations

import random
import uuid
from datetime import datetime

from desk.base.texts import Message
from desk.records.database.keys import KeyMaker
from desk.records.journal.chain import NOTHING
from desk.records.journal.journal import as_json
from desk.records.tables import Base, Change, ChangeSet
from sample_db.kit.store import Row, Store, row_of


class Diary:
    """Opens entries in the order of time.

    Attributes:
        now: the time that the story has come to.
        new_key: makes the keys of new rows.
        sets_made: the device's running number of its latest change set.
        device_id: the device that writes, set when it is known.
    """

    device_id: uuid.UUID

    def __init__(self, store: Store, rng: random.Random, now: datetime, zone: str) -> None:
        self.store = store
        self.now = now
        self.new_key = KeyMaker(lambda: self.now, rng.getrandbits)
        self.sets_made = 0
        self._zone = zone

    def entry(self, what: Message, person_id: uuid.UUID | None) -> DiaryEntry:
        """Open an entry and put its change set."""
        self.sets_made += 1
        key = self.new_key()
        self.store.put(
            ChangeSet,
            row_of(
                ChangeSet,
                {
                    "id": key,
                    "device_id": self.device_id,
                    "number": self.sets_made,
                    "clock": self.sets_made,
                    "place": self.sets_made,
                    "follows": NOTHING,  # until all is written, and the chain is filled
                    "person_id": person_id,
                    "at": self.now,
                    "zone": self._zone,
                    "deed": what.id,
                },
            ),
        )
        return DiaryEntry(self, key)


class DiaryEntry:
    """One act: what it makes carries its key, what it changes is noted line by line."""

    def __init__(self, diary: Diary, key: uuid.UUID) -> None:
        self._diary = diary
        self._key = key
        self._lines = 0

    def new(self, table: type[Base], **values: object) -> Row:
        """Return a new row of this entry; the caller puts it."""
        return row_of(table, {"id": self._diary.new_key(), "made_in": self._key, **values})

    def keep(self, table: type[Base], **values: object) -> Row:
        """Put a new row at once and return it."""
        row = self.new(table, **values)
        self._diary.store.put(table, row)
        return row

    def alter(self, table: str, row: Row, **changes: object) -> None:
        """Change a row that was not put yet, with its journal lines and its version."""
        changed = {name: new for name, new in changes.items() if row[name] != new}
        for name, new in changed.items():
            self.note(table, row["id"], name, row[name], new)
        if changed:
            row.update(changed)
            row["version"] += 1

    def note(self, table: str, key: uuid.UUID, field: str, before: object, after: object) -> None:
        """Write one line of the journal."""
        self._lines += 1
        self._diary.store.put(
            Change,
            {
                "change_set_id": self._key,
                "position": self._lines,
                "table_name": table,
                "row_id": key,
                "field": field,
                "before": as_json(before),
                "after": as_json(after),
            },
        )
