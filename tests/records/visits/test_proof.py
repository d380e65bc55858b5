"""No visit ends as mended without its proof, whichever way it ends."""

from __future__ import annotations

from functools import partial

import pytest
import sqlalchemy as sa

from desk.base.errors import RuleError
from desk.records.actions import closing, measuring
from desk.records.actions import visit as commands
from desk.records.documents import sealing
from desk.records.fields import appliance_fields
from desk.records.measured import readings
from desk.records.measured.taken import readings_of
from desk.records.office.office import Office
from desk.records.parties import places
from desk.records.tables import Appliance, Change, Reading, Visit
from desk.records.views.measured import FlowSetup
from desk.records.visits import lifecycle
from desk.records.visits.proof import proof_of
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.jobs import ACT, REASONS, Job, begin_job, take_job
from tests.trade.diagnosis.test_rounds import TO_PUMP

READ = {
    "tap_temperature": "117 F",
    "leak_test": "looked at, dry",
    "co_in_room": "0 ppm",
    "relief_valve": "free, dry",
}


def with_cause(office: Office, clock: StillClock, cause: str = "element_stuck") -> Job:
    job = begin_job(office, clock)
    job.office.carry_out(closing.SetCause(job.visit, cause=cause))
    return job


def service(office: Office, clock: StillClock) -> Job:
    """Return a planned service that has begun."""
    job = take_job(office, clock, complaint="")
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
    return job


def states(job: Job) -> dict[str, str]:
    with job.office.read() as session:
        found = proof_of(session, session.get_one(Visit, job.visit))
        return {one.proof: one.state for one in found}


def end(job: Job) -> None:
    job.office.carry_out(closing.Finish(job.visit, "mended"))


def take(job: Job, **read: str) -> None:
    for kind, typed in read.items():
        job.office.carry_out(measuring.TakeReading(job.visit, kind, typed, moment="left"))


@pytest.mark.parametrize("left_out", every_day(READ, ["leak_test", "co_in_room"]))
def test_each_proof_that_is_missing_is_named_in_one_sentence(
    office: Office, clock: StillClock, left_out: str
) -> None:
    job = with_cause(office, clock)
    take(job, **{kind: typed for kind, typed in READ.items() if kind != left_out})
    named = {
        "tap_temperature": "hot water temperature at the outlet",
        "leak_test": "tightness of what was opened",
        "co_in_room": "carbon monoxide in the room",
        "relief_valve": "relief valve, seen",
    }[left_out]
    with pytest.raises(RuleError, match=f"is not proven yet: {named}\\."):
        end(job)
    assert job.row().state == "under_way"
    take(job, **{left_out: READ[left_out]})
    end(job)
    assert job.row().ending == "mended"


@pytest.mark.parametrize("ending", every_day(["to_continue", "no_fault_found", "left"], 1))
def test_every_other_ending_owes_nothing(office: Office, clock: StillClock, ending: str) -> None:
    job = with_cause(office, clock)
    job.office.carry_out(closing.Finish(job.visit, ending))
    assert job.row().ending == ending


def test_a_reading_of_what_was_found_proves_nothing_of_what_is_left(
    office: Office, clock: StillClock
) -> None:
    job = with_cause(office, clock)
    for kind, typed in READ.items():
        office.carry_out(measuring.TakeReading(job.visit, kind, typed))
    assert set(states(job).values()) == {"missing"}


