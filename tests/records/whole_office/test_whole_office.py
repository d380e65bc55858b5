"""A whole office out and in again: the same bytes from either engine to either, or nothing."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

import jsonschema_rs
import pytest
import sqlalchemy as sa
from hypothesis import given, settings
from hypothesis import strategies as st

from desk.base.errors import DeskError, InputError, OutageError
from desk.records.database.open_checks import SCHEMA
from desk.records.journal import blob_store
from desk.records.learning.lesson_cache import lessons_of
from desk.records.office.office import Office
from desk.records.tables import Customer, ShopLogo, Visit
from desk.records.visits.lifecycle import finish, set_cause
from desk.records.whole_office.dump import all_tables, as_bytes, export_everything
from desk.records.whole_office.json_schema import published, schema_of_tables
from desk.records.whole_office.load import check_everything, import_everything
from tests.conftest import SHOP, StillClock
from tests.every_day import every_day
from tests.records.conftest import ENGINES
from tests.records.jobs import ACT, begin_job, give_reasons
from tests.records.search.test_search import computed_anew, searched
from tests.server import Cluster

type Line = dict[str, object]


@pytest.fixture(params=ENGINES)
def new_place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str | Path]:
    """Where no office is yet: a file, and a database without tables."""
    if request.param == "sqlite":
        yield tmp_path / "moved" / "new.drawoff"
        return
    cluster: Cluster = request.getfixturevalue("cluster")
    with cluster.database() as url:
        yield url


@pytest.fixture
def worked_in(office: Office, clock: StillClock) -> Office:
    """An office with a finished visit, a picture, and words that only just survive."""
    job = begin_job(office, clock)
    job.work_through({})
    with office.unit_of_work(ACT) as session:
        session.get_one(Customer, job.customer).note = 'Åsa\'s "=1" \\u0000 ﬁ \u2028 𝄞\n\tback'
        set_cause(session, job.visit, cause="element_stuck")
        give_reasons(session, job.visit)
        finish(session, job.visit, "mended")
        _enclose(session, b"\x89PNG and not a picture \xff")
    office.set_aside("counter", {"name": "Half", "Étage": "typed"})
    return office


def _enclose(session: sa.orm.Session, content: bytes) -> None:
    from desk.records.journal.journal import keep

    keep(session, ShopLogo(sha256=blob_store.keep_bytes(session, content)))


@pytest.fixture
def written(worked_in: Office, tmp_path: Path) -> Path:
    path = tmp_path / "all.jsonl"
    export_everything(worked_in, path)
    return path


@pytest.fixture(scope="module")
def content(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A written office with one job in it."""
    folder = tmp_path_factory.mktemp("written")
    shutil.copyfile(empty_office, folder / "office")
    clock = StillClock()
    with Office.open(folder / "office", now=clock) as office:
        job = begin_job(office, clock)
        with office.unit_of_work(ACT) as session:
            finish(session, job.visit, "to_continue")
        export_everything(office, folder / "all.jsonl")
    return (folder / "all.jsonl").read_bytes()


@pytest.fixture
def plain(content: bytes, tmp_path: Path) -> Path:
    """The same in a file of the test's own."""
    path = tmp_path / "plain.jsonl"
    path.write_bytes(content)
    return path


def _lines(path: Path) -> list[Line]:
    return [json.loads(line) for line in path.read_bytes().splitlines()]


def _write(path: Path, lines: list[Line]) -> None:
    """Write lines with an end that fits them."""
    body = b"".join(as_bytes(line) for line in lines[:-1])
    told = {"rows": len(lines) - 2, "sha256": hashlib.sha256(body).hexdigest()}
    path.write_bytes(body + as_bytes(told))


def _row(lines: list[Line], table: str) -> Line:
    return next(line for line in lines if line.get("table") == table)


def test_the_published_schema_is_the_one_of_the_tables() -> None:
    assert json.loads(published().read_bytes()) == schema_of_tables(), (
        "the tables have changed; run python -m desk.records.whole_office.json_schema"
    )


def test_a_column_without_its_schema_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    table = sa.Table("person", sa.MetaData(), sa.Column("nickname", sa.Text()))
    monkeypatch.setitem(all_tables(), "person", table)
    assert json.loads(published().read_bytes()) != schema_of_tables()


def test_every_line_is_one_of_the_published_schema(written: Path) -> None:
    schema = json.loads(published().read_bytes())
    jsonschema_rs.meta.validate(schema)
    line_of = jsonschema_rs.validator_for(schema)
    for line in _lines(written):
        line_of.validate(line)


