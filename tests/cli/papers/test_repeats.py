"""``drawoff repeats``: every view as text, as CSV and as JSON says the same."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from desk.cli import main
from tests.every_day import every_day
from tests.paper.reading_back import bare, pages_of, text_of
from tests.samples import FEW, own_office

type Run = Callable[..., str]

VIEWS = ("rate", "cumulative", "trend", "life")


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory, FEW * 3)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], sample: Path) -> Run:
    def command(*words: object) -> str:
        status = main(["repeats", *map(str, words), "--office", str(sample)])
        said = capsys.readouterr()
        assert (status, said.err) == (0, "")
        return said.out

    return command


def _json(run: Run, *words: object) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(run(*words, "--json"))
    return answer


@pytest.mark.parametrize("view", every_day(VIEWS, VIEWS[:1]))
def test_text_cells_and_json_tell_the_same_groups(run: Run, view: str) -> None:
    answer = _json(run, "--view", view)
    cells = list(csv.DictReader(io.StringIO(run("--view", view, "--csv", "-"))))
    text = run("--view", view)
    assert [row["key"] for row in cells] == [row["key"] for row in answer["rows"]]
    assert answer["rows"]
    for row, line in zip(answer["rows"], text.splitlines()[1:], strict=False):
        assert line.startswith(f"  {row['label']}: ")
    for row, cell in zip(answer["rows"], cells, strict=True):
        for name, value in cell.items():
            if isinstance(row[name], int) and not isinstance(row[name], bool):
                assert int(value) == row[name], name


@pytest.mark.parametrize("view", VIEWS)
def test_json_says_what_was_asked_and_what_the_figures_mean(run: Run, view: str) -> None:
    answer = _json(run, "--view", view, "--within", 30, "--since", "2025-01-01")
    assert {"within", "by", "since", "until", "as_of", "zone", "rows"} <= answer.keys()
    assert (answer["view"], answer["within"], answer["since"]) == (view, 30, "2025-01-01")
    assert answer["as_of"] == "2026-11-24"
    assert all("{" not in text for text in answer["definitions"])


def test_the_fixed_fields_of_the_rates(run: Run) -> None:
    answer = _json(run, "--by", "model")
    assert {"key", "finished", "counted", "repeats", "rate", "low", "high"} <= set(
        answer["rows"][0]
    )
    assert answer["left_out"].keys() >= {"window_not_over", "planned_service", "still_open"}
    assert "expected" not in answer["rows"][0]
    assert "expected" in _json(run, "--by", "technician")["rows"][0]
    assert "expected of such jobs" in run("--by", "technician")


def test_any_complaint_brings_at_least_as_many_back_as_the_same(run: Run) -> None:
    same, alike = (
        sum(row["repeats"] for row in _json(run, "--complaint", which)["rows"])
        for which in ("same", "any")
    )
    assert 0 < same < alike


def test_a_period_is_told_beside_the_time_right_before_it(run: Run) -> None:
    words = ("--since", "2026-01-01", "--until", "2026-06-30")
    before = _json(run, *words)["before"]
    assert (before["since"], before["until"]) == ("2025-07-04", "2025-12-31")
    assert before["counted"] > 0
    assert before["sentence"] in run(*words)
    assert _json(run)["before"] is None


def test_only_one_group_is_looked_into(run: Run) -> None:
    first = _json(run, "--by", "model")["rows"][0]
    within = _json(run, "--by", "cause", "--only", f"model={first['key']}")
    assert within["only"] == [["model", first["key"]]]
    assert sum(row["finished"] for row in within["rows"]) == first["finished"]


def test_a_day_of_the_past_knows_nothing_of_what_came_later(run: Run) -> None:
    answer = _json(run, "--as-of", "2026-01-01")
    assert answer["as_of"] == "2026-01-01"
    assert answer["oddities"]["later_than_as_of"] > 0
    assert "they do not exist yet" in run("--as-of", "2026-01-01")


@pytest.mark.parametrize(
    "words",
    [
        ("--only", "model"),
        ("--only", "mood=good"),
        ("--view", "trend", "--by", "technician"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_a_sentence(
    sample: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert main(["repeats", *words, "--office", str(sample)]) != 0
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.rstrip().endswith(".")
    assert "Traceback" not in said.err


@pytest.mark.parametrize("view", [*VIEWS, "look"])
def test_every_view_is_printed(run: Run, view: str, tmp_path: Path) -> None:
    pdf = tmp_path / "view.pdf"
    run("--view", view, "--pdf", pdf)
    assert len(pages_of(pdf.read_bytes())) >= 1
    assert bare("As of 24 Nov 2026") in text_of(pdf.read_bytes())


def test_what_is_worth_a_second_look_is_told_with_its_jobs(run: Run) -> None:
    answer = _json(run, "--view", "look")
    cells = list(csv.DictReader(io.StringIO(run("--view", "look", "--csv", "-"))))
    assert answer["rows"]
    assert answer["looked_at"] > len(answer["rows"])
    assert [row["sentence"] for row in cells] == [row["sentence"] for row in answer["rows"]]
    for row in answer["rows"]:
        assert row["cases"] > row["expected"]
        assert row["q_value"] <= 0.05
        assert row["jobs"]
        assert row["sentence"] in run("--view", "look")
