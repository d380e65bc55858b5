"""The guard: openers share an office, whoever swaps its file has it alone, and no lock outlives."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import threading
import time
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base import paths
from desk.base.errors import OfficeHeld, OutageError
from desk.records.actions.entering import AddPerson
from desk.records.database.engine import sqlite_driver
from desk.records.fields.person_fields import PersonDetails
from desk.records.office import guard as guards
from desk.records.office import migrate, opening
from desk.records.office.guard import Guard, lock_beside
from desk.records.office.office import Office
from desk.records.tables import Person
from tests.conftest import StillClock
from tests.records.older import make_older

HOLDER = """
import sys, time
from pathlib import Path
from desk.records.office.office import Office
from desk.records.fields.person_fields import PersonDetails
from desk.records.actions.entering import AddPerson
with Office.open(Path(sys.argv[1])) as office:
    office.carry_out(AddPerson(PersonDetails("Ann Poole")))
    print("open", flush=True)
    time.sleep(60)
"""


@pytest.fixture(autouse=True)
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "PATIENCE_S", 0.2)


def _holder(path: Path) -> subprocess.Popen[str]:
    """Open the office in a process of its own, and come back when it has it open."""
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)],
        stdout=subprocess.PIPE,
        env=os.environ | {"PYTHONPATH": str(paths.bundled())},
        text=True,
    )
    assert holder.stdout is not None
    assert holder.stdout.readline() == "open\n"
    return holder


def _names(office: Office) -> set[str]:
    with office.read() as session:
        return set(session.scalars(sa.select(Person.name)))


def _beside(path: Path) -> list[str]:
    return sorted(found.name for found in path.parent.iterdir())


def test_two_programs_share_an_office_and_see_each_others_saves(office_path: Path) -> None:
    with _holder(office_path) as other, Office.open(office_path) as office:
        assert _names(office) == {"Ann Poole"}
        office.carry_out(AddPerson(PersonDetails("Ben Hale")))
        other.kill()
    with Office.open(office_path) as again:
        assert _names(again) == {"Ann Poole", "Ben Hale"}


def test_an_upgrade_is_refused_while_another_program_has_the_office(office_path: Path) -> None:
    make_older(office_path)
    with closing(Guard(office_path)) as other:
        other.share()
        before = _beside(office_path)
        with pytest.raises(OfficeHeld, match=r"Another Drawoff has office\.drawoff open") as caught:
            Office.open(office_path)
        assert caught.value.facts["asked"] == "alone"
        assert _beside(office_path) == before
    with Office.open(office_path) as office:
        assert office.zone


def test_an_upgrade_is_refused_while_a_program_without_the_guard_has_the_office(
    office_path: Path,
) -> None:
    make_older(office_path)
    other = sqlite_driver().connect(str(office_path), isolation_level=None)
    other.execute("PRAGMA journal_mode=WAL").fetchall()
    other.execute("SELECT count(*) FROM shop").fetchall()
    with pytest.raises(OfficeHeld):
        migrate.upgrade_file(office_path, now=StillClock())
    other.execute("UPDATE shop SET name = 'kept'")
    other.close()
    with Office.open(office_path) as office, office.read() as session:
        assert session.scalar(sa.text("SELECT name FROM shop")) == "kept"


def test_who_opens_during_an_upgrade_waits_and_finds_it_done(office_path: Path) -> None:
    make_older(office_path)
    upgrading = Guard(office_path)
    upgrading.alone()
    opened: list[set[str]] = []

    def open_too() -> None:
        with Office.open(office_path) as office:
            opened.append(_names(office))

    waiting = threading.Thread(target=open_too)
    waiting.start()
    migrate.upgrade_file(office_path, now=StillClock())
    assert not opened
    upgrading.share()
    waiting.join()
    upgrading.close()
    assert opened == [set()]
    assert len(list(office_path.parent.glob("*.before-upgrade-*"))) == 1


def test_two_that_both_find_it_old_upgrade_it_once(office_path: Path) -> None:
    make_older(office_path)
    together, ends = threading.Barrier(2), []

    def open_it() -> None:
        together.wait()
        with Office.open(office_path) as office:
            ends.append(office.zone)
            together.wait()  # neither leaves before both are in

    both = [threading.Thread(target=open_it) for _each in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert len(ends) == 2
    assert len(list(office_path.parent.glob("*.before-upgrade-*"))) == 1


def test_who_works_on_the_whole_office_keeps_others_out_with_a_sentence(office_path: Path) -> None:
    with closing(Guard(office_path)) as other:
        other.alone()
        with closing(Guard(office_path)) as mine:
            with pytest.raises(OfficeHeld, match=r"working on the whole of office\.drawoff"):
                mine.share(0.1)
            assert not mine.is_held


def test_the_lock_goes_with_a_killed_program(office_path: Path) -> None:
    with _holder(office_path) as other:
        with closing(Guard(office_path)) as mine:
            assert not mine.try_alone()
        other.kill()
    assert lock_beside(office_path).exists()
    with closing(Guard(office_path)) as mine:
        assert mine.try_alone()
    assert not lock_beside(office_path).exists()


def test_the_lock_is_hidden_empty_and_as_private_as_the_office(office_path: Path) -> None:
    office_path.chmod(0o640)
    with Office.open(office_path):
        lock = lock_beside(office_path)
        assert lock.name == ".office.drawoff.lock"
        assert lock.stat().st_size == 0
        assert stat.S_IMODE(lock.stat().st_mode) == 0o640
    assert _beside(office_path) == ["office.drawoff"]


def test_an_office_that_a_link_leads_to_is_the_same_office(office_path: Path) -> None:
    link = office_path.with_name("link.drawoff")
    link.symlink_to(office_path)
    with Office.open(link), closing(Guard(office_path)) as mine:
        assert not mine.try_alone()
    make_older(office_path)
    with Office.open(link) as office:
        assert office.zone
    assert link.is_symlink()


def test_a_lock_file_that_is_something_else_is_named(office_path: Path) -> None:
    lock_beside(office_path).write_bytes(b"a shopping list" * 100)
    with pytest.raises(OutageError, match=r"\.office\.drawoff\.lock is no lock of this program"):
        Office.open(office_path)


@pytest.mark.skipif(os.name == "nt", reason="there a folder is not made read-only by its mode")
def test_in_a_folder_that_is_read_only_the_office_is_looked_at(office_path: Path) -> None:
    code = """
