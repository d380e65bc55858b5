"""An office that is replaced or taken away while it is open: noticed, and nothing acknowledged."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import OfficeGone
from desk.records.actions.entering import AddPerson
from desk.records.database.engine import sqlite_driver
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office
from desk.records.parties.customers import add_person
from desk.records.tables import Person


def replace(path: Path) -> None:
    """Put a copy in the place of the office, as another program's restoring does."""
    copy = path.with_name("copy")
    shutil.copyfile(path, copy)
    copy.replace(path)


def take_away(path: Path) -> None:
    path.unlink()


def move_away(path: Path) -> None:
    path.rename(path.with_name("elsewhere"))


def take_its_log_away(path: Path) -> None:
    path.with_name(f"{path.name}-wal").unlink()


ACTS = pytest.mark.parametrize("act", [replace, take_away, move_away, take_its_log_away])


@ACTS
def test_nothing_is_acknowledged_once_the_office_is_another(
    office_path: Path, act: Callable[[Path], None]
) -> None:
    with Office.open(office_path) as office, closing(office.ear()) as ear:
        office.carry_out(AddPerson(PersonDetails("Ann Poole")))
        ear.open()
        act(office_path)
        for _turn in range(2):
            with pytest.raises(OfficeGone, match=r"office\.drawoff.*Nothing is kept any more"):
                office.carry_out(AddPerson(PersonDetails("Ben Hale")))
        with pytest.raises(OfficeGone):
            office.set_aside("form/person", {"name": "Be"})
        with pytest.raises(OfficeGone):
            ear.hear()
        with office.read() as session:  # what was seen can still be looked at
            assert session.scalars(sa.select(Person.name)).all() == ["Ann Poole"]


@ACTS
def test_a_command_during_which_the_office_became_another_is_not_acknowledged(
    office_path: Path, act: Callable[[Path], None]
) -> None:
    with Office.open(office_path) as office:
        with pytest.raises(OfficeGone), office.unit_of_work(AddPerson.what) as session:
            add_person(session, PersonDetails("Ann Poole"))
            act(office_path)
        with pytest.raises(OfficeGone):
            office.carry_out(AddPerson(PersonDetails("Ben Hale")))


def test_an_office_that_comes_back_is_not_written_to_before_it_is_opened_again(
    office_path: Path,
) -> None:
    elsewhere = office_path.with_name("elsewhere")
    with Office.open(office_path) as office:
        office_path.rename(elsewhere)
        with pytest.raises(OfficeGone):
            office.carry_out(AddPerson(PersonDetails("Ann Poole")))
        elsewhere.rename(office_path)
        with pytest.raises(OfficeGone):
            office.carry_out(AddPerson(PersonDetails("Ann Poole")))
    with Office.open(office_path) as office:
        office.carry_out(AddPerson(PersonDetails("Ann Poole")))


def test_many_commands_and_other_openers_are_no_change_of_identity(office_path: Path) -> None:
    with Office.open(office_path) as office:
        for number in range(5):
            with Office.open(office_path) as other:
                other.carry_out(AddPerson(PersonDetails(f"Other {number}")))
            office.carry_out(AddPerson(PersonDetails(f"Mine {number}")))
            with office.read() as session:
                session.execute(sa.text("PRAGMA wal_checkpoint(PASSIVE)")).all()


def test_a_file_taken_away_while_the_ear_reads_it_is_told_as_gone(office_path: Path) -> None:
    class Failing:
        def cursor(self) -> None:
            office_path.unlink()
            error = sqlite_driver().OperationalError("disk I/O error")
            error.sqlite_errorcode = 10
            raise error

        def close(self) -> None:
            pass

    with Office.open(office_path) as office:
        ear = office.ear()
        ear.open()
        ear._connection = Failing()
        with pytest.raises(OfficeGone):
            ear.hear()
        with pytest.raises(OfficeGone):
            ear.open()
