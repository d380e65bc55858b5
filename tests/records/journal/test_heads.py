"""Office, log and the head beside: a kill leaves them sound; what is foreign or lost is found."""

from __future__ import annotations

import shutil
import stat
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, OfficeGone, OutageError, UnsoundOffice
from desk.records.actions.entering import AddPerson
from desk.records.check_up import check_up
from desk.records.database.engine import fold_log, sqlite_driver
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal import heads
from desk.records.office import office as offices
from desk.records.office.guard import lock_beside
from desk.records.office.office import Office
from desk.records.office.sound_part import keep_sound_part
from desk.records.tables import Person
from tests.conftest import SHOP, StillClock
from tests.records.older import make_older

NOW = StillClock()


def _add(office: Office, *names: str) -> None:
    for name in names:
        office.carry_out(AddPerson(PersonDetails(name)))


def _save(path: Path, *names: str) -> None:
    with Office.open(path) as office:
        _add(office, *names)


def _saved(path: Path) -> set[str]:
    with Office.open(path) as office, office.read() as session:
        return set(session.scalars(sa.select(Person.name)))


def _kill_after(path: Path, *names: str) -> None:
    """Leave the folder as a program does that saves and is killed."""
    files = [path, path.with_name(f"{path.name}-wal"), heads.beside(path)]
    with Office.open(path) as office:
        _add(office, *names)
        left = {one: one.read_bytes() for one in files}
    for one, content in left.items():
        one.write_bytes(content)


def _all_files(path: Path) -> dict[str, bytes]:
    passing = {f"{path.name}-shm", lock_beside(path).name}
    found = (one for one in path.parent.iterdir() if one.name not in passing)
    return {one.name: one.read_bytes() for one in found}


def test_a_killed_program_leaves_a_sound_office(office_path: Path) -> None:
    for turn in range(4):
        _kill_after(office_path, f"Ann {turn}", f"Ben {turn}")
        assert _saved(office_path) == {f"{n} {k}" for n in ("Ann", "Ben") for k in range(turn + 1)}


@pytest.mark.parametrize("head", [None, b"", b"torn {", b"{}"])
def test_a_head_that_is_missing_or_torn_is_sound(office_path: Path, head: bytes | None) -> None:
    _save(office_path, "Ann")
    heads.beside(office_path).unlink()
    if head is not None:
        heads.beside(office_path).write_bytes(head)
    assert _saved(office_path) == {"Ann"}


def test_a_journal_that_is_ahead_of_the_head_beside_is_sound(office_path: Path) -> None:
    _save(office_path, "Ann")
    before = heads.beside(office_path).read_bytes()
    _save(office_path, "Ben")
    heads.beside(office_path).write_bytes(before)
    assert _saved(office_path) == {"Ann", "Ben"}
    _save(office_path, "Cy")
    told = heads.read(office_path)
    assert told is not None
    assert told.sets == 4


def test_the_head_beside_is_as_private_as_the_office(office_path: Path) -> None:
    office_path.chmod(0o640)
    _save(office_path, "Ann")
    assert stat.S_IMODE(heads.beside(office_path).stat().st_mode) == 0o640
    assert sorted(one.name for one in office_path.parent.iterdir()) == [
        ".office.drawoff.head",
        "office.drawoff",
    ]


def foreign_log(path: Path) -> None:
    """A backup is put back over an office whose killed program left its log."""
    backup = path.with_name("backup")
    shutil.copyfile(path, backup)
    _save(path, "Ann", "Ben")
    _kill_after(path, "Cy")
    shutil.copyfile(backup, path)
    backup.unlink()


def lost_log(path: Path) -> None:
    """The log of a killed program was taken away, and with it what was saved."""
    _kill_after(path, "Ann", "Ben")
    path.with_name(f"{path.name}-wal").unlink()


def older_copy(path: Path) -> None:
    """A backup is put back over a closed office."""
    backup = path.with_name("backup")
    shutil.copyfile(path, backup)
    _save(path, "Ann")
    backup.replace(path)


