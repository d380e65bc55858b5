"""The one door for every output: what it lets in, what it leaves alone, and what it sweeps."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlcipher3

from desk.base import paths, written_files
from desk.base.errors import InputError, OutageError
from desk.base.files import Target, is_foreign, keep_file, put_new, whole_file, write_file
from desk.base.unfinished_files import folder_beside
from desk.records.office.office import Office
from tests.conftest import SideDoors

FRESH = b"%PDF fresh"


def over(path: Path) -> Target:
    """As a person names a file who said --replace, or agreed in a dialog."""
    return Target(path, replace=True)


def encrypted(path: Path) -> None:
    connection = sqlcipher3.connect(str(path))
    connection.execute("PRAGMA key='a passphrase'")
    connection.execute("CREATE TABLE a(b)")
    connection.commit()
    connection.close()


def of_a_later_schema(path: Path) -> None:
    connection = sqlcipher3.connect(str(path))
    connection.execute("PRAGMA user_version=9999")
    connection.close()


def a_link(office: Path) -> Path:
    link = office.with_name("link.pdf")
    link.symlink_to(office)
    return link


def a_hard_link(office: Path) -> Path:
    link = office.with_name("hard.pdf")
    link.hardlink_to(office)
    return link


def the_long_way(office: Path) -> Path:
    (office.parent / "below").mkdir()
    return office.parent / "below" / ".." / office.name


def renamed(office: Path) -> Path:
    return office.rename(office.with_name("report.pdf"))


def renamed_and_encrypted(office: Path) -> Path:
    office.unlink()
    encrypted(office.with_name("secret.bin"))
    return office.with_name("secret.bin")


def renamed_and_of_a_later_schema(office: Path) -> Path:
    of_a_later_schema(office)
    return renamed(office)


def emptied(office: Path) -> Path:
    office.write_bytes(b"")
    return office


def beside(ending: str) -> Callable[[Path], Path]:
    def name(office: Path) -> Path:
        return office.with_name(f"{office.name}{ending}")

    name.__name__ = ending.strip("-.")
    return name


def its_lock(office: Path) -> Path:
    return office.with_name(f".{office.name}.lock")


def its_own_checks(office: Path) -> Path:
    folder = office.with_name(f"{office.name}.checks")
    folder.mkdir()
    return folder / "causes.toml"


WAYS = (
    str, a_link, a_hard_link, the_long_way, renamed, renamed_and_encrypted,
    renamed_and_of_a_later_schema, emptied, beside("-wal"), beside("-shm"), beside("-journal"),
    beside(".before-upgrade-20261124T140000Z"), beside(".upgrading"), its_lock, its_own_checks,
)  # fmt: skip


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_an_office_is_never_a_target(office_path: Path, way: Callable[[Path], object]) -> None:
    target = Path(str(way(office_path)))
    there = target.read_bytes() if target.exists() else None
    with pytest.raises(InputError, match="Choose another name"):
        write_file(over(target), FRESH)
    assert (target.read_bytes() if target.exists() else None) == there


def test_an_open_office_is_refused_without_opening_it(
    office: Office, office_path: Path, side_doors: SideDoors
) -> None:
    """Closing another handle on a live file would drop SQLite's locks."""
    link = office_path.with_name("moved.pdf")
    link.hardlink_to(office_path)
    log = office_path.with_name("log.csv")
    log.hardlink_to(office_path.with_name(f"{office_path.name}-wal"))
    with side_doors.shut(link), side_doors.shut(log):
        for target in (office_path, link, log):
            with pytest.raises(InputError, match="Choose another name"):
                write_file(over(target), FRESH)
    assert office.zone


@pytest.mark.parametrize("there", [b"", b"a letter", os.urandom(5000), b"SQLite format 3\0" * 300])
def test_a_foreign_file_goes_only_where_that_was_said(tmp_path: Path, there: bytes) -> None:
    path = tmp_path / "report.pdf"
    path.write_bytes(there)
    with pytest.raises(InputError, match="--replace"):
        write_file(path, FRESH)
    assert path.read_bytes() == there
    write_file(over(path), FRESH)
    assert path.read_bytes() == FRESH
    assert [one.name for one in tmp_path.iterdir()] == ["report.pdf"]


def test_what_the_program_wrote_is_written_over_until_somebody_changed_it(tmp_path: Path) -> None:
    path = tmp_path / "report.pdf"
    write_file(path, FRESH)
    write_file(path, FRESH + b" and newer")
    path.write_bytes(FRESH + b" and corrected by hand")
    with pytest.raises(InputError, match="--replace"):
        write_file(path, FRESH)


def test_a_copy_that_somebody_put_away_is_theirs(tmp_path: Path) -> None:
    path, copy = tmp_path / "report.pdf", tmp_path / "kept.pdf"
    write_file(path, FRESH)
    copy.write_bytes(FRESH)
    assert is_foreign(copy)
    assert not is_foreign(path)