import os, sys
from pathlib import Path
from zoneinfo import ZoneInfo
from desk.base.errors import OutageError
from desk.records import tables
from desk.records.database.engine import sqlite_driver
from desk.records.office.office import Office
from desk.base.texts import message
tables.map_all(), ZoneInfo("America/New_York"), sqlite_driver()
str(message("Person added"))  # the texts too, from where nobody else may look
if os.geteuid() == 0:
    os.setgid(65534), os.setuid(65534)
with Office.open(Path(sys.argv[1])) as office:
    print(office.zone)
    try:
        with office.unit_of_work(message("Person added")):
            pass
    except OutageError as error:
        print(error)
"""
    folder = office_path.parent
    for above in (folder, *folder.parents)[:5]:  # a worker's own folder is one of them
        if above.owner() == folder.owner() and above.name.startswith(
            ("test_", "pytest-", "popen-")
        ):
            above.chmod(0o755)
    office_path.chmod(0o644)
    folder.chmod(0o555)
    try:
        done = subprocess.run(
            [sys.executable, "-c", code, str(office_path)],
            env=os.environ | {"PYTHONPATH": str(paths.bundled())},
            capture_output=True, text=True, check=False,
        )  # fmt: skip
    finally:
        folder.chmod(0o755)
    assert done.stdout.splitlines() == [
        "America/New_York",
        "The office is read-only here: this account may not write to it.",
    ], done.stderr
    assert _beside(office_path) == ["office.drawoff"]


def test_nobody_shares_what_somebody_has_alone_however_fast_they_come_and_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guards, "_AGAIN_S", 0.001)
    office = tmp_path / "office.drawoff"
    office.touch()
    sharing, alone, wrong, done = set[int](), set[int](), list[str](), list[str]()
    until = time.monotonic() + 0.5

    def come_and_go(number: int) -> None:
        while time.monotonic() < until:
            mine = Guard(office)
            if number % 2:
                mine.share()
                sharing.add(number)
                if alone:
                    wrong.append("shared beside one that has it alone")
                sharing.discard(number)
                done.append("shared")
            elif mine.try_alone():
                alone.add(number)
                if sharing or len(alone) > 1:
                    wrong.append("alone beside others")
                alone.discard(number)
                done.append("alone")
            mine.close()

    threads = [threading.Thread(target=come_and_go, args=(number,)) for number in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert not wrong
    assert {"shared", "alone"} == set(done)
    assert _beside(office) == ["office.drawoff"]