def other_history(path: Path) -> None:
    """A copy on which somebody else went on takes the office's place."""
    copy = path.with_name("copy")
    shutil.copyfile(path, copy)
    _save(path, "Ann")
    _save(copy, "Ben", "Cy")
    heads.forget(copy)
    copy.replace(path)


def before_the_chain(path: Path) -> None:
    """The safety copy of an upgrade takes the office's place."""
    _save(path, "Ann")
    copy = path.with_name("copy")
    shutil.copyfile(path, copy)
    make_older(copy)
    copy.replace(path)


HARMS = pytest.mark.parametrize(
    ("harm", "kind", "sound"),
    [
        (foreign_log, heads.FOREIGN_LOG, set()),
        (lost_log, heads.BEHIND, set()),
        (older_copy, heads.BEHIND, set()),
        (other_history, heads.DIFFERS, {"Ben", "Cy"}),
        (before_the_chain, heads.OTHER, {"Ann"}),
    ],
)


@HARMS
def test_what_does_not_belong_together_opens_nothing_and_its_sound_part_can_be_kept(
    office_path: Path, harm: Callable[[Path], None], kind: str, sound: set[str]
) -> None:
    harm(office_path)
    before = _all_files(office_path)
    for _turn in range(2):
        with pytest.raises(UnsoundOffice, match="nothing was written") as caught:
            Office.open(office_path)
        assert caught.value.facts["kind"] == kind
        assert _all_files(office_path) == before
    aside = keep_sound_part(office_path, now=NOW)
    assert aside is not None
    assert aside.read_bytes() == before[office_path.name]
    log = before.get(f"{office_path.name}-wal")
    if log is not None:
        assert aside.with_name(f"{aside.name}-wal").read_bytes() == log
    assert _saved(office_path) == sound
    _save(office_path, "Dee")
    assert _saved(office_path) == sound | {"Dee"}
    with closing(sqlite_driver().connect(str(office_path))) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


@HARMS
def test_a_check_up_says_what_does_not_belong_together_and_changes_nothing(
    office_path: Path, harm: Callable[[Path], None], kind: str, sound: set[str]
) -> None:
    harm(office_path)
    before = _all_files(office_path)
    office_path.with_name(f"{office_path.name}-shm").touch()
    said = [finding.sentence for finding in check_up(office_path, now=NOW)]
    assert heads.sentence(kind, office_path) in said
    assert _all_files(office_path) == before


def test_of_a_sound_office_nothing_is_copied_aside(office_path: Path) -> None:
    _save(office_path, "Ann")
    before = _all_files(office_path)
    assert keep_sound_part(office_path, now=NOW) is None
    assert _all_files(office_path) == before


def test_a_new_office_in_the_place_of_an_old_one_is_not_held_to_its_head(
    office_path: Path,
) -> None:
    from tests.conftest import SHOP

    _save(office_path, "Ann")
    office_path.unlink()
    Office.create(office_path, SHOP).close()
    assert _saved(office_path) == set()


def test_a_backup_written_over_an_open_office_is_noticed_before_a_command(
    office_path: Path,
) -> None:
    backup = office_path.with_name("backup")
    shutil.copyfile(office_path, backup)
    _save(office_path, "Ann")
    with Office.open(office_path) as office:
        _add(office, "Ben")
        fold_log(office._engine)
        _add(office, "Cy")
        office_path.write_bytes(backup.read_bytes())
        with pytest.raises(OfficeGone, match="Another file was put in the place"):
            _add(office, "Dee")
    assert office_path.read_bytes() == backup.read_bytes(), "closing folds nothing into it"
    with pytest.raises(UnsoundOffice):
        Office.open(office_path)
    keep_sound_part(office_path, now=NOW)
    assert _saved(office_path) == set()