def test_a_temperature_on_a_card_after_the_work_counts(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    office.carry_out(measuring.EnterOnCard(job.visit, "heat", "left", {"outlet": "119 F"}))
    assert states(job)["outlet_temperature"] == "measured"


def test_a_cause_that_opens_nothing_owes_no_tightness(office: Office, clock: StillClock) -> None:
    assert "tightness" not in states(with_cause(office, clock, "outlet_restricted"))
    assert "tightness" in states(with_cause(office, clock))


def test_a_cause_in_own_words_owes_tightness_until_somebody_says(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    office.carry_out(closing.SetCause(job.visit, words="A mouse"))
    assert states(job)["tightness"] == "missing"


def test_the_list_tells_what_was_seen(office: Office, clock: StillClock) -> None:
    from tests.journeys.scripts import DIVERTER

    job = begin_job(office, clock)
    job.work_through(DIVERTER)
    office.carry_out(closing.SetCause(job.visit, cause="diverter_stuck"))
    given = states(job)
    assert given.pop("relief_valve") == "seen"
    assert given.pop("co_in_room") == "missing", "a number is read of a burner"
    assert given.pop("outlet_temperature") == "missing"
    with pytest.raises(RuleError, match="carbon monoxide"):
        end(job)


def test_an_appliance_that_says_which_gas_it_burns_owes_carbon_monoxide(
    office: Office, clock: StillClock
) -> None:
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        key = places.add_appliance(
            session,
            job.premises,
            appliance_fields.ApplianceDetails("storage_heater", gas_kind="oil"),
        )
        session.get_one(Visit, job.visit).appliance_id = key
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        assert session.get_one(Appliance, key).gas_kind == "oil"
    assert states(job)["co_in_room"] == "missing"


def test_a_reason_is_kept_told_on_the_report_and_taken_back(
    office: Office, clock: StillClock
) -> None:
    job = with_cause(office, clock)
    take(job, tap_temperature="117 F", leak_test="dry", relief_valve="free")
    why = {"unproven_co_in_room": "monitor is being calibrated"}
    sheet = office.carry_out(closing.WriteDown(job.visit, why))
    line = next(one for one in sheet.report.proof if one.proof == "co_in_room")
    assert (line.state, line.reason) == ("reason", "monitor is being calibrated")
    with office.read() as session:
        fields = session.scalars(sa.select(Change.field)).all()
    assert "unproven_co_in_room" in fields
    office.carry_out(commands.Undo(job.visit))
    assert states(job)["co_in_room"] == "missing"
    office.carry_out(commands.Redo(job.visit))
    end(job)
    with office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, absent_reason="At work")
        sealed = sealing.seal(session, job.visit)
    assert [one.state for one in sealed.report.proof].count("reason") == 1
    assert sealed.report.unproven_co_in_room == "monitor is being calibrated"


def test_sealing_asks_once_more(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    office.carry_out(closing.WriteDown(job.visit, REASONS))
    end(job)
    office.carry_out(closing.Sign(job.visit, absent_reason="At work"))
    office.carry_out(closing.WriteDown(job.visit, {"unproven_relief_valve": ""}))
    with pytest.raises(RuleError, match="relief valve, seen"):
        office.carry_out(closing.Seal(job.visit))
    office.carry_out(closing.WriteDown(job.visit, {"unproven_relief_valve": "boxed in"}))
    office.carry_out(closing.Seal(job.visit))


def test_a_small_job_owes_the_same(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    small = partial(
        closing.SmallJob, job.visit,
        cause="outlet_restricted", words="", work_done="Cleaned the aerator.",
        left_state="on", ending="mended",
        setup=FlowSetup(container="2 gal"), fills=("61", "60"), technician_id=job.technician,
    )  # fmt: skip
    with pytest.raises(RuleError, match=r"at the outlet, carbon monoxide.*relief valve"):
        office.carry_out(small())
    assert job.row().state == "new_call", "nothing of a refused small job is kept"
    given = small(
        proof={"tap_temperature": "117 F", "co_in_room": "0 ppm", "relief_valve": ""},
        reasons={"unproven_relief_valve": "boxed in"},
    )
    assert office.carry_out(given).report.ending == "mended"


def test_a_planned_service_and_a_visit_begun_before_stay_as_they_were(
    office: Office, clock: StillClock
) -> None:
    planned = service(office, clock)
    assert states(planned) == {}
    end(planned)
    before = with_cause(office, clock)
    with office.unit_of_work(ACT) as session:
        session.get_one(Visit, before.visit).owes_proof = False
    assert states(before) == {}
    end(before)
    assert before.row().ending == "mended"


def test_a_visit_taken_up_again_can_lose_its_proof(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    take(job, **READ)
    end(job)
    with office.unit_of_work(ACT) as session:
        lifecycle.take_up_again(session, job.visit)
        taken = readings_of(session, session.get_one(Visit, job.visit))
        readings.withdraw_reading(session, taken[0].id)
    with pytest.raises(RuleError, match="temperature at the outlet"):
        end(job)


@pytest.mark.parametrize(
    ("kind", "typed", "said"),
    every_day(
        [
            ("co_in_room", "60 ppm", "carbon monoxide in the room: 60 ppm, against 35 ppm"),
            ("tap_temperature", "140 F", "hot water temperature at the outlet: 140 F, above the"),
            ("relief_valve", "plugged", "relief valve, seen: “plugged”"),
            ("leak_test", "not tight", "tightness of what was opened: “not tight”"),
        ],
        2,
        several_names=True,
    ),
)
def test_a_dangerous_reading_forbids_to_call_it_mended_and_says_which(
    office: Office, clock: StillClock, kind: str, typed: str, said: str
) -> None:
    job = with_cause(office, clock)
    take(job, **READ | {kind: typed})
    job.office.carry_out(closing.WriteDown(job.visit, {"unproven_co_in_room": "it is the street"}))
    with pytest.raises(RuleError, match="is not mended") as refused:
        end(job)
    assert said in str(refused.value)
    assert str(refused.value).count(". ") == 0, "one sentence"
    assert "dangerous" in states(job).values()


def test_a_danger_is_over_when_it_was_measured_again(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    take(job, **READ | {"co_in_room": "60 ppm"})
    take(job, co_in_room="0 ppm")
    end(job)


def test_each_tap_counts_until_its_reading_is_taken_out(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    take(job, tap_temperature="140 F")
    take(job, **READ)
    with pytest.raises(RuleError, match="140 F, above the ceiling"):
        end(job)
    with job.office.unit_of_work(ACT) as session:
        first = session.scalars(sa.select(Reading).order_by(Reading.id)).first()
        assert first is not None
        readings.withdraw_reading(session, first.id)
    end(job)


def test_what_was_found_before_the_work_is_no_danger_of_what_is_left(
    office: Office, clock: StillClock
) -> None:
    job = with_cause(office, clock)
    job.office.carry_out(measuring.TakeReading(job.visit, "co_in_room", "60 ppm", moment="found"))
    take(job, **READ)
    end(job)


def test_a_planned_service_is_no_more_mended_with_a_dangerous_reading(
    office: Office, clock: StillClock
) -> None:
    job = service(office, clock)
    take(job, co_in_room="60 ppm")
    with pytest.raises(RuleError, match="60 ppm, against 35 ppm"):
        end(job)
    take(job, co_in_room="0 ppm")
    end(job)


def test_what_was_measured_before_a_repair_in_vain_is_measured_again(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    for check, given in TO_PUMP:
        job.answer(check, given.answer)
    for check, answer in (
        ("pump", "fails"),
        ("cabinet_ready", "ready"),
        ("repair_response", "mended"),
    ):
        job.answer(check, answer)
    take(job, **READ)
    assert states(job)["tightness"] == "measured"
    job.answer("retest_response", "not_hot")
    assert states(job)["tightness"] == "missing"
    take(job, leak_test="looked at, dry")
    assert states(job)["tightness"] == "measured"


@pytest.mark.parametrize(("kind", "typed"), every_day([
    ("tap_temperature", "62 C"), ("co_in_room", "80 ppm"), ("leak_test", "bubbles at the union"),
    ("relief_valve", "plugged"),
], 2, several_names=True))  # fmt: skip
def test_a_dangerous_reading_is_no_visit_without_a_fault(
    office: Office, clock: StillClock, kind: str, typed: str
) -> None:
    job = with_cause(office, clock)
    take(job, **{kind: typed})
    with pytest.raises(RuleError, match="found a fault"):
        job.office.carry_out(closing.Finish(job.visit, "no_fault_found"))


@pytest.mark.parametrize("ending", ["to_continue", "referred"])
def test_an_appliance_with_a_dangerous_reading_is_not_left_on(
    office: Office, clock: StillClock, ending: str
) -> None:
    job = with_cause(office, clock)
    take(job, leak_test="bubbles at the union")
    left_on = {"referred_to": "The gas supplier", "left_state": "on"}
    job.office.carry_out(closing.WriteDown(job.visit, left_on))
    with pytest.raises(RuleError, match="not left on – tightness") as refusal:
        job.office.carry_out(closing.Finish(job.visit, ending))
    assert refusal.value.field == "left_state"
    job.office.carry_out(closing.WriteDown(job.visit, {"left_state": "tagged"}))
    job.office.carry_out(closing.Finish(job.visit, ending))
    assert job.row().state == "finished"


def test_sealing_asks_once_more_how_it_is_left(office: Office, clock: StillClock) -> None:
    job = with_cause(office, clock)
    take(job, co_in_room="80 ppm")
    job.office.carry_out(closing.WriteDown(job.visit, {"left_state": "off"}))
    job.office.carry_out(closing.Finish(job.visit, "to_continue"))
    job.office.carry_out(closing.WriteDown(job.visit, {"left_state": "on"}))
    with pytest.raises(RuleError, match="not left on"), job.office.unit_of_work(ACT) as session:
        sealing.seal(session, job.visit)


def test_a_hot_outlet_proves_nothing_before_a_tap_was_read(
    office: Office, clock: StillClock
) -> None:
    job = with_cause(office, clock)
    take(job, **{**READ, "tap_temperature": "117 F"} | {"outlet_temperature": "62 C"})
    assert states(job)["outlet_temperature"] == "measured"  # the tap is behind a mixing valve
    other = begin_job(office, clock)
    take(other, outlet_temperature="62 C")
    assert states(other)["outlet_temperature"] == "missing"
    take(other, outlet_temperature="117 F")
    assert states(other)["outlet_temperature"] == "measured"