def test_a_file_that_came_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "report.pdf"
    with pytest.raises(InputError, match="--replace"), whole_file(path) as stream:
        stream.write(FRESH)
        path.write_bytes(b"a letter")
    assert {one.name: one.read_bytes() for one in tmp_path.iterdir()} == {"report.pdf": b"a letter"}


def test_an_office_is_put_nowhere_that_is_taken(tmp_path: Path) -> None:
    made, path = tmp_path / "made", tmp_path / "new.drawoff"
    made.write_bytes(b"made")
    path.write_bytes(b"somebody's")
    with pytest.raises(InputError, match="already there"):
        put_new(made, path)
    assert path.read_bytes() == b"somebody's"


def test_pipes_devices_and_handles_are_free(tmp_path: Path) -> None:
    write_file(Path("/dev/null"), FRESH)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE) as reader:
        write_file(pipe, FRESH)
        assert reader.stdout is not None
        assert reader.stdout.read() == FRESH
    with (tmp_path / "redirected.pdf").open("wb") as redirected:
        write_file(Path(f"/dev/fd/{redirected.fileno()}"), FRESH)
    assert (tmp_path / "redirected.pdf").read_bytes() == FRESH
    assert pipe.is_fifo()


HOLD = """
import sys
from pathlib import Path
from desk.base.files import whole_file
from desk.base.unfinished_files import folder_beside
folder = Path(sys.argv[1])
with whole_file(folder / "a.pdf") as stream, folder_beside(folder / "a.drawoff") as beside:
    stream.write(b"half")
    stream.flush()
    (beside / "office").write_bytes(b"half")
    print("begun", flush=True)
    sys.stdin.read()
"""


def test_what_killed_runs_left_is_swept_and_nothing_else(tmp_path: Path) -> None:
    theirs = {".drawoff-notes.part", ".report.pdf.abcd1234", ".sample-abcd", "in-use"}
    for name in theirs:
        (tmp_path / name).write_bytes(b"somebody's")
    (tmp_path / ".drawoff-0123456789abcdef.part").symlink_to(tmp_path / "in-use")
    theirs.add(".drawoff-0123456789abcdef.part")
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"begun\n"
        under_way = _names(tmp_path) - theirs
        assert len(under_way) == 2
        write_file(tmp_path / "b.pdf", FRESH)
        assert _names(tmp_path) == theirs | under_way | {"b.pdf"}, "somebody still writes them"
        writer.send_signal(signal.SIGKILL)
    write_file(tmp_path / "b.pdf", FRESH)
    assert _names(tmp_path) == theirs | {"b.pdf"}


def test_what_was_killed_before_it_began_is_swept_too(tmp_path: Path) -> None:
    (tmp_path / ".drawoff-0123456789abcdef.making").mkdir()
    with folder_beside(tmp_path / "new.drawoff"):
        assert len(_names(tmp_path)) == 1
    assert _names(tmp_path) == set()


def _names(folder: Path) -> set[str]:
    return {one.name for one in folder.iterdir()}


def test_a_file_of_the_programs_own_is_kept_whatever_lies_there(tmp_path: Path) -> None:
    keep_file(tmp_path / "own.toml", b"one")
    (tmp_path / "own.toml").write_bytes(b"changed by hand")
    keep_file(tmp_path / "own.toml", b"two")
    assert (tmp_path / "own.toml").read_bytes() == b"two"


def test_a_full_disk_leaves_nothing_of_a_file(tmp_path: Path) -> None:
    with pytest.raises(OutageError), whole_file(tmp_path / "a.pdf") as stream:
        stream.write(b"half")
        raise OSError(28, "No space left on device")
    assert list(tmp_path.iterdir()) == []


def test_the_older_half_of_what_was_noted_is_forgotten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(paths, "own_folder", lambda: tmp_path / "own")
    monkeypatch.setattr(written_files, "LARGEST", 1_000)
    files = [tmp_path / f"{number}.pdf" for number in range(30)]
    for path in files:
        write_file(path, FRESH)
    assert is_foreign(files[0])
    assert not any(map(is_foreign, files[-4:]))
    assert (tmp_path / "own" / "written").stat().st_size < 1_200
    assert stat.S_IMODE((tmp_path / "own" / "written").stat().st_mode) == 0o600


def test_where_nothing_can_be_noted_files_are_written_and_foreign_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "own").write_text("a file where the folder would be")
    monkeypatch.setattr(paths, "own_folder", lambda: tmp_path / "own")
    write_file(tmp_path / "a.pdf", FRESH)
    assert (tmp_path / "a.pdf").read_bytes() == FRESH
    assert is_foreign(tmp_path / "a.pdf")
