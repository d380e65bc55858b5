"""The same size and day give the same rows; what cannot be built leaves nothing."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import sqlalchemy as sa
from click.testing import CliRunner

from desk.base.errors import InputError
from desk.base.texts import message
from desk.cli.office.sample import sample as command
from desk.records.database.engine import make_engine
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.tables import Visit, map_all
from desk.records.visits.lifecycle import take_call
from sample_db.build import build
from sample_db.kit import store
from sample_db.visits import walks
from tests.every_day import every_day
from tests.samples import AS_OF, FEW, shared_office


def dump(path: Path) -> list[tuple[str, list[tuple[object, ...]]]]:
    """Return every row of every table, in a stable order."""
    engine = make_engine(path, mode="ro")
    with engine.connect() as connection:
        tables = [
            (
                table.name,
                [tuple(row) for row in connection.execute(sa.select(table).order_by(*table.c))],
            )
            for table in map_all().metadata.sorted_tables
        ]
    engine.dispose()
    return tables


def test_the_same_size_and_day_give_the_same_rows(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    again = tmp_path / "again.drawoff"
    build(again, visits=FEW, as_of=AS_OF)
    assert dump(again) == dump(shared_office(tmp_path_factory, FEW))


@pytest.mark.fault
def test_another_day_gives_other_rows(tmp_path: Path) -> None:
    for name, day in (("one", AS_OF), ("two", date(2026, 3, 2))):
        build(tmp_path / name, visits=10, as_of=day)
    assert dump(tmp_path / "one") != dump(tmp_path / "two")


LEAP_DAY = date(2024, 2, 29)


@pytest.mark.parametrize("visits", every_day([1, 2, 7, 20, 39, 40, 45], [7]))
def test_the_number_of_visits_is_honoured(tmp_path: Path, visits: int) -> None:
    path = tmp_path / "small"
    told = build(path, visits=visits, as_of=AS_OF)
    engine = make_engine(path, mode="ro")
    with engine.connect() as connection:
        count = connection.scalar(sa.select(sa.func.count()).select_from(Visit))
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    engine.dispose()
    assert (told.visits, count, broken) == (visits, visits, [])


@pytest.mark.parametrize(
    "day", every_day([date(2026, 11, 21), date(2027, 1, 1), LEAP_DAY], [LEAP_DAY])
)
def test_any_day_of_the_week_and_year_will_do(tmp_path: Path, day: date) -> None:
    assert build(tmp_path / "office", visits=20, as_of=day).visits == 20


def test_one_closed_file_is_left(tmp_path: Path) -> None:
    build(tmp_path / "office.drawoff", visits=5, as_of=AS_OF)
    assert [path.name for path in tmp_path.iterdir()] == ["office.drawoff"]


def test_the_office_goes_on_numbering(tmp_path: Path) -> None:
    path = tmp_path / "office.drawoff"
    build(path, visits=25, as_of=AS_OF)
    with Office.open(path) as office:
        with office.unit_of_work(message("Call taken")) as session:
            visit_id = take_call(session, CallDetails(complaint="too_cool"))
        with office.read() as session:
            assert session.get_one(Visit, visit_id).number == "A-00026"


@pytest.mark.parametrize(
    ("visits", "day"), [(0, AS_OF), (-3, AS_OF), (10**9, AS_OF), (10, date(2126, 1, 1))]
)
def test_what_cannot_be_meant_is_refused_and_nothing_is_left(
    tmp_path: Path, visits: int, day: date
) -> None:
    with pytest.raises(InputError) as refused:
        build(tmp_path / "office", visits=visits, as_of=day)
    assert str(refused.value).count("\n") == 0
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no folder"):
        build(tmp_path / "no" / "office", visits=5, as_of=AS_OF)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "office"
    path.write_text("mine")
    with pytest.raises(InputError, match="already there"):
        build(path, visits=5, as_of=AS_OF)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_came_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "office"
    with pytest.raises(InputError, match="already there"):
        build(path, visits=5, as_of=AS_OF, progress=lambda _done, _of: path.touch() or None)
    assert list(tmp_path.iterdir()) == [path]
    assert path.stat().st_size == 0


def test_a_run_that_fails_leaves_nothing(tmp_path: Path) -> None:
    def stop(_done: int, _of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build(tmp_path / "office", visits=5, as_of=AS_OF, progress=stop)
    assert list(tmp_path.iterdir()) == []


def test_progress_ends_with_all_visits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_ROWS_A_TRANSACTION", 300)  # as a large office has many of them
    seen: list[tuple[int, int]] = []
    build(
        tmp_path / "office",
        visits=30,
        as_of=AS_OF,
        progress=lambda done, of: seen.append((done, of)),
    )
    assert seen == sorted(seen)
    assert len(seen) > 1
    assert seen[-1] == (30, 30)


def test_the_command_builds_and_says_what_it_built(tmp_path: Path) -> None:
    path = tmp_path / "office.drawoff"
    result = CliRunner().invoke(
        command, ["--visits", "12", "--out", str(path), "--as-of", "2026-11-24"]
    )
    assert result.exit_code == 0
    assert "12 visits" in result.output
    assert path.is_file()


def test_the_command_refuses_a_day_that_is_none(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        command, ["--visits", "12", "--out", str(tmp_path / "o"), "--as-of", "tomorrow"]
    )
    assert isinstance(result.exception, InputError)
    assert list(tmp_path.iterdir()) == []


def test_no_fault_is_called_what_the_catalogue_calls_it() -> None:
    from desk.trade.content.loader import load_content

    assert walks.NO_FAULT in load_content().causes
