"""What the office prints for itself, from where it is looked at: histories, parts, its copies."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desk.records.actions.belonging import ReplaceAppliance
from desk.records.actions.closing import UsePart
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import Appliance
from desk.records.visits import lifecycle
from desk.windows.back_office.parts_usage_window import UsedWindow
from desk.windows.back_office.parts_window import PartsWindow
from desk.windows.counter.window import CounterWindow
from desk.windows.documents.window import DocumentWindow
from desk.windows.visit.window import VisitWindow
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import FIRST_DAY
from tests.paper.reading_back import bare, text_of
from tests.records.jobs import ACT, Job
from tests.windows.fakes import PreparedPrompts, unnamed_controls
from tests.windows.hands import press, push, said, type_into


def saved(shown: DocumentWindow | None, prompts: PreparedPrompts) -> Path:
    """Save the document that is shown and return where."""
    assert shown is not None
    press(shown, "Ctrl+S")
    [path] = [one for one in prompts.folder.iterdir() if one.suffix == ".pdf"]
    return path


@pytest.fixture
def used(job: Job, office: Office) -> Job:
    """A visit under way on which a sensor out of the catalogue was fitted."""
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        parts.add_part(session, PartDetails("S-118", "Flow sensor", 6450))
        session.flush()
        parts.use_part(session, job.visit, number="S-118", pieces=2)
    return job


@pytest.fixture
def window(used: Job, counter: CounterWindow) -> UsedWindow:
    press(counter, "Ctrl+T")
    catalogue = counter.findChild(PartsWindow)
    assert catalogue is not None
    push(catalogue, "parts_used")
    shown = catalogue.findChild(UsedWindow)
    assert shown is not None
    return shown


def test_an_appliances_history_is_a_press_away_from_it(
    counter: CounterWindow, job: Job, prompts: PreparedPrompts, office: Office
) -> None:
    with office.read() as session:
        number = session.get_one(Appliance, job.appliance).number
    counter.record.open(job.customer)
    push(counter, f"history_{number}")
    path = saved(counter.findChild(DocumentWindow), prompts)
    assert path.name == f"Appliance history {number}.pdf"
    assert bare(f"No. {number} Invented Kestle 24") in text_of(path.read_bytes())


def test_what_was_replaced_has_its_history_still(
    counter: CounterWindow, job: Job, prompts: PreparedPrompts, office: Office
) -> None:
    with office.read() as session:
        number = session.get_one(Appliance, job.appliance).number
    office.carry_out(ReplaceAppliance(job.appliance, job.premises, FIRST_DAY.date()))
    counter.record.open(job.customer)
    push(counter, f"history_{number}")
    path = saved(counter.findChild(DocumentWindow), prompts)
    assert bare(f"▶ {number} Invented Kestle 24 replaced 24 Nov 2026") in text_of(path.read_bytes())


def test_the_parts_of_this_month_are_shown_first(window: UsedWindow) -> None:
    assert said(window, "used_said") == (
        "2 pieces were used on 1 visit. Those with a price come to $129.00."
    )
    [one] = [window.model.row(row) for row in range(window.model.rowCount())]
    assert (one.number, one.total.cents, one.stock) == ("S-118", 12900, (("Ann Poole", 2),))
    assert not unnamed_controls(window)


def test_parts_used_are_printed_from_their_window(
    window: UsedWindow, prompts: PreparedPrompts
) -> None:
    push(window, "used_print")
    path = saved(window.findChild(DocumentWindow), prompts)
    assert path.name == "Parts used 2026-11-01 to 2026-11-30.pdf"
    assert bare("Flow sensor S-118 2 from Ann Poole's van 2 1 129.00") in text_of(path.read_bytes())


def test_the_lines_are_saved_for_a_spreadsheet(
    window: UsedWindow, prompts: PreparedPrompts
) -> None:
    push(window, "used_csv")
    [path] = [one for one in prompts.folder.iterdir() if one.suffix == ".csv"]
    [line] = csv.DictReader(path.read_text(encoding="utf-8").splitlines())
    assert (line["part"], line["amount"]) == ("S-118", "129.00")
    assert said(window, "used_said") == f"Saved as {path.name}."


def test_other_days_are_typed_and_a_slip_is_told_under_its_line(window: UsedWindow) -> None:
    type_into(window, "since", "1 oct 2026")
    push(window, "used_month")
    assert "No part was used" in said(window, "used_said")
    assert not window.buttons["csv"].isEnabled()
    line = type_into(window, "until", "1 sep 2026")
    line.returnPressed.emit()
    assert "comes before the first" in window.period.until.under.text()


def test_what_is_fitted_meanwhile_comes_in(
    window: UsedWindow, used: Job, queue: InlineQueue
) -> None:
    queue.act(window, UsePart(used.visit, name="Copper elbow"), lambda _done: None, print)
    assert said(window, "used_said").startswith("3 pieces were used on 1 visit.")


def test_the_office_copy_is_shown_from_the_visit(
    qtbot: QtBot, queue: InlineQueue, used: Job, prompts: PreparedPrompts
) -> None:
    sheet = VisitWindow(queue, prompts, used.visit)
    qtbot.addWidget(sheet)
    sheet.show()
    sheet.sign.office_copy.click()
    shown = sheet.findChild(DocumentWindow)
    assert shown is not None
    assert "mail" not in shown.buttons
    text = text_of(saved(shown, prompts).read_bytes())
    assert bare("OFFICE COPY, NOT FOR THE CUSTOMER") in text
    assert bare("2 Flow sensor S-118 Ann Poole's van $129.00") in text
