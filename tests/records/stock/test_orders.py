"""Parts asked for: what is to be ordered, what is on its way, what came for whom."""

from __future__ import annotations

import uuid

import pytest

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.actions.closing import Finish, OrderForVisit, SetCause, UsePart, WriteDown
from desk.records.actions.entering import AddPart, MendPart
from desk.records.actions.stock import AskForPart, OrderPart, PartCame, SeeOrders, WithdrawOrder
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.actions.visit import Arrive
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.views.shop import OrderLine
from desk.records.visits.follow_up import ask_for_second_look
from tests.conftest import StillClock
from tests.records.jobs import REASONS, Job, begin_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


@pytest.fixture
def gasket(office: Office) -> uuid.UUID:
    """A part of which the shelf is to keep five, and holds two."""
    part = office.carry_out(AddPart(PartDetails("G-1", "Gasket", None), 2))
    office.carry_out(MendPart(part, PartDetails("", "Gasket", None, 5)))
    return part


def lines(office: Office) -> list[tuple[str, int, str, str]]:
    return [(line.name, line.pieces, line.visit, line.state) for line in office.answer(SeeOrders())]


def the_line(office: Office) -> OrderLine:
    (line,) = office.answer(SeeOrders())
    return line


def shelf(office: Office, part: uuid.UUID) -> int:
    with office.read() as session:
        return parts.stock(session, part)


def test_what_the_shelf_lacks_is_to_be_ordered(office: Office, gasket: uuid.UUID) -> None:
    assert lines(office) == [("Gasket", 3, "", "to_order")]
    office.carry_out(OrderPart(the_line(office)))
    assert lines(office) == [("Gasket", 3, "", "ordered")]
    office.carry_out(PartCame(the_line(office).order_id or uuid.UUID(int=0)))
    assert lines(office) == []
    assert shelf(office, gasket) == 5


def test_what_is_asked_for_counts_against_what_the_shelf_lacks(
    office: Office, gasket: uuid.UUID
) -> None:
    office.carry_out(AskForPart(number="G-1", pieces=2))
    assert sorted(lines(office)) == [("Gasket", 1, "", "to_order"), ("Gasket", 2, "", "to_order")]
    office.carry_out(AskForPart(number="G-1", pieces=9))
    assert sum(pieces for _name, pieces, _visit, _state in lines(office)) == 11


def test_a_visit_waits_for_its_part_until_it_is_fitted(office: Office, job: Job) -> None:
    number = job.row().number
    office.carry_out(AddPart(PartDetails("F-7", "Flow sensor")))
    sheet = office.carry_out(OrderForVisit(job.visit, number="F-7"))
    assert [line.name for line in sheet.orders] == ["Flow sensor"]
    assert lines(office) == [("Flow sensor", 1, number, "to_order")]
    office.carry_out(Finish(job.visit, "to_continue"))
    office.carry_out(OrderPart(the_line(office)))
    office.carry_out(PartCame(the_line(office).order_id or uuid.UUID(int=0)))
    assert lines(office) == [("Flow sensor", 1, number, "came")]
    assert the_line(office).customer
    assert the_line(office).goes_on is None
    with office.unit_of_work(message("Second look")) as session:
        again = ask_for_second_look(session, job.visit)
    office.carry_out(Arrive(again, technician_id=job.technician))
    office.carry_out(UsePart(again, number="F-7"))
    office.carry_out(SetCause(again, cause="sensor_dead"))
    office.carry_out(WriteDown(again, REASONS))
    office.carry_out(Finish(again, "mended"))
    assert lines(office) == []


def test_a_part_in_words_is_ordered_too(office: Office, job: Job) -> None:
    office.carry_out(OrderForVisit(job.visit, name="The odd clip", pieces=2))
    assert lines(office) == [("The odd clip", 2, job.row().number, "to_order")]


def test_everything_can_be_taken_back(office: Office, gasket: uuid.UUID) -> None:
    office.carry_out(OrderPart(the_line(office)))
    office.carry_out(PartCame(the_line(office).order_id or uuid.UUID(int=0)))
    office.carry_out(TakeBack())
    assert lines(office) == [("Gasket", 3, "", "ordered")]
    assert shelf(office, gasket) == 2
    office.carry_out(TakeBack())
    assert lines(office) == [("Gasket", 3, "", "to_order")]
    office.carry_out(DoAgain())
    office.carry_out(DoAgain())
    assert lines(office) == []


def test_an_order_is_withdrawn_until_it_came(office: Office, gasket: uuid.UUID) -> None:
    order = office.carry_out(AskForPart(number="G-1", pieces=3))
    office.carry_out(WithdrawOrder(order))
    assert lines(office) == [("Gasket", 3, "", "to_order")]
    order = office.carry_out(AskForPart(number="G-1", pieces=3))
    office.carry_out(PartCame(order))
    for command in (PartCame(order), WithdrawOrder(order)):
        with pytest.raises(RuleError):
            office.carry_out(command)


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"number": "X-9"}, "number"), ({}, "number"), ({"name": "clip", "pieces": 0}, "pieces")],
)
def test_what_cannot_be_meant_is_refused(
    office: Office, typed: dict[str, object], field: str
) -> None:
    with pytest.raises(InputError) as refused:
        office.carry_out(AskForPart(**typed))  # type: ignore[arg-type]
    assert refused.value.field == field