def test_an_office_moves_whole_from_either_engine_to_either(
    written: Path, new_place: str | Path, tmp_path: Path
) -> None:
    if isinstance(new_place, Path):
        new_place.parent.mkdir()
    rows = import_everything(new_place, written)
    assert rows == len(_lines(written)) - 2
    again = tmp_path / "again.jsonl"
    with Office.open(new_place) as moved:
        assert export_everything(moved, again) == rows
        assert searched(moved) == computed_anew(moved) != []
        with moved.read() as session:
            assert lessons_of(session).jobs
        with moved.unit_of_work(ACT) as session:  # it can be worked in
            session.get_one(Visit, session.scalars(sa.select(Visit.id)).one()).advice = "More"
    assert again.read_bytes() == written.read_bytes()


def test_it_comes_into_an_office_in_which_nothing_was_done(
    written: Path, tmp_path: Path, empty_server_office: str, cluster: Cluster
) -> None:
    empty = tmp_path / "empty.drawoff"
    Office.create(empty, SHOP).close()
    again = tmp_path / "again.jsonl"
    with cluster.database(empty_server_office) as url:
        for place in (empty, url):
            import_everything(place, written)
            with Office.open(place) as moved:
                export_everything(moved, again)
            assert again.read_bytes() == written.read_bytes()


def test_it_does_not_come_into_an_office_with_something_in_it(
    written: Path, worked_in: Office, engine_name: str, request: pytest.FixtureRequest
) -> None:
    place = "office_path" if engine_name == "sqlite" else "server_office"
    with pytest.raises(InputError, match="not empty"):
        import_everything(request.getfixturevalue(place), written)
    again = written.with_name("again.jsonl")
    export_everything(worked_in, again)
    assert again.read_bytes() == written.read_bytes()


SCRIBBLES: dict[str, tuple[Callable[[list[Line]], object], str]] = {
    "a word that the table does not know": (
        lambda lines: _row(lines, "visit").update(state="lost"),
        "state holds what cannot stand there",
    ),
    "a day that is none": (
        lambda lines: _row(lines, "visit").update(received_at="2026-13-45T08:00:00.000000+00:00"),
        "received_at holds what cannot stand there",
    ),
    "a field too many": (
        lambda lines: _row(lines, "person").update(nickname="Al"),
        "its fields are not those of person",
    ),
    "a field too few": (
        lambda lines: _row(lines, "person").pop("name"),
        "its fields are not those of person",
    ),
    "a table that is none": (
        lambda lines: _row(lines, "person").update(table="prson"),
        "there is no such table",
    ),
    "a table that is no name": (
        lambda lines: _row(lines, "person").update(table=[]),
        "there is no such table",
    ),
    "what the database itself refuses": (
        lambda lines: _row(lines, "visit").update(ending=""),
        "this office cannot hold it",
    ),
    "a row twice": (
        lambda lines: lines.insert(3, lines[2]),
        "it does not stand in its place",
    ),
}


@pytest.mark.parametrize(
    "scribble",
    every_day(SCRIBBLES, ["a table that is no name", "what the database itself refuses"]),
)
def test_what_cannot_stand_in_the_tables_is_refused_with_its_line(
    plain: Path, new_place: str | Path, scribble: str
) -> None:
    if isinstance(new_place, Path):
        new_place.parent.mkdir()
    whole = _lines(plain)
    lines = [dict(line) for line in whole]
    do, why = SCRIBBLES[scribble]
    do(lines)
    number = next(n for n, line in enumerate(lines, 1) if line != whole[n - 1])
    _write(plain, lines)
    with pytest.raises(InputError, match=f"^Line {number}: {why}. Nothing came in.$"):
        import_everything(new_place, plain)
    _is_untouched(new_place)


def _is_untouched(place: str | Path) -> None:
    if isinstance(place, Path):
        assert list(place.parent.iterdir()) == []
        return
    engine = sa.create_engine(place)
    assert sa.inspect(engine).get_table_names() == []
    engine.dispose()


