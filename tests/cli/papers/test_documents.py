"""The commands for what the office prints for itself."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from desk.records.office.office import Office
from desk.records.stock.parts import use_part
from tests.cli.conftest import Run
from tests.conftest import StillClock
from tests.paper.reading_back import bare, metadata_of, pages_of, text_of
from tests.records.jobs import ACT, Job, begin_job


@pytest.fixture
def job(office_path: Path, clock: StillClock) -> Job:
    """A visit of November on which something was fitted; the office is closed again."""
    with Office.open(office_path, now=clock) as office:
        job = begin_job(office, clock)
        with office.unit_of_work(ACT) as session:
            use_part(session, job.visit, name="Flow sensor", pieces=2, price="64.50")
    return job


def test_a_history_is_printed_by_the_number_on_the_label(
    run: Run, job: Job, office_path: Path, tmp_path: Path
) -> None:
    status, out, _err = run(
        "history", "a-h0001", "--pdf", tmp_path / "h.pdf", "--paper", "a4", "--office", office_path
    )
    assert (status, out.count("A-H0001")) == (0, 1)
    pdf = (tmp_path / "h.pdf").read_bytes()
    assert metadata_of(pdf)["Title"] == "Appliance history, A-H0001"
    assert bare("2 × Flow sensor") in text_of(pdf)


def test_a_history_answers_in_json_with_si_values(run: Run, job: Job, office_path: Path) -> None:
    status, out, _err = run("history", "A-H0001", "--json", "--office", office_path)
    told = json.loads(out)
    assert status == 0
    assert told["appliance"]["number"] == "A-H0001"
    assert told["activation_m3_per_s"] == pytest.approx(3.1545e-5, rel=1e-4)
    assert [part["name"] for part in told["visits"][0]["parts"]] == ["Flow sensor"]
    assert "letterhead" not in told


def test_parts_used_are_said_printed_and_written(
    run: Run, job: Job, office_path: Path, tmp_path: Path
) -> None:
    days = ("--since", "2026-11-01", "--until", "2026-11-30", "--office", office_path)
    status, out, _err = run(
        "parts-used", "--pdf", tmp_path / "p.pdf", "--csv", tmp_path / "p.csv", *days
    )
    assert status == 0
    assert "2 × Flow sensor" in out
    assert bare("Flow sensor 2 1 129.00") in text_of((tmp_path / "p.pdf").read_bytes())
    [line] = csv.DictReader((tmp_path / "p.csv").read_text(encoding="utf-8").splitlines())
    assert (line["name"], line["amount"]) == ("Flow sensor", "129.00")
    told = json.loads(run("parts-used", "--json", *days)[1])
    assert told["total"] == {"pieces": 2, "visits": 1, "cents": 12900, "unpriced": 0}


@pytest.mark.parametrize(
    ("days", "meant"),
    [
        (("--since", "2026-11-20"), ("2026-11-20", "2026-11-30")),
        (("--until", "2026-11-20"), ("2026-11-01", "2026-11-20")),
        (("--since", "2026-10-20", "--until", "2026-11-20"), ("2026-10-20", "2026-11-20")),
    ],
)
def test_days_that_are_left_out_fill_up_a_month(
    run: Run, job: Job, office_path: Path, days: tuple[str, ...], meant: tuple[str, str]
) -> None:
    told = json.loads(run("parts-used", "--json", *days, "--office", office_path)[1])
    assert (told["since"], told["until"]) == meant


def test_an_office_copy_is_marked_and_the_report_beside_it_is_not(
    run: Run, job: Job, office_path: Path, tmp_path: Path
) -> None:
    for name, more in (("o.pdf", ("--office-copy",)), ("r.pdf", ())):
        status, _out, _err = run(
            "report", "A-00001", "--pdf", tmp_path / name, *more, "--office", office_path
        )
        assert status == 0
    mark = bare("Office copy, not for the customer")
    assert all(mark in bare(page) for page in pages_of((tmp_path / "o.pdf").read_bytes()))
    assert mark not in text_of((tmp_path / "r.pdf").read_bytes())


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("history", "Q-1", "--json"), "There is no appliance Q-1"),
        (("history", "A-H0001"), "Say where to write the history"),
        (("history", "A-H0001", "--json", "--pdf", "-"), "Only one answer"),
        (("parts-used", "--json", "--csv", "-"), "Only one answer"),
        (("parts-used", "--since", "2026-11-02", "--until", "2026-11-01"), "before the first"),
        (("report", "A-00001", "--office-copy", "--eml", "-"), "not sent to anybody"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    run: Run, job: Job, office_path: Path, arguments: tuple[str, ...], why: str
) -> None:
    status, out, err = run(*arguments, "--office", office_path)
    assert (status, out) == (2, "")
    assert why in err
