"""Every command that writes a file leaves offices alone, and foreign files unless it is told."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator
from datetime import datetime, tzinfo
from pathlib import Path

import click
import pytest

from desk.base import office_files
from desk.cli import drawoff
from desk.cli.kit.options import OUTPUT
from desk.cli.office import try_out
from desk.records.office.office import Office
from tests.cli.conftest import Run
from tests.conftest import StillClock
from tests.records.jobs import ACT
from tests.samples import FEW, own_office


def _writers() -> Iterator[tuple[str, str]]:
    """Give every command that writes, with the spelling of its file; "" for an argument."""
    context = click.Context(drawoff)
    for name in drawoff.list_commands(context):
        command = drawoff.get_command(context, name)
        assert command is not None
        for one in command.params:
            if one.type is OUTPUT:
                yield name, one.opts[0] if isinstance(one, click.Option) else ""


WRITERS = list(_writers())
AMONG = {("export", ""): ("visits",), ("day", "--pdf"): ("2026-11-24",)}
"""What has to stand before the file."""


@pytest.fixture
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory, FEW)


def _asked(writer: tuple[str, str], file: object) -> list[object]:
    name, option = writer
    return [name, *AMONG.get(writer, ()), *([option] if option else []), file]


def _contents(folder: Path) -> dict[str, str]:
    return {
        one.name: hashlib.sha256(one.read_bytes()).hexdigest()
        for one in folder.iterdir()
        if one.is_file()
    }


def test_the_commands_that_write_are_known() -> None:
    assert {name for name, _option in WRITERS} == {
        "cards", "day", "export", "history", "labels", "parts-used", "repeats", "report", "reports",
    }  # fmt: skip
    assert len(WRITERS) == 12


@pytest.mark.parametrize("writer", WRITERS, ids=" ".join)
def test_no_command_writes_over_an_office(
    run: Run, office_path: Path, writer: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(office_path.parent)
    other = office_path.with_name("report.pdf")
    shutil.copyfile(office_path, other)
    before = _contents(office_path.parent)
    for office in (office_path, other, office_path.name):
        status, out, err = run(*_asked(writer, office), "--replace", "--office", office_path)
        assert (status, out) == (2, "")
        assert "is an office, and none is ever written over." in err
        assert err.count("\n") == 1
    assert _contents(office_path.parent) == before


@pytest.mark.parametrize("beside", ["{}-wal", "{}-shm", ".{}.lock", ".{}.head"])
def test_no_command_writes_over_what_lies_beside_an_office(
    run: Run, office_path: Path, beside: str
) -> None:
    file = office_path.with_name(beside.format(office_path.name))
    file.write_text("its own")
    status, _out, err = run("export", "visits", file, "--replace", "--office", office_path)
    assert status == 2
    assert "belongs to the office office.drawoff" in err
    assert file.read_text() == "its own"


@pytest.mark.parametrize("writer", WRITERS, ids=" ".join)
def test_no_command_writes_over_a_foreign_file_unasked(
    run: Run, office_path: Path, writer: tuple[str, str]
) -> None:
    letter = office_path.with_name("letter.pdf")
    letter.write_text("Dear customer")
    status, out, err = run(*_asked(writer, letter), "--office", office_path)
    assert (status, out) == (2, "")
    assert "--replace" in err
    assert err.count("\n") == 1
    assert letter.read_text() == "Dear customer"


def test_a_foreign_file_goes_where_it_is_said_before_or_behind(run: Run, office_path: Path) -> None:
    file = office_path.with_name("visits.csv")
    for words in (("--replace", file), (file, "--replace")):
        file.write_text("a list of somebody's")
        assert run("export", "visits", *words, "--office", office_path)[0] == 0
        assert "somebody" not in file.read_text()
    assert run("export", "visits", file, "--office", office_path)[0] == 0, "it is ours now"


def test_standard_output_and_devices_want_no_leave(run: Run, office_path: Path) -> None:
    for file in ("-", "/dev/null"):
        status, _out, err = run("export", "customers", file, "--office", office_path)
        assert (status, err) == (0, "")


def test_where_one_of_two_files_may_not_be_written_neither_is(run: Run, sample: Path) -> None:
    letter = sample.with_name("letter.eml")
    letter.write_text("Dear customer")
    pdf = sample.with_name("report.pdf")
    status, _out, _err = run("report", "A-00001", "--pdf", pdf, "--eml", letter, "--office", sample)
    assert status == 2
    assert not pdf.exists()


@pytest.mark.fault
def test_where_one_report_of_many_may_not_be_written_none_is(
    run: Run, sample: Path, tmp_path: Path
) -> None:
    asked = ("reports", "--month", "2026-03", "--out", tmp_path / "all", "--office", sample)
    assert run(*asked)[0] == 0
    names = sorted(one.name for one in (tmp_path / "all").iterdir())
    assert len(names) > 1
    assert run(*asked)[0] == 0, "they are ours"
    for name in names[:-1]:
        (tmp_path / "all" / name).unlink()
    (tmp_path / "all" / names[-1]).write_text("a report that was typed by hand")
    status, _out, err = run(*asked)
    assert (status, err.count("\n")) == (2, 1)
    assert [one.name for one in (tmp_path / "all").iterdir()] == names[-1:]
    assert run(*asked, "--replace")[0] == 0
    assert sorted(one.name for one in (tmp_path / "all").iterdir()) == names


class OneDay(datetime):
    """A clock on which it is always the same day."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> OneDay:
        return cls(2026, 11, 30, 9, tzinfo=tz)


