"""What an office knows of the visits that a file brings: appliances, people, parts, numbers."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from sqlalchemy.orm import Session, aliased

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import message
from desk.records.exchange import VISITS_IMPORTED
from desk.records.exchange.premises_of_rows import customers_by_premises
from desk.records.exchange.visits_out import parts_by_visit
from desk.records.exchange_kit.intake import made_and_taken_back
from desk.records.learning.content_in_use import in_use
from desk.records.search.matching_keys import serial_key
from desk.records.tables import Appliance, Part, Person, Visit


@dataclass(frozen=True, slots=True)
class KnownAppliance:
    """An appliance by its keys."""

    key: uuid.UUID
    premises_id: uuid.UUID


class KnownVisits:
    """Looks up what a file says in words or numbers; all is at hand after one look."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._by_number, self._by_serial = _appliances(session)
        self._people: dict[str, list[uuid.UUID]] = {}
        for key, name in session.execute(
            sa.select(Person.id, Person.name).where(Person.withdrawn_at.is_(None))
        ):
            self._people.setdefault(fold(name), []).append(key)
        self._parts = {
            number: (key, name)
            for key, number, name in session.execute(
                sa.select(Part.id, Part.number, Part.name).where(Part.withdrawn_at.is_(None))
            )
        }
        self._customers = customers_by_premises(session)
        self._causes = set(in_use(session).content.causes) | set(
            session.scalars(sa.select(Visit.cause).distinct())
        )
        self._visits = self._all_visits()
        self._again = set(made_and_taken_back(session, Visit, VISITS_IMPORTED))
        self._same = {
            _identity(row.appliance_id, row.finished_at, row.complaint)
            for row in self._visits.values()
            if row.withdrawn_at is None and row.finished_at is not None
        }
        self._used: dict[uuid.UUID, str] | None = None

    def _all_visits(self) -> dict[str, sa.Row[Any]]:
        before = aliased(Visit)
        columns = (
            Visit.id, Visit.number, Visit.state, Visit.ending, Visit.complaint, Visit.received_at,
            Visit.booked_for, Visit.started_at, Visit.finished_at, Visit.cause,
            Visit.second_cause, Visit.complaint_words, Visit.cause_words, Visit.work_done,
            Visit.advice, Visit.appliance_id, Visit.withdrawn_at,
        )  # fmt: skip
        found = self._session.execute(
            sa.select(
                *columns,
                Appliance.number.label("appliance"),
                Appliance.serial,
                Person.name.label("technician"),
                before.number.label("continues"),
            )
            .outerjoin(Appliance, Appliance.id == Visit.appliance_id)
            .outerjoin(Person, Person.id == Visit.technician_id)
            .outerjoin(before, before.id == Visit.continues_id)
        )
        return {row.number: cast("sa.Row[Any]", row) for row in found}

    def line_of(self, number: str, zone: ZoneInfo) -> Mapping[str, str] | None:
        """Return what the office has of a visit as a row would say it, None where it has none."""
        row = self._visits.get(number)
        if row is None or row.withdrawn_at is not None:
            return None
        if self._used is None:
            self._used = parts_by_visit(self._session)
        columns = {
            "received": "received_at",
            "started": "started_at",
            "finished": "finished_at",
            "booked_for": "booked_for",
        }
        times = {field: _local(getattr(row, name), zone) for field, name in columns.items()}
        words = (
            "number", "ending", "complaint", "cause", "second_cause", "complaint_words",
            "cause_words", "work_done", "advice", "appliance", "serial", "technician", "continues",
        )  # fmt: skip
        line = {field: getattr(row, field) or "" for field in words}
        return line | times | {"parts": self._used.get(row.id, "")}

    def key_of(self, number: str) -> uuid.UUID | None:
        """Return the key of a visit that is here."""
        row = self._visits.get(number)
        return row.id if row is not None and row.withdrawn_at is None else None

    def taken_back(self, number: str) -> uuid.UUID | None:
        """Return the key of a visit that an import brought and that was taken back with it.

        Raises:
            InputError: it was withdrawn otherwise.
        """
        row = self._visits.get(number)
        if row is None:
            return None
        if row.id not in self._again:
            raise InputError(message("visit {number} was withdrawn here", number=number))
        key: uuid.UUID = row.id
        return key

    def has(self, values: Mapping[str, object]) -> bool:
        """Return whether a visit to this appliance with this complaint ended just then."""
        return _identity_of(values) in self._same

    def add(self, values: Mapping[str, object]) -> None:
        """Remember a visit that comes in."""
        self._same.add(_identity_of(values))

    def appliance(self, number: str, serial: str) -> KnownAppliance:
        """Return the appliance with a number, else with a serial number.

        Raises:
            InputError: none is meant, there is none, or there are several.
        """
        if number in self._by_number:
            return self._by_number[number]
        if not number and not serial:
            raise InputError(message("it names no appliance"))
        found = self._by_serial.get(serial_key(serial), set()) if serial else set()
        if len(found) == 1:
            return next(iter(found))
        name = number or serial
        if found:
            raise InputError(message("several appliances have the serial {name}", name=name))
        raise InputError(
            message("there is no appliance {name} here; take in the appliances first", name=name)
        )

    def customer_at(self, premises_id: uuid.UUID) -> uuid.UUID | None:
        """Return whose premises they are, where they are one customer's."""
        found = self._customers.get(premises_id, set())
        return next(iter(found)) if len(found) == 1 else None

    def technician(self, name: str) -> uuid.UUID | None:
        """Return who has a name, None for nobody.

        Raises:
            InputError: nobody of the shop has it, or several have.
        """
        if not name:
            return None
        found = self._people.get(fold(name), [])
        if len(found) == 1:
            return found[0]
        if found:
            raise InputError(message("several people of the shop are called {name}", name=name))
        raise InputError(
            message("nobody of the shop is called {name}; enter them first", name=name)
        )

    def check_cause(self, cause: str) -> None:
        """See that a cause is one that the office can name.

        Raises:
            InputError: it is none.
        """
        if cause and cause not in self._causes:
            raise InputError(
                message("there is no cause “{cause}”; say it in cause_words", cause=cause[:40])
            )

    def part(self, text: str) -> dict[str, object]:
        """Return the columns of a fitted part, of the catalogue or in words."""
        key, name = self._parts.get(text, (None, text))
        return {"part_id": key, "number": text if key else "", "name": name, "pieces": 1,
                "kept_for_claim": False}  # fmt: skip


