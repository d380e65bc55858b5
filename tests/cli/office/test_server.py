"""The command line on a server's office: the same walk, and one sentence where it cannot."""

from __future__ import annotations

import json

import pytest

from desk.cli import main
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import begin_job


def test_commands_work_on_a_servers_office(
    server_office: str, clock: StillClock, capsys: pytest.CaptureFixture[str]
) -> None:
    with Office.open(server_office, now=clock) as office:
        begin_job(office, clock)
    assert main(["repeats", "--within", "90", "--json", "--office", server_office]) == 0
    assert json.loads(capsys.readouterr().out)["rows"] == []
    assert main(["export", "everything", "-", "--office", server_office]) == 0
    assert '"visit"' in capsys.readouterr().out


def test_a_server_that_is_not_there_is_told_in_one_sentence(
    capsys: pytest.CaptureFixture[str],
) -> None:
    nowhere = "postgresql+psycopg://desk@/office?host=/no/such/folder"
    assert main(["export", "everything", "-", "--office", nowhere]) == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "does not answer" in said
