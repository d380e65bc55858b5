"""The head of the journal refuses nothing that a kill leaves, and finds each restored copy."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base import paths
from desk.base.errors import UnsoundOffice
from desk.records.actions.entering import AddPerson
from desk.records.check_up import check_up
from desk.records.fields.person_fields import PersonDetails
from desk.records.journal import heads
from desk.records.office.office import Office
from desk.records.office.sound_part import keep_sound_part
from desk.records.tables import Person
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.faults.kills import MANY, see_none_lost

KILLER, TOGETHER = (Path(__file__).with_name(f"{name}.py") for name in ("killer", "together"))


@pytest.mark.parametrize("kills", every_day([5, MANY], [5]))
def test_no_kill_makes_an_office_that_is_refused_or_lacks_a_save(
    office_path: Path, kills: int, capsys: pytest.CaptureFixture[str]
) -> None:
    see_none_lost(KILLER, office_path, kills, capsys)


def _killed_in_the_middle(path: Path, names: list[str]) -> None:
    """Leave file, log and head as a program leaves them that is killed after these saves."""
    files = [path, path.with_name(f"{path.name}-wal"), heads.beside(path)]
    with Office.open(path) as office:
        for name in names:
            office.carry_out(AddPerson(PersonDetails(name)))
        left = {one: one.read_bytes() for one in files}
    for one, content in left.items():
        one.write_bytes(content)


@pytest.mark.fault
def test_ten_backups_put_back_over_a_killed_office_are_found_and_stay_as_they_were(
    empty_office: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chance, found, whole = random.Random(2026), 0, 0
    for turn in range(10):
        place, backup = tmp_path / f"{turn}.drawoff", tmp_path / f"{turn}.backup"
        shutil.copyfile(empty_office, place)
        sessions = chance.randint(2, 5)
        backed_up_after = chance.randint(0, sessions - 2)
        kept: set[str] = set()
        for session in range(sessions):
            names = [f"{session}-{number}" for number in range(chance.randint(1, 12))]
            with Office.open(place) as office:
                for name in names:
                    office.carry_out(AddPerson(PersonDetails(name)))
            if session <= backed_up_after:
                kept |= set(names)
            if session == backed_up_after:
                shutil.copyfile(place, backup)
        _killed_in_the_middle(place, [f"last-{number}" for number in range(4)])
        shutil.copyfile(backup, place)
        try:
            Office.open(place).close()
        except UnsoundOffice:
            found += place.read_bytes() == backup.read_bytes()
        keep_sound_part(place, now=StillClock())
        with Office.open(place) as office, office.read() as looking:
            sound = looking.scalar(sa.text("PRAGMA integrity_check")) == "ok"
            whole += sound and set(looking.scalars(sa.select(Person.name))) == kept
    with capsys.disabled():
        sys.stdout.write(f"\nbackups put back: 10; found, untouched: {found}; whole: {whole}\n")
    assert (found, whole) == (10, 10)


@pytest.mark.fault
def test_programs_that_come_save_and_go_at_once_are_never_refused(
    office_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = subprocess.run(
        [sys.executable, str(TOGETHER), str(office_path), "20"],
        env=os.environ | {"PYTHONPATH": str(paths.bundled())},
        capture_output=True,
        text=True,
        check=True,
    )
    told = json.loads(done.stdout)
    with capsys.disabled():
        sys.stdout.write(f"\nthree programs at once for 20 s: {told}\n")
    assert told["saved"] > 100
    assert told == {"saved": told["saved"], "there": told["saved"]}
    assert [finding.sentence for finding in check_up(office_path, now=StillClock())] == []
