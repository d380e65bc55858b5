"""Killed in the middle of recording: every acknowledged answer is there on reopening."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
import uuid
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base import paths
from desk.records.actions.visit import SeeVisit
from desk.records.office.office import Office
from desk.records.tables import ChangeSet, Visit
from desk.records.visits.checks import results_of
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.faults.kills import MANY, see_none_lost
from tests.records.jobs import Job, begin_job

ARRIVED = {"danger": "none", "flooding": "dry", "allowed": "yes", "old_materials": "none"}
RECORDER = Path(__file__).parent / "recorder.py"
TYPIST = Path(__file__).parent / "typist.py"
AT_THE_WINDOWS = Path(__file__).parent / "window_killer.py"


def _killed_after(place: Path, visit: uuid.UUID, seconds: float) -> list[str]:
    """Record in a process of its own, kill it, and return what it acknowledged."""
    environment = os.environ | {"PYTHONPATH": str(paths.bundled())}
    with subprocess.Popen(
        [sys.executable, str(RECORDER), str(place), visit.hex],
        stdout=subprocess.PIPE,
        env=environment,
        text=True,
    ) as recorder:
        assert recorder.stdout is not None
        acknowledged = [recorder.stdout.readline()]  # it is under way once it has said something
        time.sleep(seconds)
        recorder.send_signal(signal.SIGKILL)
        acknowledged += recorder.stdout.read().splitlines()
    return [line for line in acknowledged if len(line.split()) == 3]


def _rounds(job: Job, place: Path, rounds: int) -> int:
    for check, answer in ARRIVED.items():
        job.answer(check, answer)
    job.office.close()
    chance = random.Random(2026)
    acknowledged: list[str] = []
    for _ in range(rounds):
        acknowledged += _killed_after(place, job.visit, chance.uniform(0.005, 0.15))
        with Office.open(place) as office, office.read() as session:
            kept = {row.id.hex: row for row in results_of(session, job.visit)}
            for line in acknowledged:
                key, answer, turn = line.split()
                assert (kept[key].answer, kept[key].note) == (answer, turn)
            answers = [row for row in kept.values() if row.check_id == "what_happens"]
            standing = [row for row in answers if not row.superseded]
            assert len(standing) == 1
            assert standing[0].id == max(row.id for row in answers)
            assert session.scalar(sa.text("PRAGMA integrity_check")) == "ok"
            assert session.execute(sa.text("PRAGMA foreign_key_check")).all() == []
            numbers = session.scalars(sa.select(ChangeSet.number).order_by(ChangeSet.number)).all()
            assert numbers == list(range(1, len(numbers) + 1))
            assert session.get_one(Visit, job.visit).state == "under_way"
    return len(acknowledged)


def test_three_kills_lose_no_acknowledged_answer(
    office: Office, clock: StillClock, office_path: Path
) -> None:
    assert _rounds(begin_job(office, clock), office_path, 3) > 6


@pytest.mark.fault
def test_a_hundred_kills_lose_no_acknowledged_answer(
    office: Office, clock: StillClock, office_path: Path
) -> None:
    assert _rounds(begin_job(office, clock), office_path, 100) > 200


@pytest.mark.parametrize("kills", every_day([2, MANY], [2]))
def test_no_kill_of_the_real_windows_loses_what_they_showed_as_kept(
    tmp_path: Path, kills: int, capsys: pytest.CaptureFixture[str]
) -> None:
    see_none_lost(AT_THE_WINDOWS, tmp_path, kills, capsys)


@pytest.mark.fault
def test_what_was_half_typed_is_there_after_a_kill(office_path: Path, clock: StillClock) -> None:
    with Office.open(office_path, now=clock) as office:
        job = begin_job(office, clock)
    environment = os.environ | {"PYTHONPATH": str(paths.bundled())}
    with subprocess.Popen(
        [sys.executable, str(TYPIST), str(office_path), job.visit.hex],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment,
        text=True,
    ) as typist:
        assert typist.stdout is not None
        assert typist.stdout.readline() == "saved\n"
        typist.send_signal(signal.SIGKILL)
    with Office.open(office_path) as office:
        assert office.answer(SeeVisit(job.visit)).half_typed == {
            "small_work": "Cleaned the aer",
            "reading_tap_temperature_found": "about 12",
        }
