"""``drawoff rank`` with what an office has learnt, and without."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from desk.base.office_location import own_checks_folder
from desk.cli import main
from desk.records.actions.closing import Finish, SetCause, WriteDown
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import REASONS, begin_job
from tests.trade.content.own_texts import CAUSE, FINDS

TRADE = "the trade's own figures"


@pytest.fixture
def answers(tmp_path: Path) -> Path:
    path = tmp_path / "answers.json"
    path.write_text("{}")
    return path


@pytest.fixture(scope="module")
def taught(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed office that has mended one appliance twenty times over."""
    clock = StillClock()
    path = tmp_path_factory.mktemp("taught") / "office.drawoff"
    shutil.copyfile(empty_office, path)
    with Office.open(path, now=clock) as office:
        for _ in range(20):
            job = begin_job(office, clock)
            office.carry_out(SetCause(job.visit, cause="low_demand"))
            office.carry_out(WriteDown(job.visit, REASONS))
            office.carry_out(Finish(job.visit, "mended"))
    return path


def ranked(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict[str, Any]:
    assert main(["rank", "--json", *map(str, arguments)]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert sum(cause["probability"] for cause in answer["causes"]) == pytest.approx(1)
    return answer


def test_without_an_office_the_trade_speaks(
    answers: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ranked(capsys, "--answers", answers)["basis"] == TRADE


MET = [
    ((), "20 of 20 finished visits for such a call"),
    (("--sensing-kind", "reed_float"), "20 of 20 finished visits with this kind of sensing"),
    (("--model", "Invented Kestle 24"), "20 of 20 finished visits to this model"),
]


@pytest.mark.parametrize(
    ("appliance", "basis"),
    every_day(MET, MET[-1:], several_names=True),
)
def test_an_office_ranks_by_what_it_has_met(
    answers: Path,
    taught: Path,
    capsys: pytest.CaptureFixture[str],
    appliance: tuple[str, ...],
    basis: str,
) -> None:
    answer = ranked(capsys, "--answers", answers, "--office", taught, *appliance)
    assert answer["causes"][0]["id"] == "low_demand"
    assert answer["basis"] == basis
    assert answer["next"]


def test_an_office_that_has_met_nothing_ranks_as_the_trade(
    answers: Path, office_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fresh = ranked(capsys, "--answers", answers, "--office", office_path)
    assert fresh == ranked(capsys, "--answers", answers)


def test_it_is_said_in_words_too(
    answers: Path, taught: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rank", "--answers", str(answers), "--office", str(taught)]) == 0
    assert ": 20 of 20 finished visits for such a call\n" in capsys.readouterr().out


def test_a_model_without_an_office_is_refused(
    answers: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rank", "--answers", str(answers), "--model", "Kestle 24"]) == 2
    assert "give --office too" in capsys.readouterr().err


def test_an_office_ranks_by_its_own_checks(
    answers: Path, office_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = own_checks_folder(office_path)
    (folder / "checklists" / "hot-water").mkdir(parents=True)
    (folder / "checklists" / "hot-water" / "own.toml").write_text(FINDS)
    (folder / "causes.toml").write_text(CAUSE)
    with_own = ranked(capsys, "--answers", answers, "--office", office_path)
    assert "mouse" in {cause["id"] for cause in with_own["causes"]}
    without = ranked(capsys, "--answers", answers)
    assert "mouse" not in {cause["id"] for cause in without["causes"]}
