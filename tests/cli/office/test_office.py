"""The command line on an office: what it writes, and one sentence where it cannot."""

from __future__ import annotations

import csv
import email
import email.policy
import io
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pypdfium2
import pytest
import sqlalchemy as sa

from desk.cli import main
from desk.records.office.office import Office
from desk.records.tables import Visit
from tests.cli.conftest import Run
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import begin_job
from tests.samples import FEW, own_office


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return own_office(tmp_path_factory, FEW)


def _is_one_sentence(text: str) -> bool:
    return text.count("\n") == 1 and text.rstrip().endswith(".") and "Traceback" not in text


def test_the_repeats_of_a_sample_office_as_json(run: Run, sample: Path) -> None:
    status, out, err = run("repeats", "--within", 90, "--by", "cause", "--json", "--office", sample)
    answer = json.loads(out)
    assert (status, err) == (0, "")
    assert answer["within"] == 90
    assert answer["by"] == "cause"
    assert answer["as_of"] == "2026-11-24"
    assert answer["zone"] == "America/New_York"
    assert {"key", "finished", "counted", "repeats", "rate", "low", "high"} <= set(
        answer["rows"][0]
    )
    assert answer["left_out"]["planned_service"] > 0


def test_the_repeats_as_sentences_pages_and_cells(run: Run, sample: Path, tmp_path: Path) -> None:
    pdf, cells = tmp_path / "r.pdf", tmp_path / "r.csv"
    status, out, _ = run("repeats", "--office", sample, "--pdf", pdf, "--csv", cells)
    assert status == 0
    assert "came back" in out
    assert pdf.read_bytes().startswith(b"%PDF")
    assert cells.read_text(encoding="utf-8").startswith("key,label,finished")


def test_the_report_of_a_visit(run: Run, sample: Path, tmp_path: Path) -> None:
    pdf = tmp_path / "report.pdf"
    status, out, _ = run("report", "A-00005", "--pdf", pdf, "--office", sample, "--paper", "a4")
    assert status == 0
    assert "A-00005" in out
    with pypdfium2.PdfDocument(pdf) as document:
        assert "A-00005" in document[0].get_textpage().get_text_bounded()
        assert document[0].get_size() == pytest.approx((595.28, 841.89), abs=0.1)


def test_exports_to_a_file_and_to_standard_output(
    sample: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["export", "visits", "-", "--office", str(sample)]) == 0
    rows = list(csv.DictReader(io.StringIO(capfdbinary.readouterr().out.decode())))
    assert len(rows) == FEW
    target = tmp_path / "all.jsonl"
    assert main(["export", "everything", str(target), "--office", str(sample)]) == 0
    assert json.loads(target.read_text().splitlines()[0])["drawoff"] == "everything"


def test_a_fresh_visit_is_ranked(run: Run, tmp_path: Path) -> None:
    answers = tmp_path / "answers.json"
    answers.write_text("{}")
    status, out, _ = run("rank", "--checklist", "hot-water", "--answers", answers, "--json")
    answer = json.loads(out)
    assert status == 0
    assert sum(cause["probability"] for cause in answer["causes"]) == pytest.approx(1)
    assert {"id", "probability", "ruled_out_by"} <= set(answer["causes"][0])
    assert {"check", "reason", "minutes"} <= set(answer["next"])
    answers.write_text('{"danger": "perhaps"}')
    assert run("rank", "--answers", answers)[0] == 2


