"""What is said of a flow afterwards counts as if it had been said before."""

from __future__ import annotations

import pytest

from desk.base.errors import InputError
from desk.records.actions.measuring import FirstFill, SayCircumstances
from desk.records.actions.visit import Undo
from desk.records.office.office import Office
from desk.records.views.measured import FlowSetup
from tests.conftest import StillClock
from tests.records.jobs import begin_job


def test_a_flow_vouched_for_afterwards_is_enough_for_the_appliance(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    setup = FlowSetup(container="2 gal")
    sheet = office.carry_out(FirstFill(job.visit, "found", setup, "1:02"))
    assert sheet.flow_circumstances == (frozenset(),)
    assert sheet.report.flows[0].verdict == "enough_at_outlet"
    flow = sheet.flow_ids[0]
    sheet = office.carry_out(SayCircumstances(job.visit, flow, frozenset({"vouched"})))
    assert sheet.flow_circumstances == (frozenset({"vouched"}),)
    assert sheet.report.flows[0].verdict == "enough"
    sheet = office.carry_out(Undo(job.visit))
    assert sheet.report.flows[0].verdict == "enough_at_outlet"


def test_a_circumstance_that_is_none_is_refused(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    sheet = office.carry_out(FirstFill(job.visit, "found", FlowSetup(container="2 gal"), "1:02"))
    with pytest.raises(InputError, match="no circumstance weather"):
        office.carry_out(SayCircumstances(job.visit, sheet.flow_ids[0], frozenset({"weather"})))
