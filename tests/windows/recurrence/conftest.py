"""An office in which a job came back, and the window over it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.visits import lifecycle
from desk.windows.recurrence.window import RepeatsWindow
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons, take_job
from tests.windows.fakes import PreparedPrompts

A_DAY = 24 * 60


def finish_one(office: Office, job: Job, cause: str) -> None:
    """Call, arrive, find a cause and finish, all at the same minute."""
    with office.unit_of_work(ACT) as session:
        visit = lifecycle.take_call(session, CallDetails("no_response", appliance_id=job.appliance))
        lifecycle.arrive(session, visit, technician_id=job.technician)
        lifecycle.set_cause(session, visit, cause=cause)
        give_reasons(session, visit)
        lifecycle.finish(session, visit, "mended")


@pytest.fixture
def repeated(office: Office, clock: StillClock) -> Job:
    """A job that came back after twenty days; both windows are over."""
    job = take_job(office, clock)
    finish_one(office, job, "element_stuck")
    clock.pass_minutes(20 * A_DAY)
    finish_one(office, job, "sensor_dead")
    clock.pass_minutes(120 * A_DAY)
    return job


@pytest.fixture
def window(qtbot: QtBot, queue: InlineQueue, prompts: PreparedPrompts) -> RepeatsWindow:
    window = RepeatsWindow(queue, prompts)
    window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    qtbot.addWidget(window)
    window.show()
    return window