@pytest.mark.parametrize(
    "arguments",
    [
        ("report", "A-99999", "--pdf", "x.pdf", "--office", "{sample}"),
        ("report", "A-00005", "--pdf", "{folder}/missing/x.pdf", "--office", "{sample}"),
        ("repeats", "--office", "{folder}/nothing.drawoff"),
        ("repeats", "--office", "{foreign}"),
        ("repeats", "--office", "{sample}", "--as-of", "2126-01-01"),
        ("repeats", "--office", "{sample}", "--as-of", "soon"),
        ("repeats", "--office", "{sample}", "--within", "0"),
        ("repeats", "--office", "{sample}", "--by", "mood"),
        ("repeats", "--office", "{sample}", "--since", "2026-02-01", "--until", "2026-01-01"),
        ("export", "visits", "{folder}/missing/x.csv", "--office", "{sample}"),
        ("export", "gossip", "-", "--office", "{sample}"),
        ("sample", "--visits", "0", "--out", "{folder}/s.drawoff"),
        ("sample", "--visits", "5", "--out", "{folder}/s.drawoff", "--as-of", "2126-01-01"),
        ("sample", "--visits", "5", "--out", "{folder}/missing/s.drawoff"),
        ("sample", "--visits", "5", "--out", "{sample}"),
        ("try", "--out", "{foreign}"),
        ("rank", "--answers", "{folder}/none.json"),
        ("repeats", "--office", "mysql://a/b"),
        ("repeats", "--office", "sqlite:///x"),
        ("sample", "--visits", "5", "--out", "."),
        ("sample", "--visits", "5", "--out", "-"),
        ("sample", "--visits", "5", "--out", "{folder}/s.drawoff", "--as-of", "soon"),
        ("rank", "--answers", "{foreign}"),
        ("brew",),
        ("flow", "--fill", "0s", "--container", "5 gal", "--graduation", "0.5 gal"),
    ],
    ids=lambda arguments: " ".join(arguments[:2]),
)
def test_what_cannot_be_used_gets_one_sentence_and_status_2(
    run: Run,
    sample: Path,
    tmp_path: Path,
    arguments: tuple[str, ...],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    foreign = tmp_path / "foreign.html"
    foreign.write_text("<html>not an office</html>")
    status, out, err = run(
        *(text.format(sample=sample, folder=tmp_path, foreign=foreign) for text in arguments)
    )
    assert status == 2
    assert out == ""
    assert _is_one_sentence(err), err
    assert [found.name for found in tmp_path.iterdir()] == ["foreign.html"]


INTO_A_FULL_DISK = [
    ("export", "everything", "-"),  # more than the buffer holds
    ("export", "visits", "-"),
    ("repeats", "--json"),  # flushed only at the end
]


@pytest.mark.parametrize(
    "arguments",
    every_day(INTO_A_FULL_DISK, INTO_A_FULL_DISK[:1]),
)
def test_a_full_disk_is_a_failed_job(sample: Path, arguments: tuple[str, ...]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-c", "import sys; from desk.cli import main; sys.exit(main())",
             *arguments, "--office", str(sample)],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            text=True,
        )  # fmt: skip
    assert done.returncode == 1
    assert _is_one_sentence(done.stderr), done.stderr
    assert "disk is full" in done.stderr