def try_a_small_town(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let `try` build little, on a day on which so small a town has somebody with a float."""
    monkeypatch.setattr(try_out, "VISITS", 12)
    monkeypatch.setattr(try_out, "datetime", OneDay)


def test_a_try_writes_beside_what_somebody_wrote(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    try_a_small_town(monkeypatch)
    monkeypatch.setattr(
        try_out, "datetime", OneDay
    )  # so small a town has not each day who is needed
    (tmp_path / "what-comes-back.pdf").write_text("notes of somebody's")
    theirs = _contents(tmp_path)
    assert run("try", "--no-window", "--out", tmp_path)[0] == 0
    after = _contents(tmp_path)
    assert after["what-comes-back.pdf"] == theirs["what-comes-back.pdf"]
    assert {"sample.drawoff", "what-comes-back-2.pdf"} <= after.keys()


@pytest.mark.fault
def test_a_try_goes_over_its_own_and_stays_beside_what_somebody_wrote_in(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    try_a_small_town(monkeypatch)
    tried = ("try", "--no-window", "--out", tmp_path)
    status, out, _err = run(*tried)
    assert status == 0
    assert f"drawoff --office {tmp_path / 'sample.drawoff'}\n" in out, "what to open next"
    first = sorted(_contents(tmp_path))
    assert "sample.drawoff" in first
    assert len(first) == 3
    assert run(*tried)[0] == 0
    assert sorted(_contents(tmp_path)) == first, "nobody touched them"
    with (
        Office.open(tmp_path / "sample.drawoff", now=StillClock()) as office,
        office.unit_of_work(ACT),
    ):
        pass
    (tmp_path / "what-comes-back.pdf").write_text("notes of somebody's")
    theirs = _contents(tmp_path)
    status, out, _err = run(*tried)
    assert status == 0
    assert "sample.drawoff is there already" in out
    assert "sample-2.drawoff" in out
    after = _contents(tmp_path)
    kept = ("sample.drawoff", "what-comes-back.pdf")
    assert [after[name] for name in kept] == [theirs[name] for name in kept]
    made = ["sample-2.drawoff", "what-comes-back-2.pdf"]
    assert sorted(after) == sorted([*first, ".sample.drawoff.head", *made])


@pytest.mark.fault
@pytest.mark.parametrize(
    "beside", ["sample.drawoff-wal", ".sample.drawoff.lock", "sample.drawoff.checks"]
)
def test_a_try_leaves_an_office_that_is_open_or_has_checks_of_its_own(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, beside: str
) -> None:
    try_a_small_town(monkeypatch)
    tried = ("try", "--no-window", "--out", tmp_path)
    assert run(*tried)[0] == 0
    (tmp_path / beside).touch()
    before = (tmp_path / "sample.drawoff").stat().st_ino
    assert "sample-2.drawoff" in run(*tried)[1]
    assert (tmp_path / "sample.drawoff").stat().st_ino == before


@pytest.mark.fault
def test_a_try_takes_away_no_link(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    try_a_small_town(monkeypatch)
    (tmp_path / "sample.drawoff").symlink_to(tmp_path / "nowhere")
    assert run("try", "--no-window", "--out", tmp_path)[0] == 0
    assert (tmp_path / "sample.drawoff").readlink() == tmp_path / "nowhere"
    assert (tmp_path / "sample-2.drawoff").exists()


def test_an_office_that_others_can_read_is_told_once_beside_the_answer(
    run: Run, office_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(office_files, "is_open_to_others", lambda _office: True)
    asked = ("export", "customers", "-", "--office", office_path)
    first, second = run(*asked), run(*asked)
    assert first[:2] == second[:2]
    assert first[2].startswith("Every account on this machine can read office.drawoff.")
    assert first[2].count("\n") == 1
    assert second[2] == ""