def _appliances(
    session: Session,
) -> tuple[dict[str, KnownAppliance], dict[str, set[KnownAppliance]]]:
    """Return the appliances by number and by serial; one that was joined leads to what stays."""
    stays = aliased(Appliance)
    by_number: dict[str, KnownAppliance] = {}
    by_serial: dict[str, set[KnownAppliance]] = {}
    for key, premises_id, number, serial in session.execute(
        sa.select(stays.id, stays.premises_id, Appliance.number, Appliance.serial)
        .join(stays, stays.id == sa.func.coalesce(Appliance.joined_into_id, Appliance.id))
        .where(stays.withdrawn_at.is_(None))
    ):
        by_number[number.upper()] = known = KnownAppliance(key, premises_id)
        if serial:
            by_serial.setdefault(serial_key(serial), set()).add(known)
    return by_number, by_serial


def _identity(appliance_id: uuid.UUID, finished: datetime, complaint: str) -> tuple[object, ...]:
    """Return what tells one visit from another where there is no number; to the second."""
    return (appliance_id, finished.replace(microsecond=0), complaint)


def _identity_of(values: Mapping[str, Any]) -> tuple[object, ...]:
    return _identity(values["appliance_id"], values["finished_at"], values["complaint"])


def _local(when: datetime | None, zone: ZoneInfo) -> str:
    return "" if when is None else when.astimezone(zone).isoformat(timespec="seconds")
