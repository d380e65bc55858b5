"""``drawoff import`` and ``export`` as a script sees them."""

from __future__ import annotations

from pathlib import Path

import pytest

from desk.cli import main


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("office") / "sample.drawoff"
    assert main(["sample", "--visits", "20", "--out", str(path), "--as-of", "2026-11-24"]) == 0
    return path


def test_an_import_tells_what_came_in_and_what_did_not(
    sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Who;Phone;Shoe\nAnn Reed;555-0102;38\n;555-0103;39\n")
    command = ["import", "customers", str(path), "--office", str(sample), "--match", "Who=name"]
    capsys.readouterr()
    assert main([*command, "--dry-run"]) == 0
    assert "Nothing was changed" in capsys.readouterr().out
    assert main(command) == 0
    assert capsys.readouterr().out.splitlines() == [
        "Came in: 1",
        "Already there: 0",
        "Refused: 1",
        "Line 3: it has no name.",
        "Columns not used: Shoe",
    ]
    assert main(command) == 0
    assert capsys.readouterr().out.startswith("Came in: 0\nAlready there: 1\n")


@pytest.mark.parametrize("match", ["Who", "Who=shoe", "Nobody=name"])
def test_a_match_that_means_nothing_is_refused(
    sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], match: str
) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Who,Phone\nAnn Reed,555-0102\n")
    arguments = ["import", "customers", str(path), "--office", str(sample), "--match", match]
    assert main(arguments) == 2
    assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize("name", ["out.csv", "out.vcf"])
def test_every_customer_of_a_sample_comes_back_as_already_there(
    sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    path = tmp_path / name
    assert main(["export", "customers", str(path), "--office", str(sample)]) == 0
    capsys.readouterr()
    assert main(["import", "customers", str(path), "--office", str(sample)]) == 0
    assert capsys.readouterr().out.startswith("Came in: 0\n")


def test_a_whole_office_moves_by_two_commands(
    sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, again, new = tmp_path / "all.jsonl", tmp_path / "again.jsonl", tmp_path / "new.drawoff"
    assert main(["export", "everything", str(out), "--office", str(sample)]) == 0
    command = ["import", "everything", str(out), "--office", str(new)]
    capsys.readouterr()
    assert main([*command, "--dry-run"]) == 0
    assert not new.exists()
    rows = len(out.read_bytes().splitlines()) - 2
    assert f"Came in: {rows} rows" in capsys.readouterr().out
    assert main(command) == 0
    assert main(["export", "everything", str(again), "--office", str(new)]) == 0
    assert again.read_bytes() == out.read_bytes()
    capsys.readouterr()
    assert main(command) == 2
    assert capsys.readouterr().err == "This office is not empty; take everything into a new one.\n"
    assert main([*command, "--match", "A=name"]) == 2


@pytest.mark.parametrize("kind", ["appliances", "parts", "visits"])
def test_what_a_sample_writes_out_is_already_there(
    sample: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], kind: str
) -> None:
    path = tmp_path / "out.csv"
    assert main(["export", kind, str(path), "--office", str(sample)]) == 0
    capsys.readouterr()
    assert main(["import", kind, str(path), "--office", str(sample)]) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "Came in: 0"
    assert "Already there: 0" not in told
    assert all("only finished visits are history" in line for line in told[3:])


def test_a_clock_behind_the_newest_entry_is_said_once_where_something_is_entered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    office, path = tmp_path / "ahead.drawoff", tmp_path / "in.csv"
    assert main(["sample", "--visits", "5", "--out", str(office), "--as-of", "2098-11-24"]) == 0
    path.write_text("Name\nAnn Reed\n")
    command = ["import", "customers", str(path), "--office", str(office)]
    said = "The clock of this computer is behind the newest entry; check date and time.\n"
    for arguments, expected in (([*command, "--dry-run"], ""), (command, said), (command, "")):
        capsys.readouterr()
        assert main(arguments) == 0
        assert capsys.readouterr().err == expected
