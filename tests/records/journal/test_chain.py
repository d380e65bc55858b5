"""The chain of the journal: each change set follows all before it; the head is what all come to."""

from __future__ import annotations

from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.actions.entering import AddPerson
from desk.records.check_up import check_up
from desk.records.database.engine import sqlite_driver
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal import chain
from desk.records.office.office import Office
from desk.records.parties.customers import add_person
from desk.records.tables import ChangeSet, Here
from tests.conftest import StillClock
from tests.records.jobs import begin_job
from tests.records.older import make_older


def _told(office: Office) -> tuple[list[tuple[int, bytes]], tuple[int, bytes]]:
    """Return what is kept of the chain: the place of each command and what it follows; the head."""
    with office.read() as session:
        each = session.execute(
            sa.select(ChangeSet.place, ChangeSet.follows).order_by(ChangeSet.place)
        )
        here = session.scalars(sa.select(Here)).one()
        return [(row.place, row.follows) for row in each], (here.sets, here.head)


def _computed(office: Office) -> tuple[list[tuple[int, bytes]], tuple[int, bytes]]:
    """Return what the chain comes to by the rows of the journal alone."""
    with office.read() as session:
        heads = list(chain.heads(session.connection()))
    assert [place for place, *_rest in heads] == list(range(1, len(heads) + 1))
    return [(place, before) for place, _key, before, _head in heads], (len(heads), heads[-1][3])


def test_every_command_follows_those_before_it(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    job.answer("danger", "none")
    job.answer("flooding", "dry")
    told = _told(office)
    assert told == _computed(office)
    assert told[1][0] > 5
    assert len({follows for _place, follows in told[0]}) == len(told[0])


def test_what_is_typed_in_odd_signs_is_chained_as_it_is_kept(office: Office) -> None:
    for name in ("Ann\0Poole", "Ánne \ud800 Pöole", "\u2028"):
        office.carry_out(AddPerson(PersonDetails(f"A {name}")))
    assert _told(office) == _computed(office)


def test_a_command_that_is_taken_back_leaves_the_head_where_it_was(office: Office) -> None:
    office.carry_out(AddPerson(PersonDetails("Ann Poole")))
    before = _told(office)
    with pytest.raises(ZeroDivisionError), office.unit_of_work(AddPerson.what) as session:
        add_person(session, PersonDetails("Nobody"))
        session.flush()
        raise ZeroDivisionError
    assert _told(office) == before == _computed(office)


def test_an_upgrade_fills_the_chain_and_commands_go_on_from_there(
    office_path: Path, clock: StillClock
) -> None:
    with Office.open(office_path, now=clock) as office:
        begin_job(office, clock)
        before = _told(office)
    make_older(office_path)
    with Office.open(office_path, now=clock) as office:
        assert _told(office) == before
        office.carry_out(AddPerson(PersonDetails("Ann Poole")))
        assert _told(office) == _computed(office)


@pytest.mark.parametrize(
    ("harm", "found"),
    [
        ("UPDATE change_set SET zone = 'UTC' WHERE place = 2", "Before deed 3 the journal is not"),
        ("UPDATE here SET sets = sets - 1", "head of the journal is not what its deeds come to"),
    ],
)
def test_a_check_up_finds_a_command_that_was_changed_afterwards(
    office_path: Path, clock: StillClock, harm: str, found: str
) -> None:
    with Office.open(office_path, now=clock) as office:
        begin_job(office, clock)
    connection = sqlite_driver().connect(str(office_path), isolation_level=None)
    connection.execute(harm)
    connection.close()
    said = [str(finding.sentence) for finding in check_up(office_path, now=clock)]
    assert any(found in one for one in said), said
