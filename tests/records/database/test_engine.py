"""How the office file is opened: one driver, one factory, and what every connection is told."""

from __future__ import annotations

from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import OutageError
from desk.base.texts import message
from desk.records.database import engine
from desk.records.database.engine import make_engine, outages, pragmas, sqlite_driver
from desk.records.database.options import WRITES
from desk.records.office.office import Office
from desk.records.tables import Person
from tests.conftest import SideDoors


def test_every_connection_answers_with_what_it_was_told(office_path: Path) -> None:
    opened = make_engine(office_path)
    with opened.connect() as connection:
        for name, value in pragmas():
            answer = connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            assert str(answer).lower() == str(value), name
    opened.dispose()


def test_the_library_is_newer_than_the_wal_reset_bug_or_no_log_is_used(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert tuple(map(int, sqlite_driver().sqlite_version.split("."))) >= engine.FIXED_WAL_RESET
    assert engine.journal_mode() == "WAL"
    monkeypatch.setattr(sqlite_driver(), "sqlite_version", "3.51.2")
    assert engine.journal_mode() == "DELETE"


def test_trigram_search_is_there_for_later() -> None:
    connection = sqlite_driver().connect(":memory:")
    connection.execute("CREATE VIRTUAL TABLE words USING fts5(text, tokenize='trigram')")
    connection.execute("INSERT INTO words VALUES ('strainer')")
    assert connection.execute("SELECT text FROM words('rain')").fetchall() == [("strainer",)]
    connection.close()


def test_a_writer_holds_the_lock_from_its_first_word(office_path: Path) -> None:
    opened = make_engine(office_path)
    statements: list[str] = []
    sa.event.listen(
        opened,
        "before_cursor_execute",
        lambda _c, _cursor, statement, *_rest: statements.append(statement),
    )
    with opened.execution_options(**{WRITES: True}).begin():
        pass
    with opened.begin():
        pass
    assert statements == ["BEGIN IMMEDIATE", "BEGIN"]
    opened.dispose()


def test_no_other_library_opens_a_live_office(office: Office, office_path: Path) -> None:
    """The fixture fails the test if anybody opens the file behind SQLite's back."""
    with office.unit_of_work(message("Person added")) as session:
        session.add_all([])
    with office.read() as session:
        session.scalars(sa.select(Person)).all()
    assert office_path.exists()


def test_the_watch_on_side_doors_hears_one(office_path: Path, side_doors: SideDoors) -> None:
    watch = side_doors.shut(office_path)
    watch.__enter__()
    office_path.read_bytes()
    with pytest.raises(AssertionError, match="side door"):
        watch.__exit__()


def test_a_full_disk_is_told_and_nothing_is_half_done(office_path: Path) -> None:
    opened = make_engine(office_path)
    with opened.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count={pages}")
    office = Office(opened)
    with (
        pytest.raises(OutageError, match="disk is full"),
        office.unit_of_work(message("Person added")) as session,
    ):
        session.execute(
            sa.text("INSERT INTO attachment_bytes (sha256, content) VALUES ('x', zeroblob(300000))")
        )
    with office.read() as session:
        assert session.scalar(sa.text("SELECT count(*) FROM attachment_bytes")) == 0
    office.close()


def test_a_locked_office_is_told(office_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "BUSY_MS", 20)
    holder, second = make_engine(office_path), make_engine(office_path)
    with holder.execution_options(**{WRITES: True}).begin():
        office = Office(second)
        with (
            pytest.raises(OutageError, match="Another program holds the office"),
            office.unit_of_work(message("Person added")),
        ):
            pass
    holder.dispose()
    second.dispose()


def test_an_error_that_is_ours_is_not_taken_for_an_outage(office_path: Path) -> None:
    opened = make_engine(office_path)
    with pytest.raises(sa.exc.OperationalError, match="no such table"), outages():
        opened.connect().exec_driver_sql("SELECT * FROM absent")
    opened.dispose()


@pytest.mark.parametrize(
    "statement",
    [
        "SELECT full_hott FROM person",
        "SELECT is_locked FROM person",
        "SELECT readonly FROM person",
        "SELECT 1 FROM malformed",
        'INSERT INTO "unable to open" VALUES (1)',
    ],
)
def test_a_misspelt_name_is_a_bug_whatever_words_it_holds(
    office_path: Path, statement: str
) -> None:
    opened = make_engine(office_path)
    with (
        pytest.raises(sa.exc.OperationalError, match="no such"),
        outages(),
        opened.connect() as connection,
    ):
        connection.exec_driver_sql(statement)
    opened.dispose()


def test_the_drivers_code_tells_an_outage_and_no_word_does() -> None:
    driver = sqlite_driver()
    busy, extended, words = (driver.OperationalError("x") for _ in range(3))
    busy.sqlite_errorcode = 5
    extended.sqlite_errorcode = 10 | 3 << 8  # SQLITE_IOERR_WRITE
    words.sqlite_errorcode = 1
    words.args = ("database or disk is full",)
    assert "Another program" in str(engine.as_outage(busy))
    assert "it fails" in str(engine.as_outage(extended))
    assert engine.as_outage(words) is None
    assert engine.as_outage(driver.OperationalError("database is locked")) is None
