"""Readings: as typed, computed again from what was typed, a slip struck out and never erased."""

from __future__ import annotations

import uuid

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.records.documents.report_snapshot import report_of
from desk.records.fields import person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import Reading, Visit
from desk.records.views.measured import FlowLine, FlowSetup, ReadingLine
from desk.records.views.report import VisitReport
from desk.records.visits import lifecycle
from desk.trade.readings.shop_thresholds import USUAL_ACTIVATION
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job, take_job

BUCKET = FlowSetup(container="5 gal", graduation="0.5 gal", outlet="Kitchen")


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


def _start(job: Job, setup: FlowSetup = BUCKET) -> uuid.UUID:
    with job.office.unit_of_work(ACT) as session:
        return readings.start_flow(session, job.visit, "found", setup)


def _fill(job: Job, reading: uuid.UUID, typed: str, mass: str = "") -> None:
    with job.office.unit_of_work(ACT) as session:
        readings.add_fill(session, reading, typed, mass=mass)


def _report(job: Job) -> VisitReport:
    with job.office.read() as session:
        return report_of(session, session.get_one(Visit, job.visit))


def _flow(job: Job) -> FlowLine:
    [flow] = _report(job).flows
    return flow


def test_a_flow_is_computed_from_its_fills(job: Job) -> None:
    reading = _start(job)
    _fill(job, reading, "38.2s")
    _fill(job, reading, "0:38.9")
    flow = _flow(job)
    assert flow.flow_m3_per_s == pytest.approx(5 * 3.785411784e-3 / 38.55)
    assert [fill.typed for fill in flow.fills] == ["38.2s", "0:38.9"]
    assert flow.verdict == "enough_at_outlet"
    assert flow.activation_typed == "0.5 gpm"
    with job.office.read() as session:
        kept = session.scalars(sa.select(Reading)).one()
        assert kept.si_value == flow.flow_m3_per_s
        assert kept.standard_uncertainty_si == flow.standard_uncertainty_m3_per_s


def test_fills_that_contradict_each_other_leave_no_verdict_and_no_probability(job: Job) -> None:
    reading = _start(job, FlowSetup(container="1 gal", graduation="0.02 gal", outlet="Kitchen"))
    _fill(job, reading, "112 s")
    assert _flow(job).verdict == "enough_at_outlet"
    _fill(job, reading, "124 s")
    flow = _flow(job)
    assert (flow.verdict, flow.probability_reached, flow.settle) == ("cannot_tell", None, ())
    assert str(flow.verdict_text) == (
        "Cannot tell: the fills contradict each other; time 2 more of the same."
    )
    assert len(flow.warnings) == 1


def test_a_flow_vouched_for_all_round_is_enough_for_the_appliance(job: Job) -> None:
    reading = _start(
        job,
        FlowSetup(
            container="5 gal",
            graduation="0.5 gal",
            full_hot=True,
            no_mixing_valve=True,
            crossing_passed=True,
        ),
    )
    _fill(job, reading, "38.2")
    assert _flow(job).verdict == "enough"


def test_a_slip_is_struck_out_and_not_computed_with(job: Job) -> None:
    reading = _start(job)
    _fill(job, reading, "38 s")
    _fill(job, reading, "3 s")
    with job.office.unit_of_work(ACT) as session:
        readings.strike_fill(session, reading, 2, "Started late")
    flow = _flow(job)
    assert flow.flow_m3_per_s == pytest.approx(5 * 3.785411784e-3 / 38)
    assert [(fill.struck, fill.struck_reason) for fill in flow.fills] == [
        (False, ""),
        (True, "Started late"),
    ]


def test_a_flow_whose_only_fill_is_struck_has_no_result(job: Job) -> None:
    reading = _start(job)
    _fill(job, reading, "38 s")
    with job.office.unit_of_work(ACT) as session:
        readings.strike_fill(session, reading, 1)
    flow = _flow(job)
    assert (flow.flow_m3_per_s, flow.verdict, len(flow.fills)) == (None, "", 1)


def test_fills_can_be_weighed(job: Job) -> None:
    setup = FlowSetup(scale="0.05 kg", water_temperature="50 F")
    reading = _start(job, setup)
    _fill(job, reading, "60 s", "9.1 kg")
    flow = _flow(job)
    assert flow.method == "weight"
    assert flow.formula.startswith("Q = sum(m) / (rho(T) sum(t)); ")
    assert flow.container_typed == "0.05 kg"
    assert flow.flow_m3_per_s == pytest.approx(9.1 / 999.7 / 60, rel=1e-4)
    with pytest.raises(InputError, match="Type the mass"):
        _fill(job, reading, "60 s")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("0 s", "longer than no time"),
        ("soon", "soon"),
        ("", "Type a time"),
        ("nan", "nan"),
        ("-4 s", "out of range"),
    ],
)
def test_a_fill_that_cannot_be_is_refused_and_nothing_is_lost(
    job: Job, typed: str, says: str
) -> None:
    reading = _start(job)
    _fill(job, reading, "38 s")
    with pytest.raises(InputError, match=says) as caught:
        _fill(job, reading, typed)
    assert caught.value.field == "fill"
    assert len(_flow(job).fills) == 1


