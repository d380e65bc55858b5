"""What can be taken back is told by what was done at first."""

from __future__ import annotations

from desk.records.actions.closing import WriteDown
from desk.records.actions.visit import Redo, Undo
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import begin_job


def test_an_act_keeps_its_name_through_undo_and_redo(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    said = "Visit written"
    assert office.carry_out(WriteDown(job.visit, {"permit": "P-7"})).can_undo == said
    assert office.carry_out(Undo(job.visit)).can_redo == said
    again = office.carry_out(Redo(job.visit))
    assert (again.can_undo, again.can_redo) == (said, "")
    assert office.carry_out(Undo(job.visit)).can_redo == said