def test_the_log_is_folded_back_and_commands_go_on(
    office_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from desk.records.office import identity

    monkeypatch.setattr(identity, "LONGEST_LOG", 100_000)
    log = office_path.with_name(f"{office_path.name}-wal")
    sizes = []
    with Office.open(office_path) as office, Office.open(office_path) as other:
        for number in range(12):
            _add(office if number % 2 else other, f"Ann {number}")
            sizes.append(log.stat().st_size)
    assert 0 in sizes
    assert max(sizes) > 50_000
    assert len(_saved(office_path)) == 12


def test_a_log_that_cannot_be_folded_back_fails_no_command(
    office_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from desk.records.office import identity

    monkeypatch.setattr(identity, "LONGEST_LOG", 1)
    with Office.open(office_path) as office:
        _add(office, "Ann")
        with office.read() as reading:
            reading.scalars(sa.select(Person.name)).all()
            _add(office, "Ben", "Cy")
            assert office_path.with_name(f"{office_path.name}-wal").stat().st_size
        _add(office, "Dee")
    assert _saved(office_path) == {"Ann", "Ben", "Cy", "Dee"}


def test_a_file_whose_log_was_half_folded_back_is_sound(office_path: Path) -> None:
    log = office_path.with_name(f"{office_path.name}-wal")
    with Office.open(office_path) as office:
        _add(office, *(f"Ann {number} {3_000 * 'x'}" for number in range(8)))
        grown = log.read_bytes()
        before = office_path.read_bytes()
        fold_log(office._engine)
        after, told = office_path.read_bytes(), heads.beside(office_path).read_bytes()
    assert len(after) > len(before)
    half = after[:4096] + before[4096:]  # its first page already says how long it will be
    for path, content in ((office_path, half), (log, grown), (heads.beside(office_path), told)):
        path.write_bytes(content)
    assert heads.wrong(office_path) is None
    assert heads.wrong(office_path, is_open=True) == heads.HALF_FOLDED
    assert len(_saved(office_path)) == 8


@pytest.mark.parametrize("folded", [True, False], ids=["usual", "killed while it was made"])
def test_a_new_office_that_was_never_closed_is_shared_and_outlives_a_kill(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, folded: bool
) -> None:
    path, killed = tmp_path / "new.drawoff", tmp_path / "killed" / "new.drawoff"
    killed.parent.mkdir()
    if not folded:
        monkeypatch.setattr(offices, "fold_log", lambda _engine: None)
    with Office.create(path, SHOP) as office:
        _add(office, "Ann")
        assert _saved(path) == {"Ann"}, "beside the window that made it"
        assert list(check_up(path, now=NOW)) == []
        for part in (path, path.with_name(f"{path.name}-wal"), heads.beside(path)):
            shutil.copyfile(part, killed.with_name(part.name))
    assert _saved(killed) == {"Ann"}
    _save(killed, "Bea")
    assert _saved(killed) == {"Ann", "Bea"}


def test_a_file_that_is_empty_for_a_moment_keeps_its_log(office_path: Path) -> None:
    """As while a backup is copied over it: SQLite takes the log of an empty file away."""
    backup = office_path.read_bytes()
    with Office.open(office_path) as office:
        _add(office, "Ann")
        log = office_path.with_name(f"{office_path.name}-wal")
        saved = log.read_bytes()
        office_path.write_bytes(b"")
        with pytest.raises(OfficeGone):
            office.see_same()
        with pytest.raises(OutageError, match="is empty"):
            Office.open(office_path)
        office_path.write_bytes(backup)
        assert log.read_bytes() == saved
    assert log.read_bytes() == saved


def test_no_new_office_is_made_over_the_log_of_one_that_was_there(office_path: Path) -> None:
    _kill_after(office_path, "Ann")
    aside = office_path.with_name("aside.drawoff")
    office_path.rename(aside)
    with pytest.raises(InputError, match=r"office\.drawoff-wal holds what was last saved"):
        Office.create(office_path, SHOP)
    aside.rename(office_path)
    assert _saved(office_path) == {"Ann"}
