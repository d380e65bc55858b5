"""What stands typed and is not handed in yet: kept, moved, and gone with what needs it."""

from __future__ import annotations

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.records.actions import entering, measuring
from desk.records.actions.drafts import SeeHalfTyped
from desk.records.fields.call_fields import CallDetails
from desk.records.office.office import Office
from desk.records.tables import Change, ChangeSet
from desk.records.views.drafts import on_visit
from tests.conftest import StillClock
from tests.records.jobs import begin_job


def test_what_is_typed_stays_until_it_is_emptied(office: Office) -> None:
    office.set_aside("form", {"name": "Ines", "phone": "212"})
    office.set_aside("form", {"name": "Ines Marsh"})
    office.set_aside("another form", {"name": "Tom"})
    assert office.answer(SeeHalfTyped("form")) == {"name": "Ines Marsh", "phone": "212"}
    office.set_aside("form", {"phone": ""})
    assert office.answer(SeeHalfTyped("form")) == {"name": "Ines Marsh"}


def test_typing_is_no_act_of_a_person(office: Office) -> None:
    with office.read() as session:
        before = session.scalars(sa.select(sa.func.count()).select_from(ChangeSet)).one()
    office.set_aside("form", {"name": "Ines"})
    with office.read() as session:
        assert session.scalars(sa.select(sa.func.count()).select_from(ChangeSet)).one() == before
        assert not session.scalars(sa.select(Change)).all()


def test_a_reading_takes_its_line_along_and_a_refused_one_leaves_it(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    place = on_visit(job.visit)
    office.set_aside(place, {"reading_tap_temperature_found": "118", "permit": "P"})
    with pytest.raises(InputError):
        office.carry_out(measuring.TakeReading(job.visit, "tap_temperature", "hot"))
    assert "reading_tap_temperature_found" in office.answer(SeeHalfTyped(place))
    sheet = office.carry_out(measuring.TakeReading(job.visit, "tap_temperature", "118 F"))
    assert sheet.half_typed == {"permit": "P"}


def test_a_call_takes_along_what_was_typed_before_it_was_written_down(office: Office) -> None:
    office.set_aside("call/new", {"street": "9 Fen Road"})
    call = CallDetails("no_response", "Cold", caller_name="Ines Marsh")
    taken = office.carry_out(entering.TakeCall(call, typed_at="call/new"))
    assert office.answer(SeeHalfTyped("call/new")) == {}
    so_far = office.answer(entering.SeeCall(taken.visit_id))
    assert (so_far.typed, so_far.record) == ({"street": "9 Fen Road"}, None)
    office.carry_out(entering.MendCall(taken.visit_id, call, is_all=True))
    assert office.answer(entering.SeeCall(taken.visit_id)).typed == {}
