"""The journal: every change beside its reason, nothing deleted, numbers in order."""

from __future__ import annotations

import json
import uuid
from datetime import UTC, date, datetime

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import ConflictError
from desk.base.texts import message
from desk.records.database.keys import KeyMaker
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal.journal import as_json, from_json, have_seen, keep, unit_of_work, withdraw
from desk.records.journal.row_access import row_of
from desk.records.office.office import Office
from desk.records.parties.customers import add_person
from desk.records.tables import Change, ChangeSet, Person, StockMovement
from tests.conftest import StillClock

ADDED = message("Person added")
CHANGED = message("Person changed")


def _person(office: Office, name: str = "Ann Poole") -> uuid.UUID:
    with office.unit_of_work(ADDED) as session:
        return add_person(session, PersonDetails(name))


def test_a_change_stands_beside_what_was_there_before(office: Office) -> None:
    person_id = _person(office)
    with office.unit_of_work(CHANGED, person_id=person_id) as session:
        person = row_of(session, Person, person_id)
        person.name, person.is_technician = "Ann Marsh", True
    with office.read() as session:
        lines = session.execute(
            sa.select(Change.field, Change.before, Change.after).order_by(Change.position)
        ).all()
        assert [tuple(line) for line in lines] == [
            ("name", '"Ann Poole"', '"Ann Marsh"'),
            ("is_technician", "false", "true"),
        ]
        assert row_of(session, Person, person_id).version == 2


def test_a_new_row_writes_no_lines_and_names_the_set_that_made_it(office: Office) -> None:
    person_id = _person(office)
    with office.read() as session:
        assert session.scalar(sa.select(sa.func.count()).select_from(Change)) == 0
        made = session.get_one(ChangeSet, row_of(session, Person, person_id).made_in)
        assert (made.deed, made.zone) == ("Person added", "America/New_York")


def test_sets_are_numbered_without_gaps_and_whatever_the_clock_says(
    office: Office, clock: StillClock
) -> None:
    _person(office)
    clock.pass_minutes(-600)
    _person(office, "Ben")
    with office.read() as session:
        sets = session.scalars(sa.select(ChangeSet).order_by(ChangeSet.number)).all()
        assert [entry.number for entry in sets] == [1, 2, 3]
        assert sets[2].at < sets[1].at
        assert sets[2].id > sets[1].id


def test_a_command_comes_after_the_highest_that_its_device_has_seen(office: Office) -> None:
    with office.unit_of_work(CHANGED) as session:
        have_seen(unit_of_work(session).device, 40)
        have_seen(unit_of_work(session).device, 7)
    _person(office)
    _person(office, "Ben")
    with office.read() as session:
        clocks = session.scalars(sa.select(ChangeSet.clock).order_by(ChangeSet.number)).all()
        assert clocks == [1, 2, 41, 42]


def test_a_command_that_fails_leaves_neither_row_nor_line_nor_number(office: Office) -> None:
    person_id = _person(office)
    with pytest.raises(ZeroDivisionError), office.unit_of_work(CHANGED) as session:
        row_of(session, Person, person_id).name = "Half done"
        session.flush()
        raise ZeroDivisionError
    with office.read() as session:
        assert row_of(session, Person, person_id).name == "Ann Poole"
        assert session.scalar(sa.select(sa.func.max(ChangeSet.number))) == 2
        assert session.scalar(sa.select(sa.func.count()).select_from(Change)) == 0


def test_rows_are_withdrawn_and_never_deleted(office: Office) -> None:
    person_id = _person(office)
    with (
        pytest.raises(AssertionError, match="never deleted"),
        office.unit_of_work(CHANGED) as session,
    ):
        session.delete(row_of(session, Person, person_id))
    with office.unit_of_work(CHANGED) as session:
        withdraw(session, row_of(session, Person, person_id))
    with office.read() as session:
        assert session.get_one(Person, person_id).withdrawn_at is not None


def test_a_field_that_is_overwritten_before_it_was_read_is_a_bug_and_nothing_is_kept(
    office: Office,
) -> None:
    person_id = _person(office)
    with (
        pytest.raises(AssertionError, match="before it was read"),
        office.unit_of_work(CHANGED) as session,
    ):
        person = row_of(session, Person, person_id)
        session.expire(person, ["name"])
        person.name = "Nobody knows who it was"
    with office.read() as session:
        assert row_of(session, Person, person_id).name == "Ann Poole"


def test_two_desks_that_change_one_row_meet_a_conflict(office: Office) -> None:
    person_id = _person(office)
    with (
        pytest.raises(ConflictError, match="Somebody else"),
        office.unit_of_work(CHANGED) as session,
    ):
        person = row_of(session, Person, person_id)
        session.execute(sa.text("UPDATE person SET version = version + 1"))
        person.name = "Too late"


@pytest.mark.parametrize("table", ["change", "stock_movement", "sealed_revision"])
def test_rows_that_are_only_ever_added_are_held_so_by_the_database(
    office: Office, engine_name: str, table: str
) -> None:
    catalogues = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }
    expected = {
        "sqlite": {f"{table}_no_update", f"{table}_no_delete"},
        "postgresql": {f"{table}_append_only"},
    }
    with office.read() as session:
        triggers = session.scalars(sa.text(catalogues[engine_name])).all()
    assert expected[engine_name] <= set(triggers)


def test_a_stock_movement_cannot_be_changed(office: Office) -> None:
    from desk.records.stock.parts import add_part, move_stock, stock

    with office.unit_of_work(message("Part added")) as session:
        part_id = add_part(session, PartDetails("F-1", "Inlet screen"))
        move_stock(session, part_id, 5, "received")
        session.flush()
        assert stock(session, part_id) == 5
    with (
        pytest.raises(sa.exc.DBAPIError, match="append-only"),
        office.unit_of_work(CHANGED) as session,
    ):
        session.execute(sa.update(StockMovement).values(pieces=50))


@given(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-(2**53), 2**53),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(),
        st.uuids(),
        st.dates(),
        st.datetimes(timezones=st.just(UTC)),
    )
)
def test_a_fields_value_survives_the_journal(value: object) -> None:
    text = as_json(value)
    assert from_json(text, type(value)) == value
    assert json.loads(text) is None if value is None else True


def test_keys_rise_even_in_one_millisecond_and_when_the_clock_is_set_back() -> None:
    clock = StillClock()
    new_key = KeyMaker(clock)
    keys = [new_key() for _ in range(1000)]
    clock.pass_minutes(-60)
    keys += [new_key() for _ in range(1000)]
    assert keys == sorted(keys)
    assert len(set(keys)) == 2000
    assert {key.version for key in keys} == {7}
    assert {key.variant for key in keys} == {uuid.RFC_4122}


def test_a_key_carries_its_time() -> None:
    when = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
    key = KeyMaker(lambda: when)()
    assert key.int >> 80 == int(when.timestamp() * 1000)


def test_a_row_kept_outside_a_command_is_a_bug(office: Office) -> None:
    with office.read() as session, pytest.raises(KeyError):
        keep(session, Person(name="Nobody"))


def test_days_are_kept_as_days() -> None:
    assert from_json(as_json(date(2026, 11, 25)), date) == date(2026, 11, 25)
