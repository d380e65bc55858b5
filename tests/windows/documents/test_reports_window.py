"""All reports of a day or a month: listed, shown to be printed, and saved one by one."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.records import visits
from desk.records.office import Office
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.reports import ReportsWindow
from desk.windows.documents.window import DocumentWindow
from tests.paper.reading_back import bare, outline_of, text_of
from tests.records.jobs import DEED, Job
from tests.windows.counter.conftest import counter, job
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said, type_into

__all__ = ["counter", "job"]


@pytest.fixture
def finished(job: Job, office: Office) -> Job:
    with office.deed(DEED) as session:
        visits.arrive(session, job.visit, technician_id=job.technician)
        visits.set_cause(session, job.visit, cause="outlet_restricted")
        visits.finish(session, job.visit, "mended")
    return job


@pytest.fixture
def window(finished: Job, counter: CounterWindow, qtbot: QtBot) -> ReportsWindow:
    press(counter, "Ctrl+R")
    shown = counter.findChild(ReportsWindow)
    assert shown is not None
    return shown


def test_the_reports_of_the_day_that_is_shown(window: ReportsWindow) -> None:
    assert said(window, "reports_said") == "1 report can be printed."
    assert window.model.rowCount() == 1
    assert not unnamed_controls(window)


def test_all_are_shown_as_one_document_and_printed_from_there(
    window: ReportsWindow, finished: Job, prompts: PreparedPrompts
) -> None:
    push(window, "reports_show")
    shown = window.findChild(DocumentWindow)
    assert shown is not None
    press(shown, "Ctrl+S")
    [path] = [one for one in prompts.folder.iterdir() if one.suffix == ".pdf"]
    number = finished.row().number
    assert outline_of(path.read_bytes())[0] == (0, f"Service report {number}")
    assert bare(number) in text_of(path.read_bytes())


def test_each_is_saved_in_a_file_that_its_number_names(
    window: ReportsWindow, finished: Job, prompts: PreparedPrompts
) -> None:
    (prompts.folder / "reports").mkdir()
    prompts.names = ["reports"]
    push(window, "reports_save")
    [path] = (prompts.folder / "reports").iterdir()
    assert path == Path(path.parent / f"Service report {finished.row().number}.pdf")
    assert said(window, "reports_said") == "1 report was saved in reports."


def test_the_whole_month_is_one_touch(window: ReportsWindow) -> None:
    type_into(window, "since", "3 nov 2026")
    push(window, "reports_month")
    assert window.batch is not None
    assert (window.batch.since.day, window.batch.until.day) == (1, 30)


def test_days_without_a_finished_visit_say_so(window: ReportsWindow) -> None:
    for name in ("since", "until"):
        type_into(window, name, "3 jan 2026")
    window.look()
    assert "No visit was finished" in said(window, "reports_said")
    assert not window.buttons["show"].isEnabled()


def test_a_day_that_is_none_is_told_under_its_line(window: ReportsWindow) -> None:
    type_into(window, "since", "nonsense")
    window.look()
    assert said(window, "under_since").startswith("▲")
