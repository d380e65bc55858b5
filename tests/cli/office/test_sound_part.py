"""On the command line: an office that lost what was saved in it names the option that goes on."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.cli import main
from desk.records.actions.entering import AddPerson
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.office import Office


def test_the_sentence_names_the_option_and_the_option_goes_on(
    office_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    older = office_path.read_bytes()
    with Office.open(office_path) as office:
        office.carry_out(AddPerson(PersonDetails("Ann Poole")))
    office_path.write_bytes(older)
    export = ["export", "everything", str(tmp_path / "all.jsonl"), "--office", str(office_path)]
    assert main(export) == 1
    said = capsys.readouterr().err
    assert "is older than what was last saved in it" in said
    assert "drawoff --sound-part" in said
    assert office_path.read_bytes() == older
    assert main(["--sound-part", *export]) == 0
    assert "copied aside" in capsys.readouterr().err
    (aside,) = tmp_path.glob("office.drawoff.aside-*")
    assert aside.read_bytes() == older
    assert main([*export, "--replace"]) == 0