def test_either_a_container_or_a_scale(job: Job) -> None:
    for setup in (FlowSetup(), FlowSetup(container="5 gal", scale="0.1 kg")):
        with pytest.raises(InputError) as caught:
            _start(job, setup)
        assert caught.value.field == "container"
    with pytest.raises(InputError) as caught:
        _start(job, FlowSetup(container="a bucket"))
    assert caught.value.field == "container"


def test_an_appliance_without_an_activation_flow_is_held_to_the_usual_one(
    office: Office, clock: StillClock
) -> None:
    with office.unit_of_work(ACT) as session:
        from desk.records.parties import customers

        technician = customers.add_person(
            session, person_fields.PersonDetails("Cy Lund", is_technician=True)
        )
        visit = lifecycle.take_call(session, CallDetails("no_response"))
        lifecycle.arrive(session, visit, technician_id=technician)
        reading = readings.start_flow(session, visit, "found", BUCKET)
        readings.add_fill(session, reading, "600 s")
        report = report_of(session, session.get_one(Visit, visit))
    assert report.flows[0].activation_typed == USUAL_ACTIVATION
    assert report.flows[0].verdict == "cannot_tell"
    assert report.flows[0].settle


def test_other_readings_keep_what_was_typed(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        readings.take_reading(
            session, job.visit, "tap_temperature", "118F", moment="left", instrument="T-3"
        )
        readings.take_reading(session, job.visit, "fault_code", " E-blink 4 ")
    temperature, code = _report(job).readings
    assert (temperature.typed, temperature.instrument) == ("118F", "T-3")
    assert temperature.si_value == pytest.approx((118 - 32) / 1.8 + 273.15)
    assert (code.typed, code.si_value) == ("E-blink 4", None)


@pytest.mark.parametrize(
    ("kind", "typed"),
    [("tap_temperature", "hot"), ("fault_code", " "), ("aura", "1"), ("static_pressure", "50 F")],
)
def test_a_reading_that_cannot_be_read_is_refused(job: Job, kind: str, typed: str) -> None:
    with pytest.raises(InputError), job.office.unit_of_work(ACT) as session:
        readings.take_reading(session, job.visit, kind, typed)


def test_a_reading_taken_back_stays_in_the_record(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        reading = readings.take_reading(session, job.visit, "fault_code", "4")
    with job.office.unit_of_work(ACT) as session:
        readings.withdraw_reading(session, reading)
    assert _report(job).readings == ()
    with job.office.read() as session:
        assert session.get_one(Reading, reading).typed == "4"


def test_nothing_is_measured_before_arriving(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with pytest.raises(RuleError, match="not under way"):
        _start(job)


def test_a_part_of_the_catalogue_leaves_the_technicians_van(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        part = parts.add_part(session, PartDetails("RS-2", "Reed switch"))
        parts.move_stock(session, part, 3, "received", van_of_id=job.technician)
    with job.office.unit_of_work(ACT) as session:
        parts.use_part(session, job.visit, number="RS-2", new_serial="77", reason="never closes")
        parts.use_part(session, job.visit, name="Hand-made gasket")
    with job.office.read() as session:
        assert parts.stock(session, part, job.technician) == 2
        assert parts.stock(session, part) == 0
    assert [line.name for line in _report(job).parts] == ["Reed switch", "Hand-made gasket"]


def test_a_part_that_is_none_is_refused(job: Job) -> None:
    for wrong in ({"number": "XX"}, {}, {"name": "Gasket", "pieces": 0}):
        with pytest.raises(InputError), job.office.unit_of_work(ACT) as session:
            parts.use_part(session, job.visit, **wrong)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="already"), job.office.unit_of_work(ACT) as session:
        parts.add_part(session, PartDetails("RS-2", "Reed switch"))
        parts.add_part(session, PartDetails("RS-2", "Reed switch"))


def _read(job: Job, kind: str, typed: str, moment: str = "left") -> ReadingLine:
    with job.office.unit_of_work(ACT) as session:
        readings.take_reading(session, job.visit, kind, typed, moment=moment)
    return _report(job).readings[-1]


@pytest.mark.parametrize(
    ("typed", "safe"), [("117 F", "yes"), ("120 F", "cannot_tell"), ("127 F", "no")]
)
def test_the_tap_is_judged_by_probability_and_says_so(job: Job, typed: str, safe: str) -> None:
    line = _read(job, "tap_temperature", typed)
    assert line.safe == safe
    assert "ceiling" in line.remarks[-1].id


def test_a_danger_in_a_reading_is_said(job: Job) -> None:
    line = _read(job, "co_in_room", "80 ppm")
    assert "leave at once" in line.remarks[0].id
    assert _read(job, "co_in_room", "0 ppm").remarks == ()


def test_a_reading_is_as_sure_as_its_instrument(job: Job) -> None:
    line = _read(job, "inlet_temperature", "52 F")
    assert line.standard_uncertainty_si == pytest.approx(1 / 3**0.5, rel=0.01)
    assert _read(job, "fault_code", "E3").standard_uncertainty_si is None
