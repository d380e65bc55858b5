"""All reports of a day or a month: listed, shown to be printed, and saved one by one."""

from __future__ import annotations

import time
from datetime import timedelta
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.visits import lifecycle
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.reports_window import MOST_NAMED, ReportsWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.work.work_queue import WorkQueue
from tests.conftest import FIRST_DAY, StillClock
from tests.paper.reading_back import bare, opened, outline_of, text_of
from tests.records.jobs import ACT, Job, give_reasons
from tests.samples import FEW, own_office
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said, type_into


@pytest.fixture
def finished(job: Job, office: Office) -> Job:
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        lifecycle.set_cause(session, job.visit, cause="outlet_restricted")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
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


def test_reports_of_somebodys_own_hand_are_asked_about_before_any_is_saved(
    window: ReportsWindow, finished: Job, prompts: PreparedPrompts
) -> None:
    (prompts.folder / "reports").mkdir()
    path = prompts.folder / "reports" / f"Service report {finished.row().number}.pdf"
    path.write_text("typed by hand")
    prompts.names, prompts.agrees = ["reports"], False
    push(window, "reports_save")
    assert prompts.asked[-1] == (
        "1 of these files is there already, and is not as Drawoff wrote it. [Write over]"
    )
    assert path.read_text() == "typed by hand"
    prompts.names, prompts.agrees = ["reports"], True
    push(window, "reports_save")
    assert path.read_bytes().startswith(b"%PDF")
    asked = len(prompts.asked)
    prompts.names = ["reports"]
    push(window, "reports_save")
    assert len(prompts.asked) == asked + 1, "it is ours now: only the folder is asked for"


def test_a_number_of_another_program_names_a_file_in_the_folder(
    window: ReportsWindow, finished: Job, office: Office, prompts: PreparedPrompts
) -> None:
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, finished.visit).number = "2024/../118"
    window.refresh()
    (prompts.folder / "reports").mkdir()
    prompts.names = ["reports"]
    push(window, "reports_save")
    [path] = (prompts.folder / "reports").iterdir()
    assert path.name == "Service report 2024%2F..%2F118.pdf"


def test_visits_without_a_report_are_told_by_their_reasons(
    window: ReportsWindow, finished: Job, office: Office, clock: StillClock
) -> None:
    for turn in range(MOST_NAMED + 2):
        with office.unit_of_work(ACT) as session:
            waiting = lifecycle.take_call(
                session,
                CallDetails(
                    "no_response", customer_id=finished.customer, appliance_id=finished.appliance
                ),
            )
            start = clock() + timedelta(minutes=turn)
            lifecycle.book(session, waiting, start=start, technician_id=finished.technician)
    window.refresh()
    assert said(window, "reports_foot").startswith("No report yet: not begun (A-0000")
    assert said(window, "reports_foot").endswith(" and 2 more)")


@pytest.mark.shipped_content  # by which the sample office is worked
def test_stopping_leaves_whole_files_and_says_so_at_once(
    qtbot: QtBot,
    tmp_path_factory: pytest.TempPathFactory,
    clock: StillClock,
    prompts: PreparedPrompts,
) -> None:
    """On threads, as at the counter: from the press to the sentence a fifth of a second at most."""
    queue = WorkQueue(Office.open(own_office(tmp_path_factory, FEW), now=clock))
    window = ReportsWindow(queue, prompts, FIRST_DAY.date())
    qtbot.addWidget(window)
    window.show()
    window.period.since.put("2025-01-01")
    window.refresh()
    qtbot.waitUntil(lambda: window.model.rowCount() > 20)
    folder = prompts.folder / "reports"
    folder.mkdir()
    prompts.names = ["reports"]
    window.buttons["save"].click()
    qtbot.waitUntil(lambda: len(list(folder.glob("*.pdf"))) > 2, timeout=20_000)

    start = time.perf_counter()
    window.busy.stop_asked.emit()
    assert said(window, "reports_said").startswith("Stopped.")
    assert time.perf_counter() - start < 0.2
    queue.close()
    written = list(folder.iterdir())
    assert len(written) < window.model.rowCount()
    for path in written:
        with opened(path.read_bytes()) as document:
            assert len(document)


def test_the_whole_month_is_one_touch(window: ReportsWindow) -> None:
    type_into(window, "since", "3 nov 2026")
    push(window, "reports_month")
    assert window.batch is not None
    assert (window.batch.since.day, window.batch.until.day) == (1, 30)


def test_days_without_a_finished_visit_say_so(window: ReportsWindow) -> None:
    for name in ("since", "until"):
        type_into(window, name, "3 jan 2026")
    window.refresh()
    assert "No visit was finished" in said(window, "reports_said")
    assert not window.buttons["show"].isEnabled()


def test_a_day_that_is_none_is_told_under_its_line(window: ReportsWindow) -> None:
    type_into(window, "since", "nonsense")
    window.refresh()
    assert said(window, "under_since").startswith("▲")
