"""A server's office: many desks, accounts that may only what they need, and plain errors."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
import sqlalchemy as sa
from alembic import command

from desk.base.errors import NewerOffice, NotAnOffice, OutageError
from desk.base.texts import message
from desk.records.database.engine import make_engine, outages
from desk.records.database.open_checks import SCHEMA
from desk.records.database.roles import Accounts, accounts_of, set_up_roles
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.migrate import alembic_config
from desk.records.office.office import Office
from desk.records.parties.customers import add_person
from desk.records.tables import ChangeSet, Person
from tests.server import Cluster

ADDED = message("Person added")


@pytest.fixture
def roles(cluster: Cluster, server_office: str) -> Iterator[None]:
    """Accounts of the program and of the backup on the test's own office."""
    cluster.say("CREATE ROLE desk_program LOGIN")
    cluster.say("CREATE ROLE desk_backup LOGIN")
    owner = make_engine(server_office, migrating=True)
    try:
        with owner.begin() as connection:
            set_up_roles(connection, program="desk_program", backup="desk_backup")
        yield
    finally:
        with owner.begin() as connection:
            connection.exec_driver_sql("DROP OWNED BY desk_program, desk_backup")
        owner.dispose()
        cluster.say("DROP ROLE desk_program, desk_backup")


def _as(url: str, account: str) -> str:
    return url.replace("tester@", f"{account}@")


def test_the_programs_account_does_a_whole_command(roles: None, server_office: str) -> None:
    with Office.open(_as(server_office, "desk_program")) as office:
        with office.unit_of_work(ADDED) as session:
            add_person(session, PersonDetails("Ann Poole"))
        with office.read() as session:
            assert session.scalars(sa.select(Person.name)).all() == ["Ann Poole"]


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM person",
        "UPDATE change SET after = 'x'",
        "UPDATE attachment_bytes SET sha256 = 'x'",
        "CREATE TABLE own (id int)",
        "CREATE TEMPORARY TABLE own (id int)",
        "ALTER TABLE person ADD COLUMN x int",
        "UPDATE alembic_version SET version_num = '0001'",
    ],
)
def test_the_programs_account_may_no_more_than_it_needs(
    roles: None, server_office: str, statement: str
) -> None:
    engine = make_engine(_as(server_office, "desk_program"))
    with (
        pytest.raises(OutageError, match="does not let this account"),
        outages(),
        engine.begin() as connection,
    ):
        connection.exec_driver_sql(statement)
    engine.dispose()


def test_the_backups_account_reads_and_does_not_write(roles: None, server_office: str) -> None:
    engine = make_engine(_as(server_office, "desk_backup"))
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM shop").scalar_one() == 1
    with pytest.raises(OutageError), outages(), engine.begin() as connection:
        connection.exec_driver_sql("UPDATE shop SET name = 'x'")
    engine.dispose()


def test_desks_that_write_at_once_take_turns(server_office: str) -> None:
    def desk(_: int) -> None:
        with Office.open(server_office) as office:
            for number in range(10):
                with office.unit_of_work(ADDED) as session:
                    add_person(session, PersonDetails(f"Person {number}"))

    with ThreadPoolExecutor(3) as desks:
        list(desks.map(desk, range(3)))
    with Office.open(server_office) as office, office.read() as session:
        numbers = session.scalars(sa.select(ChangeSet.number).order_by(ChangeSet.number)).all()
    assert numbers == list(range(1, 32))


def test_a_server_that_does_not_answer_is_told_in_one_sentence() -> None:
    with pytest.raises(OutageError, match="does not answer"):
        Office.open("postgresql+psycopg://desk@/office?host=/no/such/folder")


def test_an_account_and_a_database_that_are_not_there_are_told(cluster: Cluster) -> None:
    with pytest.raises(OutageError, match="no such database"):
        Office.open(cluster.url("nowhere"))
    with pytest.raises(OutageError, match="name and password"):
        Office.open(cluster.url("postgres", user="nobody_here"))