def test_the_office_can_be_named_by_the_environment(
    run: Run, office: Office, clock: StillClock, office_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin_job(office, clock)
    target = office_path.with_name("visits.csv")
    monkeypatch.setenv("DRAWOFF_OFFICE", str(office_path))
    status, out, _ = run("export", "visits", target)
    assert (status, out.startswith("1 row written")) == (0, True)


def test_answers_nested_without_end_are_refused(run: Run, tmp_path: Path) -> None:
    answers = tmp_path / "deep.json"
    answers.write_text("[" * 100_000)
    status, _, err = run("rank", "--answers", answers)
    assert status == 2
    assert _is_one_sentence(err), err


def test_a_sample_of_one_is_counts_as_people_do_and_may_lie_ahead(run: Run, tmp_path: Path) -> None:
    place = tmp_path / "one.drawoff"
    status, out, err = run(
        "sample", "--visits", 1, "--out", place, "--as-of", "2035-01-03", "--office", "nowhere"
    )
    assert (status, err) == (0, "")
    assert "1 visit, 1 appliance, 4 customers, " in out
    assert run("repeats", "--as-of", "2035-01-03", "--office", place)[0] == 0


def test_a_bug_is_told_in_a_sentence_and_logged(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from desk.base import paths
    from desk.cli.measuring import rank

    def broken(*_: object, **_named: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(rank, "posterior", broken)
    monkeypatch.setattr(paths, "own_folder", lambda: tmp_path / "own")
    answers = tmp_path / "answers.json"
    answers.write_text("{}")
    status, _, err = run("rank", "--answers", answers)
    assert status == 1
    assert "mistake of its own" in err
    assert "Traceback" not in err
    assert "planted" in (tmp_path / "own" / "drawoff.log").read_text()


def test_a_bug_is_told_even_where_nothing_can_be_logged(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from desk.base import paths
    from desk.cli.measuring import rank

    def broken(*_: object, **_named: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(rank, "posterior", broken)
    (tmp_path / "own").write_text("a file where the folder would be")
    monkeypatch.setattr(paths, "own_folder", lambda: tmp_path / "own")
    (tmp_path / "answers.json").write_text("{}")
    status, _, err = run("rank", "--answers", tmp_path / "answers.json")
    assert (status, err.count("\n")) == (1, 1)
    assert "Nothing half done was kept." in err


def test_without_a_screen_it_says_so(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    status, _, err = run()
    assert status == 2
    assert err == "There is no screen here to open a window on; see --help.\n"


def test_help_says_what_there_is(run: Run) -> None:
    status, out, _ = run("--help")
    assert status == 0
    for command in ("try", "sample", "flow", "report", "repeats", "export", "rank"):
        assert command in out


def test_a_page_on_standard_output_is_the_page_alone(
    sample: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["report", "A-00001", "--pdf", "-", "--office", str(sample)]) == 0
    assert capfdbinary.readouterr().out.rstrip().endswith(b"%%EOF")


def test_cells_on_standard_output_are_the_cells_alone(run: Run, sample: Path) -> None:
    status, out, _ = run("repeats", "--csv", "-", "--office", sample)
    header, *rows = csv.reader(io.StringIO(out))
    assert status == 0
    assert rows
    assert {len(row) for row in rows} == {len(header)}


def test_two_answers_do_not_share_standard_output(run: Run, sample: Path) -> None:
    status, out, err = run("repeats", "--csv", "-", "--json", "--office", sample)
    assert (status, out) == (2, "")
    assert _is_one_sentence(err)


def test_the_office_can_be_named_before_the_command(run: Run, sample: Path) -> None:
    assert run("--office", sample, "export", "visits", "-")[0] == 0


def test_a_link_stays_a_link(run: Run, sample: Path, tmp_path: Path) -> None:
    behind, link = tmp_path / "behind.csv", tmp_path / "link.csv"
    link.symlink_to(behind)
    assert run("export", "visits", link, "--office", sample)[0] == 0
    assert link.is_symlink()
    assert behind.read_text(encoding="utf-8").startswith("number,")


def test_a_pipe_is_written_to_and_not_replaced(sample: Path, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE) as reader:
        assert main(["export", "visits", str(pipe), "--office", str(sample)]) == 0
        assert pipe.is_fifo()
        assert reader.stdout is not None
        assert reader.stdout.read().startswith(b"number,")


def test_a_device_that_is_full_is_told_and_not_replaced(run: Run, sample: Path) -> None:
    status, _, err = run("export", "visits", "/dev/full", "--office", sample)
    assert (status, err) == (1, "The disk is full; /dev/full was not written.\n")
    assert Path("/dev/full").is_char_device()


def _with_room_for(size: int, folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run a command that may write no file larger than ``size`` bytes."""
    limited = (
        f"import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, ({size}, {size}));"
        " from desk.cli import main; sys.exit(main())"
    )
    return subprocess.run(
        [sys.executable, "-c", limited, *arguments],
        env={**os.environ, "XDG_DATA_HOME": str(folder / "own"), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        check=False,
        text=True,
    )


@pytest.mark.parametrize("size", every_day([1024, 400_000, 850_000], [400_000]))
def test_a_sample_that_does_not_fit_is_told_and_leaves_nothing(tmp_path: Path, size: int) -> None:
    place = tmp_path / "new.drawoff"
    asked = ("sample", "--visits", "9", "--as-of", "2026-11-24", "--out", str(place))
    done = _with_room_for(size, tmp_path, *asked)
    assert done.returncode == 1
    assert _is_one_sentence(done.stderr), done.stderr
    assert "disk" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.fixture(params=["Etc/GMT-14", "Etc/GMT+12"])
def machine_zone(request: pytest.FixtureRequest) -> Iterator[str]:
    """Set the machine's clock to a zone; in one of the two it is another day than in New York."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", request.param)
        time.tzset()
        yield request.param
    time.tzset()


@pytest.mark.usefixtures("machine_zone")
def test_a_sample_ends_today_by_the_clock_of_its_own_town(run: Run, tmp_path: Path) -> None:
    town = ZoneInfo("America/New_York")
    before = datetime.now(town).date()
    said = run("sample", "--visits", 1, "--out", tmp_path / "new.drawoff")[1]
    days = {before.isoformat(), datetime.now(town).date().isoformat()}
    assert any(f" to {day};" in said for day in days), said


def test_labels_are_printed_by_number(run: Run, sample: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "labels.pdf"
    status, out, err = run("labels", "A-H0001", "a-h0002", "--pdf", sheet, "--office", sample)
    assert (status, err) == (0, "")
    assert "2 appliances" in out
    assert sheet.read_bytes().startswith(b"%PDF")
    status, _, err = run("labels", "A-H9999", "--pdf", sheet, "--office", sample)
    assert status == 2
    assert _is_one_sentence(err)
    assert "A-H9999" in err


def test_pocket_cards_are_printed_for_a_list_or_for_some_checks(
    run: Run, sample: Path, tmp_path: Path
) -> None:
    pdf = tmp_path / "cards.pdf"
    wanted = ("--check", "timed_flow", "--check", "danger")
    status, out, err = run("cards", "hot-water", *wanted, "--pdf", pdf, "--office", sample)
    assert (status, err) == (0, "")
    assert "cards.pdf" in out
    some = pdf.read_bytes()
    assert some.startswith(b"%PDF")
    status, _, _ = run("cards", "yearly-service", "--pdf", pdf, "--office", sample)
    assert status == 0
    assert len(pdf.read_bytes()) > len(some)


@pytest.mark.parametrize(
    "asked", [("no-list",), ("hot-water", "--check", "no_check")], ids=["list", "check"]
)
def test_cards_of_what_is_not_there_are_refused(
    run: Run, sample: Path, tmp_path: Path, asked: tuple[str, ...]
) -> None:
    pdf = tmp_path / "cards.pdf"
    status, _, err = run("cards", *asked, "--pdf", pdf, "--office", sample)
    assert status == 2
    assert _is_one_sentence(err)
    assert asked[-1] in err
    assert not pdf.exists()


def test_cards_of_the_shipped_lists_need_no_office(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    pdf = tmp_path / "cards.pdf"
    status, _, err = run("cards", "hot-water", "--check", "timed_flow", "--pdf", pdf)
    assert (status, err) == (0, "")
    assert pdf.read_bytes().startswith(b"%PDF")
    assert run("cards", "hot-water", "--pdf", pdf, "--office", tmp_path / "none.drawoff")[0] != 0


def test_the_day_list_goes_out_as_a_calendar(run: Run, sample: Path, tmp_path: Path) -> None:
    file = tmp_path / "day.ics"
    status, out, err = run("export", "day", file, "--date", "2026-11-24", "--office", sample)
    assert (status, err) == (0, "")
    assert "rows written" in out
    assert file.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    status, _, err = run("export", "visits", file, "--date", "2026-11-24", "--office", sample)
    assert status == 2
    assert _is_one_sentence(err)


def test_the_day_sheets_are_printed_for_all_or_for_one(
    run: Run, sample: Path, tmp_path: Path
) -> None:
    pdf = tmp_path / "day.pdf"
    status, out, err = run("day", "2026-11-24", "--pdf", pdf, "--office", sample)
    assert (status, err) == (0, "")
    assert "visits written to" in out
    with pypdfium2.PdfDocument(pdf) as everybody:
        pages = len(everybody)
        name = next(iter(everybody.get_toc())).get_title()
    assert pages > 1
    for_one = ("--technician", name, "--paper", "a4")
    assert run("day", "2026-11-24", "--pdf", pdf, *for_one, "--office", sample)[0] == 0
    with pypdfium2.PdfDocument(pdf) as one:
        assert len(one) == 1
        assert round(one[0].get_height()) == 842
    status, _, err = run("day", "2026-11-24", "--pdf", pdf, "--technician", "Nobody at all",
                         "--office", sample)  # fmt: skip
    assert status == 2
    assert _is_one_sentence(err)


def test_all_reports_of_a_month_are_written_each_and_as_one(
    run: Run, sample: Path, tmp_path: Path
) -> None:
    out, one = tmp_path / "new" / "reports", tmp_path / "all.pdf"
    status, told, err = run(
        "reports", "--month", "2026-03", "--out", out, "--pdf", one, "--office", sample
    )
    assert (status, err) == (0, "")
    written = sorted(out.iterdir())
    assert told.splitlines()[0] == f"{len(written)} reports written."
    assert len(written) > 2
    with pypdfium2.PdfDocument(one) as document:
        tops = [mark.get_title() for mark in document.get_toc() if mark.level == 0]
        pages = len(document)
    assert sorted(f"{title}.pdf" for title in tops) == [path.name for path in written]
    each = [pypdfium2.PdfDocument(path) for path in written]
    assert pages == sum(map(len, each))
    for document in each:
        document.close()


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("--day", "2026-10-05", "--month", "2026-10"),
        ("--month", "2026-13"),
        ("--month", "October"),
        ("--day", "2026-10-05"),
    ],
)
def test_reports_of_no_days_or_to_nowhere_are_refused(
    run: Run, sample: Path, arguments: tuple[str, ...]
) -> None:
    where = () if arguments[:1] == ("--day",) and len(arguments) == 2 else ("--pdf", "x.pdf")
    status, _, err = run("reports", *arguments, *where, "--office", sample)
    assert status == 2
    assert _is_one_sentence(err)


def test_a_report_goes_into_a_letter(run: Run, sample: Path, tmp_path: Path) -> None:
    with Office.open(sample) as office, office.read() as session:
        number = session.scalar(sa.select(Visit.number).where(Visit.state == "sealed").limit(1))
    pdf, eml = tmp_path / "report.pdf", tmp_path / "report.eml"
    status, _, err = run("report", number, "--pdf", pdf, "--eml", eml, "--office", sample)
    assert (status, err) == (0, "")
    mail = email.message_from_bytes(eml.read_bytes(), policy=email.policy.default)
    (attached,) = mail.iter_attachments()
    assert attached.get_content() == pdf.read_bytes()
    assert run("report", number, "--office", sample)[0] == 2