def test_rows_that_name_what_is_not_there_are_refused(plain: Path, new_place: str | Path) -> None:
    if isinstance(new_place, Path):
        new_place.parent.mkdir()
    _write(plain, [line for line in _lines(plain) if line.get("table") != "premises"])
    with pytest.raises(InputError, match="names another that is not there"):
        import_everything(new_place, plain)
    _is_untouched(new_place)


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ({"drawoff": "everything", "format": 3, "tables": SCHEMA}, "A newer Drawoff"),
        ({"drawoff": "everything", "format": 2, "tables": SCHEMA + 1}, "A newer Drawoff"),
        ({"drawoff": "everything", "format": 2, "tables": SCHEMA - 1}, "An older Drawoff"),
        ({"drawoff": "customers"}, "Line 1: its fields are not those of first_line"),
        ({"table": "visit"}, "Line 1: its fields are not those of first_line"),
    ],
)
def test_a_file_of_another_program_is_told(tmp_path: Path, first: Line, told: str) -> None:
    path = tmp_path / "all.jsonl"
    _write(path, [first, {}])
    with pytest.raises(InputError, match=told):
        import_everything(tmp_path / "new.drawoff", path)
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_without_an_office_in_it_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    _write(path, [{"drawoff": "everything", "format": 2, "tables": SCHEMA}, {}])
    assert check_everything(path) == 0
    with pytest.raises(InputError, match="holds no office"):
        import_everything(tmp_path / "new.drawoff", path)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    for read in (check_everything, lambda path: import_everything(tmp_path / "x", path)):
        with pytest.raises(InputError, match="cannot be read"):
            read(tmp_path / "nowhere.jsonl")


@settings(deadline=None)
@given(where=st.floats(0, 1, exclude_max=True))
def test_a_file_cut_off_anywhere_is_refused(
    content: bytes, where: float, tmp_path_factory: pytest.TempPathFactory
) -> None:
    cut = content[: int(where * len(content))]
    path = tmp_path_factory.mktemp("cut") / "all.jsonl"
    path.write_bytes(cut)
    line = cut.count(b"\n") + 1
    with pytest.raises(InputError, match=f"^Line {line}: the file is cut off here"):
        check_everything(path)


@settings(deadline=None)
@given(where=st.floats(0, 1, exclude_max=True), sign=st.integers(1, 255))
def test_a_byte_changed_anywhere_is_refused_at_its_line_or_at_the_end(
    content: bytes, where: float, sign: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    changed = bytearray(content)
    at = int(where * len(content))
    changed[at] ^= sign
    path = tmp_path_factory.mktemp("changed") / "all.jsonl"
    path.write_bytes(bytes(changed))
    with pytest.raises(DeskError) as refused:
        check_everything(path)
    line = refused.value.facts.get("line", 1)
    assert line >= content[:at].count(b"\n") + 1


def test_a_file_is_refused_whole_however_late_it_breaks(content: bytes, tmp_path: Path) -> None:
    path, new = tmp_path / "all.jsonl", tmp_path / "new.drawoff"
    path.write_bytes(content.replace(b"Mara Quill", b"Mara Quilt"))
    last = content.count(b"\n")
    with pytest.raises(InputError, match=f"^Line {last}: what stands before it was changed"):
        import_everything(new, path)
    path.write_bytes(content + b"{}\n")
    with pytest.raises(InputError, match=f"^Line {last + 1}: it stands after the end"):
        import_everything(new, path)
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_cannot_be_written_is_told(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "all.jsonl"
    path.write_bytes(content)
    with pytest.raises(OutageError, match="does not let us write"):
        import_everything(Path("/proc/new.drawoff"), path)


def test_an_office_does_not_replace_a_file_that_is_something_else(
    content: bytes, tmp_path: Path
) -> None:
    path, other = tmp_path / "all.jsonl", tmp_path / "letter.txt"
    path.write_bytes(content)
    other.write_text("Dear Ann")
    with pytest.raises((InputError, OutageError)):
        import_everything(other, path)
    assert other.read_text() == "Dear Ann"


def test_a_large_office_passes_through_little_memory(
    office_path: Path, clock: StillClock, tmp_path: Path
) -> None:
    chance = random.Random(1)
    with Office.open(office_path, now=clock) as office:
        with office.unit_of_work(ACT) as session:
            for _ in range(60):
                _enclose(session, chance.randbytes(300_000))
        path, new = tmp_path / "all.jsonl", tmp_path / "new.drawoff"
        export_everything(office, tmp_path / "warm.jsonl")
        tracemalloc.start()
        try:
            export_everything(office, path)
            written = tracemalloc.get_traced_memory()[1]
            tracemalloc.reset_peak()
            import_everything(new, path)
            read = tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
    assert path.stat().st_size > 24_000_000
    assert written < 10_000_000, written
    assert read < 14_000_000, read
