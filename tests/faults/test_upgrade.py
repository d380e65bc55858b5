"""Upgrades that are killed, or asked for while others save: nothing is lost or unsound."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base import paths
from desk.base.errors import OfficeHeld
from desk.records.database import open_checks
from desk.records.database.engine import sqlite_driver
from desk.records.office import opening
from desk.records.office.guard import lock_beside
from desk.records.office.office import Office
from desk.records.tables import Person
from tests.records.older import make_older

UPGRADER, SAVER = (Path(__file__).with_name(f"{name}.py") for name in ("upgrader", "saver"))


def _run(script: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, str(script), *words],
        stdout=subprocess.PIPE,
        env=os.environ | {"PYTHONPATH": str(paths.bundled())},
        text=True,
    )


def _unsound(folder: Path) -> list[str]:
    """Return the names of the safety copies that are no sound offices."""
    wrong = []
    for copy in folder.glob("*.before-upgrade-*"):
        connection = sqlite_driver().connect(str(copy), isolation_level=None)
        try:
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert connection.execute("SELECT count(*) FROM shop").fetchone() == (1,)
        except (AssertionError, sqlite_driver().Error):
            wrong.append(copy.name)
        finally:
            connection.close()
    return wrong


def _left(path: Path) -> set[str]:
    """Return what lies beside an office that is no safety copy with its name."""
    names = {found.name for found in path.parent.iterdir()} - {path.name}
    return {name for name in names if ".before-upgrade-2" not in name}


def test_an_upgrade_killed_while_it_copies_leaves_no_unsound_copy_and_is_done_at_once_again(
    office_path: Path,
) -> None:
    make_older(office_path)
    with _run(UPGRADER, str(office_path), "500") as killed:
        assert killed.wait() == -signal.SIGKILL
    assert _unsound(office_path.parent) == []
    with Office.open(office_path) as office:
        assert office.zone
    assert _unsound(office_path.parent) == []
    assert _left(office_path) == set()


@pytest.mark.fault
def test_sixty_killed_upgrades_leave_sound_copies_and_an_office_that_opens(
    office_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    make_older(office_path)
    chance = random.Random(2026)
    started = time.monotonic()
    with _run(UPGRADER, str(office_path)) as whole:
        assert whole.wait() == 0
    longest = time.monotonic() - started
    killed = unsound = copies = 0
    for turn in range(60):
        folder = tmp_path / str(turn)
        folder.mkdir()
        place = folder / "office.drawoff"
        shutil.copyfile(office_path, place)
        make_older(place)
        with _run(UPGRADER, str(place)) as one:
            time.sleep(chance.uniform(0.3, 1) * longest)
            one.send_signal(signal.SIGKILL)
            killed += one.wait() != 0
        unsound += len(_unsound(folder))
        with Office.open(place) as office:
            assert office.zone
        unsound += len(_unsound(folder))
        copies += len(list(folder.glob("*.before-upgrade-*")))
        assert _left(place) == set()
    with capsys.disabled():
        sys.stdout.write(f"\nkilled upgrades: {killed}, copies: {copies}, unsound: {unsound}\n")
    assert killed > 20
    assert unsound == 0


@pytest.mark.parametrize("tries", [1, pytest.param(25, marks=pytest.mark.fault)])
def test_an_upgrade_that_is_asked_for_while_a_program_saves_loses_none_of_its_saves(
    office_path: Path,
    tries: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(opening, "PATIENCE_S", 0.1)
    refused = 0
    with _run(SAVER, str(office_path)) as saver, monkeypatch.context() as older:
        assert saver.stdout is not None
        said = saver.stdout.readline()
        older.setattr(open_checks, "check_file", lambda *_asked: open_checks.SCHEMA - 1)
        for _turn in range(tries):
            try:
                Office.open(office_path).close()
            except OfficeHeld:
                refused += 1
        time.sleep(0.1)
        saver.send_signal(signal.SIGKILL)
        acknowledged = {
            line.split()[0] for line in (said + saver.stdout.read()).splitlines()[:-1]
        }  # the last line may be torn by the kill
    with Office.open(office_path) as office, office.read() as session:
        kept = set(session.scalars(sa.select(Person.name)))
        assert session.scalar(sa.text("PRAGMA integrity_check")) == "ok"
    if tries > 1:
        with capsys.disabled():
            sys.stdout.write(
                f"\nupgrades refused: {refused} of {tries}; "
                f"acknowledged: {len(acknowledged)}; lost: {len(acknowledged - kept)}\n"
            )
    assert (acknowledged - kept, refused) == (set(), tries)
    assert not lock_beside(office_path).exists()
