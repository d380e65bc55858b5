"""``drawoff check-up``: what it says of every kind of file, and that it changes none of them."""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from desk.cli import main
from desk.records.database.engine import make_engine, sqlite_driver
from desk.records.database.open_checks import SCHEMA
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import begin_job
from tests.records.sealed_visits import behind_the_back, seal_a_full_visit

PROGRAM = "import sys; from desk.cli import main; sys.exit(main())"


@pytest.fixture(scope="module")
def sound(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed office with a sealed visit, made once."""
    made = tmp_path_factory.mktemp("sound") / "sound.drawoff"
    shutil.copyfile(empty_office, made)
    seal_a_full_visit(made, StillClock())
    return made


@pytest.fixture
def place(sound: Path, tmp_path: Path) -> Path:
    """The same office, to be spoilt, alone in its folder."""
    folder = tmp_path / "office"
    folder.mkdir()
    return Path(shutil.copyfile(sound, folder / "office.drawoff"))


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str], place: Path) -> Callable[[], tuple[int, list[str]]]:
    """Check the office up, see that nothing of its folder changed, return status and lines."""

    def check() -> tuple[int, list[str]]:
        before = contents(place.parent)
        status = main(["check-up", "--office", str(place)])
        assert contents(place.parent) == before
        out = capsys.readouterr()
        assert out.err == ""
        return status, out.out.splitlines()

    return check


type Check = Callable[[], tuple[int, list[str]]]


def contents(folder: Path) -> dict[str, str]:
    return {
        one.name: hashlib.sha256(one.read_bytes()).hexdigest() for one in sorted(folder.iterdir())
    }


def test_a_sound_office_ends_with_zero_and_says_what_a_check_up_cannot_see(said: Check) -> None:
    status, lines = said()
    assert status == 0
    assert lines[0] == "Nothing wrong was found."
    assert "no proof against somebody who changes records and fingerprints together" in lines[1]


def test_a_finding_is_one_sentence_and_ends_with_one(place: Path, said: Check) -> None:
    behind_the_back(place, "UPDATE reading SET typed = '5' WHERE kind = 'fault_code'")
    status, lines = said()
    assert status == 1
    assert lines[:2] == [
        "A reading of sealed visit A-00001 was changed after it was sealed.",
        "1 finding.",
    ]


def test_findings_come_as_json(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check-up", "--json", "--office", str(place)]) == 0
    assert json.loads(capsys.readouterr().out)["sound"] is True
    behind_the_back(place, "UPDATE attachment SET caption = 'x' WHERE caption <> ''")
    assert main(["check-up", "--json", "--office", str(place)]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["sound"] is False
    assert {one["part"] for one in told["findings"]} == {"journal", "sealed"}
    assert "safety copies" in told["limits"]


def wipe(place: Path, start: int, length: int, content: bytes = b"\0") -> None:
    with place.open("r+b") as stream:
        stream.seek(start)
        stream.write((content * length)[:length])


SPOILT: dict[str, tuple[Callable[[Path], object], str]] = {
    "empty": (lambda place: place.write_bytes(b""), "office.drawoff is empty."),
    "page": (
        lambda place: place.write_text("\n<!DOCTYPE html><html>Sign in</html>"),
        "office.drawoff is a web page and no office.",
    ),
    "text": (
        lambda place: place.write_text("number;name\n" * 400),
        "office.drawoff is no database, or its beginning was written over.",
    ),
    "wiped": (lambda place: wipe(place, 0, 4096), "The beginning of office.drawoff was wiped out."),
    "begun over": (
        lambda place: wipe(place, 0, 16, b"scribble"),
        "office.drawoff is no database, or its beginning was written over.",
    ),
    "header only": (
        lambda place: place.write_bytes(place.read_bytes()[:60]),
        "office.drawoff is cut off: its end is missing.",
    ),
    "half": (
        lambda place: place.write_bytes(place.read_bytes()[: place.stat().st_size // 2]),
        "office.drawoff is cut off: its end is missing.",
    ),
    "last byte": (
        lambda place: place.write_bytes(place.read_bytes()[:-1]),
        "office.drawoff is cut off: its end is missing.",
    ),
    "first page": (lambda place: wipe(place, 100, 3000, b"scribble"), "damaged"),
    "middle": (
        lambda place: wipe(place, place.stat().st_size // 8192 * 4096, 4096, b"scribble"),
        "damaged",
    ),
    "newer": (
        lambda place: tell(place, f"PRAGMA user_version = {SCHEMA + 1}"),
        "office.drawoff was written by a newer Drawoff. Update this one; the file was not touched.",
    ),
    "foreign": (
        lambda place: tell(place, "PRAGMA application_id = 7"),
        "office.drawoff is another program's database.",
    ),
    "numberless": (
        lambda place: tell(place, "DELETE FROM alembic_version", "PRAGMA user_version = 0"),
        "office.drawoff has lost the number of its tables.",
    ),
    "linkless": (
        lambda place: tell(place, "PRAGMA foreign_keys = 0", "DELETE FROM premises"),
        "Rows of visit name rows of premises that are not there (1).",
    ),
}


def tell(place: Path, *statements: str) -> None:
    """Say something to an office's database past the program."""
    connection = sqlite_driver().connect(str(place), isolation_level=None)
    for statement in statements:
        connection.execute(statement)
    connection.close()


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_file_is_named_and_left_as_it_is(how: str, place: Path, said: Check) -> None:
    spoil, sentence = SPOILT[how]
    spoil(place)
    status, lines = said()
    assert status == 1
    assert any(sentence in line for line in lines), lines


def test_a_file_that_is_not_there_is_a_slip_of_the_person(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check-up", "--office", str(tmp_path / "nowhere")]) == 2
    assert capsys.readouterr().err.startswith("There is no office at ")


def test_an_older_office_is_checked_as_it_will_be_and_stays_old(place: Path, said: Check) -> None:
    from alembic import command

    from desk.records.database.options import WRITES
    from desk.records.office.migrate import alembic_config

    engine = make_engine(place, migrating=True)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        command.downgrade(alembic_config(connection), f"{SCHEMA - 1:04}")
        connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA - 1}")
    engine.dispose()
    status, lines = said()
    assert (status, lines[0]) == (0, "Nothing wrong was found.")
    behind_the_back(place, "UPDATE visit SET work_done = 'Nothing.'")
    status, lines = said()
    assert status == 1
    assert "The sheet of sealed visit A-00001 was changed after it was sealed." in lines


def test_what_a_crash_left_in_the_log_is_checked_too(place: Path, said: Check) -> None:
    working = place.with_name("working.drawoff")
    shutil.copyfile(place, working)
    with Office.open(working, now=StillClock()) as office:
        begin_job(office, StillClock())
        for ending in ("", "-wal"):  # as they lie when the machine goes dark
            shutil.copyfile(f"{working}{ending}", f"{place}{ending}")
    assert Path(f"{place}-wal").stat().st_size
    assert said()[0] == 0
    tell(working, "UPDATE device SET sets_made = sets_made + 1")
    shutil.copyfile(working, place)  # and a log that is not its own is none
    Path(f"{place}-wal").unlink()
    assert said()[0] == 1


def test_an_office_that_is_open_at_a_desk_is_checked_while_it_is_written(place: Path) -> None:
    with Office.open(place, now=StillClock()) as office:
        begin_job(office, StillClock())
        names = sorted(one.name for one in place.parent.iterdir())
        ran = subprocess.run(
            [sys.executable, "-c", PROGRAM, "check-up", "--office", str(place)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert (ran.returncode, ran.stdout.splitlines()[0]) == (0, "Nothing wrong was found.")
        assert sorted(one.name for one in place.parent.iterdir()) == names
        begin_job(office, StillClock())
    assert main(["check-up", "--office", str(place)]) == 0


def test_a_servers_office_is_checked_in_a_transaction_that_only_reads(
    server_office: str, capsys: pytest.CaptureFixture[str]
) -> None:
    seal_a_full_visit(server_office, StillClock())
    assert main(["check-up", "--office", server_office]) == 0
    behind_the_back(server_office, "UPDATE reading SET typed = '5' WHERE kind = 'fault_code'")
    assert main(["check-up", "--office", server_office]) == 1
    assert "A reading of sealed visit A-00001" in capsys.readouterr().out
