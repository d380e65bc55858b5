"""Exports: stable to the byte, harmless to a spreadsheet, whole or not there at all."""

from __future__ import annotations

import csv
import hashlib
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.csv_cells import guard, unguard
from desk.base.errors import InputError, OutageError
from desk.base.files import Target
from desk.records.database.open_checks import SCHEMA
from desk.records.exchange.visits_out import VISIT_COLUMNS, export_visits
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.tables import map_all
from desk.records.visits import lifecycle
from desk.records.whole_office.dump import export_everything
from tests.conftest import StillClock
from tests.records.jobs import ACT, begin_job, take_job


def _fingerprint(content: bytes) -> str:
    """Return the SHA-256 of everything before the last line."""
    return hashlib.sha256(b"".join(content.splitlines(keepends=True)[:-1])).hexdigest()


def test_two_exports_of_an_unchanged_office_are_the_same_bytes(
    office: Office, clock: StillClock, tmp_path: Path
) -> None:
    begin_job(office, clock).work_through({})
    first, second = tmp_path / "a.jsonl", tmp_path / "b.jsonl"
    count = export_everything(office, first)
    clock.pass_minutes(60)
    assert export_everything(office, second) == count
    assert first.read_bytes() == second.read_bytes()
    lines = [json.loads(line) for line in first.read_text().splitlines()]
    assert lines[0] == {"drawoff": "everything", "format": 2, "tables": SCHEMA}
    assert lines[-1]["rows"] == count == len(lines) - 2
    assert lines[-1]["sha256"] == _fingerprint(first.read_bytes())
    tables = [line["table"] for line in lines[1:-1]]
    assert tables == sorted(tables)
    assert {"visit", "check_result", "change_set", "customer"} <= set(tables)


def test_every_row_of_every_table_is_there(
    office: Office, clock: StillClock, tmp_path: Path
) -> None:
    import sqlalchemy as sa

    begin_job(office, clock).work_through({})
    target = tmp_path / "all.jsonl"
    export_everything(office, target)
    exported = [json.loads(line)["table"] for line in target.read_text().splitlines()[1:-1]]
    with office.read() as session:
        for name, table in map_all().metadata.tables.items():
            rows = session.scalar(sa.select(sa.func.count()).select_from(table))
            assert exported.count(name) == rows, name


def test_visits_come_out_in_the_offices_time_with_its_offset(
    office: Office, clock: StillClock, tmp_path: Path
) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, cause="element_stuck")
        lifecycle.finish(session, job.visit, "to_continue")
        lifecycle.take_call(
            session,
            CallDetails("no_response", appliance_id=job.appliance, continues_id=job.visit),
        )
    target = tmp_path / "visits.csv"
    assert export_visits(office, target) == 2
    with target.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert tuple(rows[0]) == VISIT_COLUMNS
    assert rows[0]["received"] == "2026-11-24T08:00:00-05:00"
    assert rows[0]["state"] == "finished"
    assert rows[0]["ending"] == "to_continue"
    assert rows[0]["cause"] == "element_stuck"
    assert rows[0]["appliance"] == rows[1]["appliance"] == "A-H0001"
    assert (rows[0]["continues"], rows[1]["continues"]) == ("", "A-00001")


def test_a_cell_that_a_spreadsheet_would_run_is_written_harmlessly(
    office: Office, clock: StillClock, tmp_path: Path
) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        from desk.records.journal.row_access import row_of
        from desk.records.tables import Appliance

        row_of(session, Appliance, job.appliance).model = '=HYPERLINK("x")'
    target = tmp_path / "visits.csv"
    export_visits(office, target)
    with target.open(encoding="utf-8", newline="") as stream:
        assert next(csv.DictReader(stream))["model"] == '\'=HYPERLINK("x")'


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1+1", "'=1+1"),
        ("  +1", "'  +1"),
        ("-5", "'-5"),
        ("@x", "'@x"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("\0x", "'\0x"),
        ("'=1", "''=1"),
        ("'hello", "'hello"),
        ("plain", "plain"),
        ("", ""),
        ("a=b", "a=b"),
    ],
)
def test_which_cells_gain_a_quote(cell: str, written: str) -> None:
    assert guard(cell) == written


@given(st.text(alphabet=st.sampled_from("'=+-@\t\r\0 ab")))
def test_exactly_one_quote_is_taken_off_again(cell: str) -> None:
    assert unguard(guard(cell)) == cell


def test_an_export_into_a_missing_folder_is_refused(office: Office, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no folder"):
        export_everything(office, tmp_path / "missing" / "x.jsonl")
    with pytest.raises(InputError, match="is a folder"):
        export_everything(office, tmp_path)


def test_an_export_that_fails_leaves_the_old_file_and_nothing_else(
    office: Office, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import errno

    from desk.records.whole_office import dump

    target = tmp_path / "all.jsonl"
    target.write_text("yesterday's")
    before = sorted(tmp_path.iterdir())

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(dump, "_write", full)
    with pytest.raises(OutageError, match="disk is full"):
        export_everything(office, Target(target, replace=True))
    assert target.read_text() == "yesterday's"
    assert sorted(tmp_path.iterdir()) == before
