"""Who may read an office, its safety copies, and what the program writes."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from desk.base.files import said_of_readers, whole_file, write_file
from desk.base.texts import say
from desk.records.office import migrate
from desk.records.office.office import Office
from desk.trade.content.findings import ContentItem
from desk.trade.content.loader import load_content
from desk.trade.content.shop_store import OwnFolder
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
    backup = migrate.upgrade_file(office_path, now=StillClock())
    assert mode(office_path) == before
    assert mode(backup) == before


@pytest.mark.parametrize(("umask", "after"), [(0o022, 0o644), (0o077, 0o600), (0o027, 0o640)])
def test_what_is_written_has_the_umasks_mode(tmp_path: Path, umask: int, after: int) -> None:
    os.umask(umask)
    write_file(tmp_path / "report.pdf", b"%PDF")
    assert mode(tmp_path / "report.pdf") == after


def test_a_private_file_that_is_written_over_stays_private(tmp_path: Path) -> None:
    write_file(tmp_path / "report.pdf", b"%PDF")
    (tmp_path / "report.pdf").chmod(0o600)
    with whole_file(tmp_path / "report.pdf") as stream:
        stream.write(b"%PDF newer")
        assert {mode(one) for one in tmp_path.iterdir()} == {0o600}, "also while it is written"
    assert mode(tmp_path / "report.pdf") == 0o600


@pytest.mark.parametrize(
    ("office", "file", "folder"), [(0o600, 0o600, 0o700), (0o644, 0o644, 0o755)]
)
def test_own_checks_are_as_private_as_their_office(
    office_path: Path, office: int, file: int, folder: int
) -> None:
    office_path.chmod(office)
    checks = office_path.with_name(f"{office_path.name}.checks")
    OwnFolder(checks, load_content()).copy_out(ContentItem("check", "danger", "hot-water"))
    written = [one for one in checks.rglob("*") if one.is_file()]
    assert len(written) > 1
    assert {mode(one) for one in written} == {file}
    assert {mode(one) for one in (checks, *checks.rglob("*")) if one.is_dir()} == {folder}


def test_an_office_that_others_can_read_is_told_once(office_path: Path) -> None:
    folders = [one for one in office_path.parents if one.stat().st_uid == os.geteuid()]
    before = {one: mode(one) for one in folders}
    try:
        for one in folders:
            one.chmod(before[one] | 0o055)
        office_path.chmod(0o600)
        assert said_of_readers(office_path) is None
        office_path.chmod(0o644)
        told = said_of_readers(office_path)
        assert told is not None
        assert say(told).startswith("Every account on this machine can read office.drawoff.")
        assert said_of_readers(office_path) is None
        office_path.parent.chmod(0o700)
        other = office_path.with_name("other.drawoff")
        other.write_bytes(office_path.read_bytes())
        other.chmod(0o644)
        assert said_of_readers(other) is None, "nobody else comes as far as the file"
    finally:
        for one in reversed(folders):
            one.chmod(before[one])