@pytest.mark.parametrize("name", ["password", "database", "a role of resolve"])
def test_a_refusal_is_read_as_a_whole_and_no_name_in_it_counts(cluster: Cluster, name: str) -> None:
    with pytest.raises(OutageError, match="no such database"):
        Office.open(cluster.url(name))
    with pytest.raises(OutageError, match="name and password"):
        Office.open(cluster.url("postgres", user=name))


def test_a_misspelt_column_on_a_server_is_a_bug(server_office: str) -> None:
    engine = make_engine(server_office)
    with (
        pytest.raises(sa.exc.ProgrammingError, match="password"),
        outages(),
        engine.connect() as connection,
    ):
        connection.exec_driver_sql("SELECT password FROM person")
    engine.dispose()


def test_a_server_that_takes_no_changes_is_told(server_office: str) -> None:
    engine = make_engine(server_office)
    with (
        pytest.raises(OutageError, match="takes no changes"),
        outages(),
        engine.begin() as connection,
    ):
        connection.exec_driver_sql("SET TRANSACTION READ ONLY")
        connection.exec_driver_sql("UPDATE shop SET name = 'x'")
    engine.dispose()


def test_a_database_without_an_office_is_refused(cluster: Cluster) -> None:
    with cluster.database() as url, pytest.raises(NotAnOffice, match="no office in it"):
        Office.open(url)


def test_an_office_of_a_newer_program_is_refused(cluster: Cluster, server_office: str) -> None:
    _number(server_office, SCHEMA + 1)
    with pytest.raises(NewerOffice):
        Office.open(server_office)


def test_an_older_office_is_upgraded_by_its_owner_alone(
    cluster: Cluster, roles: None, server_office: str
) -> None:
    owner = make_engine(server_office, migrating=True)
    with owner.begin() as connection:
        command.downgrade(alembic_config(connection), "-1")
    owner.dispose()
    with pytest.raises(OutageError, match="account that owns"):
        Office.open(_as(server_office, "desk_program"))
    with Office.open(server_office) as office, office.read() as session:
        number = session.scalar(sa.text("SELECT version_num FROM alembic_version"))
        assert number == f"{SCHEMA:04}"


def test_an_upgrade_gives_the_accounts_what_they_need_in_new_tables(
    roles: None, server_office: str
) -> None:
    owner = make_engine(server_office, migrating=True)
    with owner.begin() as connection:
        command.downgrade(alembic_config(connection), "0003")  # before the parts on order
        assert accounts_of(connection) == Accounts(("desk_program",), ("desk_backup",))
    Office.open(server_office).close()
    with owner.begin() as connection:
        assert _may(connection, "desk_program", "part_order") == {"SELECT", "INSERT", "UPDATE"}
        assert _may(connection, "desk_program", "search_text") == {
            "SELECT", "INSERT", "UPDATE", "DELETE",
        }  # fmt: skip
        assert _may(connection, "desk_program", "change") == {"SELECT", "INSERT"}
        assert _may(connection, "desk_backup", "part_order") == {"SELECT"}
    owner.dispose()
    with (
        Office.open(_as(server_office, "desk_program")) as office,
        office.unit_of_work(ADDED) as session,
    ):
        add_person(session, PersonDetails("Ann Poole"))


def _may(connection: sa.Connection, account: str, table: str) -> set[str]:
    found = connection.scalars(
        sa.text(
            "SELECT privilege_type FROM information_schema.role_table_grants"
            " WHERE grantee = :account AND table_name = :name"
        ),
        {"account": account, "name": table},
    )
    return set(found)


def _number(url: str, number: int) -> None:
    engine = make_engine(url)
    with engine.begin() as connection:
        connection.execute(
            sa.text("UPDATE alembic_version SET version_num = :number"), {"number": f"{number:04}"}
        )
    engine.dispose()
