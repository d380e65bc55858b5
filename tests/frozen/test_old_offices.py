"""An office of each schema that there was opens, is sound, and says what it said.

They lie in ``offices/``, each made by the program that had its schema (``offices/README.md``), and
are upgraded by the first command that opens them. The golden ``offices/schema-NN.txt`` holds every
table of ``export everything`` and the text of an amended report, ``reports-NN.txt`` each page of
each visit's report, as :mod:`tests.frozen.told` tells them. Nothing is masked: an upgrade writes no
time and no key of its own.

Where that is *meant* to change (a new schema adds to the tables, a page is laid out anew),
``DRAWOFF_REWRITE_GOLDENS=1`` with ``-m ""`` writes the goldens anew, and the commit shows what came
of it. What was sealed is held to its bytes besides, which no golden can change.
"""

from __future__ import annotations

import json
import sqlite3
import tarfile
from base64 import b64decode
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from desk.cli import main
from tests.every_day import every_day
from tests.frozen.told import hold, told
from tests.paper.reading_back import pages_of, text_of

OFFICES = Path(__file__).parent / "offices"
SCHEMAS = range(1, 18)
OFTEN = (1, 9, 17)
SEALED = 8
"""Revisions that each office had sealed."""

type Sealed = dict[tuple[str, int], tuple[bytes, str]]
"""The kept bytes and their fingerprint, by the visit's key and the revision."""


@dataclass(frozen=True)
class Upgraded:
    """An old office after its first command.

    Attributes:
        schema: which it had.
        place: where it lies.
        sealed: what it kept of sealed reports before any program of today had opened it.
    """

    schema: int
    place: Path
    sealed: Sealed

    @cached_property
    def _lines(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.everything.read_text().splitlines()]

    @property
    def schema_of_today(self) -> int:
        newest: int = self._lines[0]["tables"]
        return newest

    @property
    def everything(self) -> Path:
        return self.place.with_name("everything.jsonl")

    def report(self, number: str) -> Path:
        """Print the report of a visit, unless that was done."""
        pdf = self.place.with_name(f"{number}.pdf")
        if not pdf.exists():
            assert main(["report", number, "--pdf", str(pdf), "--office", str(self.place)]) == 0
        return pdf

    def of_table(self, table: str) -> list[dict[str, Any]]:
        return [row for row in self._lines if row.get("table") == table]


@pytest.fixture(scope="module", params=every_day(SCHEMAS, OFTEN))
def office(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Upgraded:
    name = f"schema-{request.param:02d}.drawoff"
    place = tmp_path_factory.mktemp("old") / name
    _unpack(name, place)
    assert _schema_of(place) == request.param
    upgraded = Upgraded(request.param, place, _sealed_in(place))
    where = [str(upgraded.everything), "--office", str(place)]
    assert main(["export", "everything", *where]) == 0
    return upgraded


def _unpack(name: str, place: Path) -> None:
    for archive in OFFICES.glob("*.tar.xz"):
        with tarfile.open(archive) as packed:
            if name in packed.getnames():
                content = packed.extractfile(name)
                assert content is not None
                place.write_bytes(content.read())
                place.chmod(0o600)
                return
    pytest.fail(f"there is no {name}")


def _schema_of(place: Path) -> int:
    return int.from_bytes(place.read_bytes()[60:64])  # SQLite keeps the user_version there


def _sealed_in(place: Path) -> Sealed:
    """Read the rows with nothing of ours, so that no column type of today stands between."""
    connection = sqlite3.connect(f"file:{place}?immutable=1", uri=True)
    rows = connection.execute(
        "SELECT visit_id, revision, snapshot, fingerprint FROM sealed_revision"
    ).fetchall()
    connection.close()
    return {(visit.hex(), revision): (kept, mark) for visit, revision, kept, mark in rows}


def test_it_is_sound_and_the_office_as_it_was_stays_beside_it(
    office: Upgraded, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check-up", "--json", "--office", str(office.place)]) == 0
    assert json.loads(capsys.readouterr().out)["findings"] == []
    kept = list(office.place.parent.glob("*.before-upgrade-*"))
    assert len(kept) == (office.schema < office.schema_of_today)
    for copy in kept:
        assert _schema_of(copy) == office.schema
        assert _sealed_in(copy) == office.sealed


def test_what_was_sealed_is_kept_to_the_byte(office: Upgraded) -> None:
    assert len(office.sealed) == SEALED
    assert all(sha256(kept).hexdigest() == mark for kept, mark in office.sealed.values())
    assert office.sealed == {
        (_hex(row["visit_id"]), row["revision"]): (b64decode(row["snapshot"]), row["fingerprint"])
        for row in office.of_table("sealed_revision")
    }


def test_its_records_and_an_amended_report_are_frozen(office: Upgraded) -> None:
    [amended] = [
        visit["number"]
        for visit in office.of_table("visit")
        if (_hex(visit["id"]), 2) in office.sealed
    ]
    report = office.report(amended)
    pages = [line.rstrip() for page in pages_of(report.read_bytes()) for line in page.splitlines()]
    lines = [*told(office.everything), "", *_drawn(report), *pages]
    hold(OFFICES / f"schema-{office.schema:02d}.txt", lines)


def test_every_schema_that_there_was_before_today_s_has_its_office(office: Upgraded) -> None:
    assert office.schema_of_today <= SCHEMAS[-1] + 1


@pytest.mark.fault
def test_every_report_is_frozen_and_a_sealed_one_bears_its_fingerprint(office: Upgraded) -> None:
    newest = {visit: mark for (visit, _), (_, mark) in sorted(office.sealed.items())}
    lines: list[str] = []
    for visit in sorted(office.of_table("visit"), key=lambda row: row["number"]):
        report, state, mark = office.report(visit["number"]), visit["state"], _hex(visit["id"])
        assert (state == "sealed") == (mark in newest)
        assert newest.get(mark, "") in text_of(report.read_bytes())
        named, *drawn = _drawn(report)
        lines += [f"{named}, {state}", *drawn]
    hold(OFFICES / f"reports-{office.schema:02d}.txt", lines)


def _drawn(report: Path) -> list[str]:
    """Return what stands for a report without its text: its name, and the digests of its pages."""
    return [line for line in told(report) if line.startswith(("==", "all objects", "-- page"))]


def _hex(key: str) -> str:
    return key.replace("-", "")
