"""The first fill begins its flow: both are kept, or neither."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.records.actions.measuring import FirstFill
from desk.records.actions.visit import Undo
from desk.records.office.office import Office
from desk.records.tables import Reading
from desk.records.views.measured import FlowSetup
from tests.conftest import StillClock
from tests.records.jobs import begin_job

BUCKET = FlowSetup(container="2 gal", outlet="Kitchen")


def test_a_first_fill_begins_the_flow_and_is_taken_back_with_it(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    sheet = office.carry_out(FirstFill(job.visit, "found", BUCKET, "1:02", check="timed_flow"))
    [flow] = sheet.report.flows
    assert [fill.typed for fill in flow.fills] == ["1:02"]
    assert office.carry_out(Undo(job.visit)).report.flows == ()


def test_a_refused_first_fill_leaves_no_empty_flow(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with pytest.raises(InputError) as refused:
        office.carry_out(FirstFill(job.visit, "found", BUCKET, "a while"))
    assert refused.value.field == "fill"
    with office.read() as session:
        assert session.scalars(sa.select(Reading)).all() == []
