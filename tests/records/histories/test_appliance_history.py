"""An appliance over its life, gathered from the records: whole, in order, and quickly."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.records.actions.belonging import ChangeHands, JoinAppliances, ReplaceAppliance
from desk.records.actions.documents import SeeApplianceHistory
from desk.records.actions.entering import AddAppliance
from desk.records.documents.report_snapshot import report_of
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.histories.appliance_history import appliance_by_number, appliance_history
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import Appliance, Visit
from desk.records.views.appliance_life import ApplianceHistory
from desk.records.views.measured import FlowSetup
from desk.records.visits import lifecycle
from tests.conftest import FIRST_DAY, StillClock
from tests.records.jobs import ACT, Job, begin_job, take_job
from tests.records.landlord import enter_estate

GPM = 231 * 0.0254**3 / 60


def history(office: Office, job: Job) -> ApplianceHistory:
    return office.answer(SeeApplianceHistory(job.appliance))


def number_of(office: Office, appliance: object) -> str:
    with office.read() as session:
        return session.get_one(Appliance, appliance).number


def test_a_flow_has_the_interval_that_its_report_tells(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        setup = FlowSetup(container="1 gal", graduation="0.1 gal", outlet="Kitchen tap")
        reading = readings.start_flow(session, job.visit, "found", setup)
        session.flush()
        for seconds in ("61 s", "63 s", "62 s", "80 s"):
            readings.add_fill(session, reading, seconds)
        readings.strike_fill(session, reading, 4, "Slipped")
        readings.take_reading(session, job.visit, "tap_temperature", "120 °F", moment="left")
    with office.read() as session:
        [reported] = report_of(session, session.get_one(Visit, job.visit)).flows
    [visit] = history(office, job).visits
    [flow] = visit.flows
    assert flow.flow_m3_per_s == reported.flow_m3_per_s == pytest.approx(0.968 * GPM, rel=1e-3)
    assert flow.expanded_uncertainty_m3_per_s == reported.expanded_uncertainty_m3_per_s
    assert (flow.when, flow.outlet) == ("found", "Kitchen tap")
    [temperature] = visit.temperatures
    assert temperature.when == "left"
    assert temperature.kelvin == pytest.approx(322.04, abs=0.01)
    assert temperature.standard_uncertainty_k > 0


def test_flows_are_held_against_the_appliances_own_activation_flow(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    assert history(office, job).activation_m3_per_s == pytest.approx(0.5 * GPM)
    with office.unit_of_work(ACT) as session:
        row = session.get_one(Appliance, job.appliance)
        row.activation_m3_per_s, row.activation_typed = None, ""
    assert history(office, job).activation_m3_per_s is None
    with office.unit_of_work(ACT) as session:
        setup = FlowSetup(container="1 gal", activation="0.7 gpm")
        reading = readings.start_flow(session, job.visit, "found", setup)
        session.flush()
        readings.add_fill(session, reading, "60 s")
    assert history(office, job).activation_m3_per_s == pytest.approx(0.7 * GPM)


def test_a_visit_tells_what_was_reported_found_done_and_fitted(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        parts.use_part(
            session, job.visit, name="Flow sensor", pieces=2, old_serial="O-1", new_serial="N-1",
            reason="Cracked", kept_for_claim=True,
        )  # fmt: skip
        visit = session.get_one(Visit, job.visit)
        visit.cause, visit.second_cause_words = "inlet_screen_blocked", "Grit in the mains"
        visit.work_done, visit.warranty_claim = "Screen cleaned", "C-77"
        session.get_one(Appliance, job.appliance).warranty_until = FIRST_DAY.date()
    life = history(office, job)
    [one] = life.visits
    assert (one.who, one.technician, one.words) == (
        "Mara Quill", "Ann Poole", "No hot water since last night.",
    )  # fmt: skip
    assert one.causes[1] == "Grit in the mains"
    assert "screen" in one.causes[0].lower()
    assert (one.work_done, one.warranty_claim, one.under_warranty) == (
        "Screen cleaned", "C-77", True,
    )  # fmt: skip
    [part] = one.parts
    assert (part.name, part.quantity, part.old_serial, part.new_serial) == (
        "Flow sensor", 2, "O-1", "N-1",
    )  # fmt: skip
    assert part.kept_for_claim
    assert (life.totals.visits, life.totals.open, life.totals.pieces) == (0, 1, 2)


def test_a_part_or_a_reading_that_was_taken_back_is_not_told(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        used = parts.use_part(session, job.visit, name="Flow sensor")
        reading = readings.take_reading(session, job.visit, "tap_temperature", "120 °F")
    with office.unit_of_work(ACT) as session:
        parts.withdraw_used(session, job.visit, used)
        readings.withdraw_reading(session, reading)
    [visit] = history(office, job).visits
    assert (visit.parts, visit.temperatures) == ((), ())


def test_owners_and_occupants_and_what_stood_there_before_are_told(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    office.carry_out(ChangeHands(job.premises, "owner", date(2026, 11, 2), None, name="Ines Marsh"))
    details = ApplianceDetails("combination_boiler", maker="Invented", model="Kestle 30")
    replaced = date(2026, 11, 20)
    new = office.carry_out(ReplaceAppliance(job.appliance, job.premises, replaced, details=details))
    old_number, new_number = number_of(office, job.appliance), number_of(office, new)
    of_old, of_new = history(office, job), office.answer(SeeApplianceHistory(new))
    assert [(tie.name, tie.role, tie.until) for tie in of_old.ties] == [
        ("Ines Marsh", "owner", None),
        ("Mara Quill", "owner", date(2026, 11, 2)),
    ]
    assert [(link.number, link.until, link.is_this) for link in of_new.chain] == [
        (old_number, date(2026, 11, 20), False),
        (new_number, None, True),
    ]
    assert [link.is_this for link in of_old.chain] == [True, False]
    assert (len(of_old.visits), len(of_new.visits)) == (1, 0)


def test_a_number_leads_to_the_appliance_that_it_was_joined_into(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    twice = office.carry_out(AddAppliance(job.premises, ApplianceDetails("combination_boiler")))
    other = number_of(office, twice)
    office.carry_out(JoinAppliances(twice, job.appliance))
    with office.read() as session:
        found = appliance_by_number(session, f" {other.lower()} ")
        assert found.id == job.appliance
        assert appliance_history(session, found).joined == (other,)
        with pytest.raises(InputError, match="There is no appliance Q-9 in this office"):
            appliance_by_number(session, "Q-9")


def test_a_call_that_repeats_a_finished_visit_is_marked_with_its_days(office: Office) -> None:
    estate = enter_estate(office, premises=1, appliances=1, visits=3)
    newest, middle, oldest = office.answer(SeeApplianceHistory(estate.appliances[0])).visits
    assert oldest.days_since is None
    assert (middle.repeats, middle.days_since) == (oldest.number, 70)
    assert (newest.repeats, newest.days_since) == (middle.number, 70)


def test_visits_stand_newest_first_and_totals_count_them(office: Office) -> None:
    estate = enter_estate(office, premises=1, appliances=2, visits=7)
    life = office.answer(SeeApplianceHistory(estate.appliances[1]))
    days = [visit.day for visit in life.visits]
    assert days == sorted(days, reverse=True)
    assert len(days) == life.totals.visits == life.totals.pieces == life.totals.flows == 7
    assert life.visits[0].flows[0].expanded_uncertainty_m3_per_s is None


def statements(office: Office, appliance: object) -> int:
    """Return how many statements a history takes."""
    seen: list[str] = []
    with office.read() as session:
        bind = session.connection().engine

        def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
            seen.append(statement)

        sa.event.listen(bind, "before_cursor_execute", note)
        try:
            appliance_history(session, session.get_one(Appliance, appliance))
        finally:
            sa.event.remove(bind, "before_cursor_execute", note)
    return len(seen)


def test_three_hundred_visits_take_as_many_statements_as_two(office: Office) -> None:
    few = enter_estate(office, premises=1, appliances=1, visits=2)
    many = enter_estate(
        office, premises=1, appliances=1, visits=300, name="Odile Farrow", numbers_from=50_000
    )
    assert statements(office, few.appliances[0]) == statements(office, many.appliances[0])
    assert len(office.answer(SeeApplianceHistory(many.appliances[0])).visits) == 300


def test_a_visit_that_was_called_off_says_why(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        lifecycle.book(
            session, job.visit, start=clock() + timedelta(days=1), technician_id=job.technician
        )
        lifecycle.call_off(session, job.visit, "Sorted itself out")
    life = history(office, job)
    assert life.visits[0].called_off_reason == "Sorted itself out"
    assert (life.totals.called_off, life.totals.open) == (1, 0)
