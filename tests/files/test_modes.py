"""Who may read an office, its safety copies, and what the program writes."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from desk.records import upgrade
from desk.records.office import Office
from sample_db.build import build
from tests.conftest import SHOP, StillClock


@pytest.fixture(autouse=True)
def usual_umask() -> Iterator[None]:
    """The umask of most machines: everybody may read what is made."""
    before = os.umask(0o022)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_new_office_is_its_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "new.drawoff"
    with Office.create(path, SHOP, now=StillClock()) as office:
        assert office.zone
        assert {one.name: mode(one) for one in tmp_path.iterdir()} == {
            "new.drawoff": 0o600, "new.drawoff-wal": 0o600, "new.drawoff-shm": 0o600,
            ".new.drawoff.lock": 0o600,
        }  # fmt: skip


def test_an_invented_office_is_its_owners_alone(tmp_path: Path) -> None:
    build(tmp_path / "sample.drawoff", visits=1, as_of=date(2026, 11, 24))
    assert mode(tmp_path / "sample.drawoff") == 0o600


@pytest.mark.parametrize("before", [0o600, 0o640, 0o664])
def test_an_upgrade_keeps_an_offices_mode_and_its_copy_has_it_too(
    office_path: Path, before: int
) -> None:
    office_path.chmod(before)
    backup = upgrade.upgrade_file(office_path, now=StillClock())
    assert mode(office_path) == before
    assert mode(backup) == before
