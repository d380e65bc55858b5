"""Opening: what is refused, with which sentence, and that nothing foreign is touched."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from desk.base.errors import InputError, NewerOffice, NotAnOffice, OutageError
from desk.base.office_location import office_place
from desk.records.database import open_checks
from desk.records.database.engine import make_engine, sqlite_driver
from desk.records.office.founding import ShopDetails
from desk.records.office.office import Office
from tests.conftest import SHOP


def _fingerprint(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _tell(path: Path, *statements: str) -> None:
    connection = sqlite_driver().connect(str(path), isolation_level=None)
    for statement in statements:
        connection.execute(statement).fetchall()
    connection.close()


def test_an_office_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no office at") as caught:
        Office.open(tmp_path / "nothing.drawoff")
    assert caught.value.exit_status == 2
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [b"<html><body>Not found</body></html>" * 100, b"", b"SQLite format 3\x00" + b"\xff" * 4096],
    ids=["a web page", "nothing", "scribble"],
)
def test_a_foreign_file_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "foreign.drawoff"
    path.write_bytes(content)
    before = _fingerprint(path)
    with pytest.raises(NotAnOffice, match=r"foreign\.drawoff is no office"):
        Office.open(path)
    assert _fingerprint(path) == before
    assert [found.name for found in tmp_path.iterdir()] == ["foreign.drawoff"]


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    _tell(path, "CREATE TABLE cake (id INTEGER)")
    with pytest.raises(NotAnOffice):
        Office.open(path)


def test_an_office_of_a_newer_program_is_left_untouched(office_path: Path) -> None:
    _tell(office_path, f"PRAGMA user_version={open_checks.SCHEMA + 1}")
    before = _fingerprint(office_path)
    with pytest.raises(NewerOffice, match="written by a newer Drawoff"):
        Office.open(office_path)
    assert _fingerprint(office_path) == before
    assert len(list(office_path.parent.iterdir())) == 1


def test_a_cut_off_office_is_refused(office_path: Path) -> None:
    whole = office_path.read_bytes()
    office_path.write_bytes(whole[: len(whole) // 3])
    before = _fingerprint(office_path)
    with pytest.raises(NotAnOffice, match=r"damaged or cut off\. Restore the last backup"):
        Office.open(office_path)
    assert _fingerprint(office_path) == before


def test_an_office_that_lost_a_table_is_called_damaged(office_path: Path) -> None:
    _tell(office_path, "PRAGMA foreign_keys=OFF", "DROP TABLE visit")
    with pytest.raises(NotAnOffice, match="damaged or cut off"):
        Office.open(office_path)


def test_a_newer_program_is_known_by_its_migration_too(office_path: Path) -> None:
    _tell(office_path, "UPDATE alembic_version SET version_num = '9999'")
    before = _fingerprint(office_path)
    with pytest.raises(NewerOffice, match="written by a newer Drawoff"):
        Office.open(office_path)
    assert _fingerprint(office_path) == before


@pytest.mark.parametrize(
    "statement",
    ["DELETE FROM alembic_version", "DROP TABLE alembic_version"],
    ids=["emptied", "gone"],
)
def test_an_office_that_lost_its_migration_number_is_called_damaged(
    office_path: Path, statement: str
) -> None:
    _tell(office_path, statement)
    with pytest.raises(NotAnOffice, match="damaged or cut off"):
        Office.open(office_path)


def test_an_office_in_a_zone_that_is_none_says_so(office_path: Path) -> None:
    _tell(office_path, "UPDATE shop SET zone = 'Mars/Base'")
    with pytest.raises(OutageError, match="time zone Mars/Base is not known"):
        Office.open(office_path)


def test_a_network_share_is_refused_with_the_way_out(
    office_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(open_checks, "mount_kind", lambda _path: "cifs")
    with pytest.raises(InputError, match=r"network share.*PostgreSQL"):
        Office.open(office_path)
    with pytest.raises(InputError, match="network share"):
        Office.create(office_path.with_name("new.drawoff"), SHOP)


def test_the_kind_of_a_mount_is_read_from_the_nearest_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "mounts"
    share = tmp_path / "our share"
    escaped = str(share).replace(" ", "\\040")
    table.write_text(f"/dev/sda1 / ext4 rw 0 0\n//server/x {escaped} cifs rw 0 0\n")
    monkeypatch.setattr(open_checks, "_MOUNTS", table)
    assert open_checks.mount_kind(share / "office.drawoff") == "cifs"
    assert open_checks.mount_kind(tmp_path / "office.drawoff") == "ext4"


def test_a_new_office_needs_its_folder_and_a_free_name(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no folder"):
        Office.create(tmp_path / "missing" / "x.drawoff", SHOP)
    taken = tmp_path / "taken.drawoff"
    taken.write_text("a shopping list")
    with pytest.raises(InputError, match="already there"):
        Office.create(taken, SHOP)
    assert taken.read_text() == "a shopping list"


def test_an_office_that_cannot_be_founded_leaves_no_file(tmp_path: Path) -> None:
    bad = ShopDetails(name="X", zone="America/New_York", system="cubits")
    with pytest.raises(Exception, match="system"):
        Office.create(tmp_path / "bad.drawoff", bad)
    assert list(tmp_path.iterdir()) == []


def test_a_closed_office_is_one_file(office_path: Path) -> None:
    office = Office.open(office_path)
    assert office.zone == "America/New_York"
    office.close()
    assert [found.name for found in office_path.parent.iterdir()] == [office_path.name]


def test_an_office_without_its_shop_says_so(office_path: Path) -> None:
    _tell(office_path, "DELETE FROM shop")
    with pytest.raises(OutageError, match="no shop"):
        Office.open(office_path)


def test_a_read_only_office_can_be_looked_at_and_says_why_it_cannot_be_written(
    office_path: Path,
) -> None:
    from desk.base.texts import message

    office = Office(make_engine(office_path, mode="ro"))
    assert office.zone == "America/New_York"
    with (
        pytest.raises(OutageError, match="read-only"),
        office.unit_of_work(message("Person added")),
    ):
        pass
    office.close()


def test_the_office_is_the_one_given_then_the_environments_then_ones_own() -> None:
    own = Path("own.drawoff")
    assert office_place("a.drawoff", "b.drawoff", own) == Path("a.drawoff")
    assert office_place(None, "b.drawoff", own) == Path("b.drawoff")
    assert office_place(None, None, own) == own
    assert office_place("postgresql+psycopg://x", None, own) == "postgresql+psycopg://x"
    with pytest.raises(InputError, match="Say which office"):
        office_place(" ", None, own)
    for other in ("mysql://a/b", "sqlite:///x", "postgresql://x"):
        with pytest.raises(InputError, match="A server's office is named"):
            office_place(other, None, own)
