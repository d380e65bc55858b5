"""What was done last stands, whatever the clock of the computer said at which it was done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from desk.base.errors import RuleError
from desk.records.actions.belonging import SeeWithdrawn, WithdrawCustomer
from desk.records.actions.closing import ChargeVisit, Sign
from desk.records.actions.shop import MendShop, PutLogo, SeeShop
from desk.records.actions.visit import AnswerCheck, SeeVisit, Undo
from desk.records.fields import appliance_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.journal.journal import keep
from desk.records.learning.names_of_ids import labels_in
from desk.records.measured import readings
from desk.records.measured.taken import readings_of
from desk.records.office.office import CLOCK_BEHIND, CLOCKS_APART, Office
from desk.records.parties import model_defaults, places
from desk.records.parties.customers import add_customer
from desk.records.search.search import search
from desk.records.shop.visit_charges import charging_of
from desk.records.tables import Appliance, ChecklistEdition, Visit
from desk.records.visits import lifecycle
from desk.records.visits.checks import results_of
from desk.records.visits.covers import known_cover
from desk.records.visits.follow_up import continued_by
from desk.trade.content.loader import load_content
from desk.trade.diagnosis.walk import Given
from tests.conftest import StillClock
from tests.photographs import noise
from tests.records.jobs import ACT, Job, begin_job

LAGS = (timedelta(minutes=10), timedelta(hours=1), timedelta(days=2))


def behind(clock: StillClock, lag: timedelta) -> Callable[[], datetime]:
    """Return the clock of another computer."""
    return lambda: clock() - lag


@pytest.fixture
def place(request: pytest.FixtureRequest, engine_name: str) -> str | Path:
    found: str | Path = request.getfixturevalue(
        "office_path" if engine_name == "sqlite" else "server_office"
    )
    return found


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


@pytest.fixture
def late(job: Job, place: str | Path) -> Iterator[list[Office]]:
    """The same office in three other programs, each with a clock that is further behind."""
    with ExitStack() as stack:
        yield [
            stack.enter_context(closing(Office.open(place, now=behind(job.clock, lag))))
            for lag in LAGS
        ]


def take(office: Office, job: Job, kind: str, typed: str) -> None:
    with office.unit_of_work(ACT) as session:
        readings.take_reading(session, job.visit, kind, typed)


def as_read(job: Job, kind: str) -> str:
    """Return the latest of a kind, as it was typed."""
    report = job.office.answer(SeeVisit(job.visit)).report
    return [line.typed for line in report.readings if line.kind == kind][-1]


def test_a_corrected_answer_stands(job: Job, late: list[Office]) -> None:
    job.answer("danger", "none")
    job.answer("flooding", "dry")
    for at, answer in zip(late, ("wet_spot", "dry", "wet_spot"), strict=True):
        at.carry_out(AnswerCheck(job.visit, "flooding", Given(answer)))
        assert job.standing().answers["flooding"] == answer
    with job.office.read() as session:
        marks = [(row.answer, row.superseded) for row in results_of(session, job.visit)]
    assert marks == [
        ("none", False),
        ("dry", True),
        ("wet_spot", True),
        ("dry", True),
        ("wet_spot", False),
    ]
    late[-1].carry_out(Undo(job.visit))
    assert job.standing().answers["flooding"] == "dry"


def test_a_corrected_reading_stands(job: Job, late: list[Office]) -> None:
    take(job.office, job, "hardness", "300 mg/L")
    for at, typed in zip(late, ("120 mg/L", "130 mg/L", "140 mg/L"), strict=True):
        take(at, job, "hardness", typed)
        assert as_read(job, "hardness") == typed


def test_the_monitors_latest_reading_decides_whether_anybody_stays(
    job: Job, late: list[Office]
) -> None:
    take(job.office, job, "co_in_room", "0 ppm")
    take(late[0], job, "co_in_room", "200 ppm")
    with pytest.raises(RuleError, match="stop and leave"):
        job.answer("danger", "none")


def test_the_newest_tie_opens_the_record(job: Job, late: list[Office]) -> None:
    for at in late:
        with at.unit_of_work(ACT) as session:
            newest = add_customer(session, CustomerDetails("Ines Marsh"))
            places.link_customer(session, job.premises, newest, "owner")
        with job.office.read() as session:
            (found,) = [hit for hit in search(session, "9 Weir Street") if hit.kind == "premises"]
        assert found.customer_id == newest


def test_the_newest_edition_names_a_cause_that_is_in_no_list_any_more(
    job: Job, late: list[Office]
) -> None:
    content = load_content()
    known = content.causes["element_stuck"].name["en"]
    today = content.checklists["hot-water"].edition_text.replace('"element_stuck"', '"gone"')
    for number, at in enumerate((job.office, *late)):
        text = today.replace(known, f"As it was called {number}")
        with at.unit_of_work(ACT) as session:
            kept = ChecklistEdition(checklist="hot-water", edition=f"{number}", content=text)
            keep(session, kept)
        with job.office.read() as session:
            assert labels_in(session)("cause", "gone") == f"As it was called {number}"


def test_the_newest_visit_goes_on_with_another(job: Job, late: list[Office]) -> None:
    with job.office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "to_continue")
    for at in (job.office, *late):
        with at.unit_of_work(ACT) as session:
            heard = CallDetails("no_response", "It is cold again.", continues_id=job.visit)
            number = session.get_one(Visit, lifecycle.take_call(session, heard)).number
        with job.office.read() as session:
            assert continued_by(session, job.visit) == number


def test_the_newest_of_a_model_tells_what_is_usual_and_how_its_cover_is(
    job: Job, late: list[Office]
) -> None:
    for at, activation in zip(late, ("0.6 gpm", "0.7 gpm", "0.8 gpm"), strict=True):
        with at.unit_of_work(ACT) as session:
            details = appliance_fields.ApplianceDetails(
                "combination_boiler",
                maker="Invented",
                model="Kestle 24",
                activation=activation,
                cover_seals="seals",
            )
            added = places.add_appliance(session, job.premises, details)
            number = session.get_one(Appliance, added).number
        with job.office.read() as session:
            usual = model_defaults.values_of_model(session, "Invented", "Kestle 24")
            cover = known_cover(session, session.get_one(Visit, job.visit))
        assert usual["activation"] == activation
        assert cover is not None
        assert cover.other == number


def test_charging_logo_and_signature_stand_as_they_were_changed_last(
    job: Job, late: list[Office]
) -> None:
    for at, hourly, width in zip(late, ("96.00", "80.00", "72.00"), (60, 70, 80), strict=True):
        at.carry_out(MendShop({"charges": "on", "hourly": hourly}))
        at.carry_out(ChargeVisit(job.visit, is_charged=False))
        at.carry_out(ChargeVisit(job.visit, is_charged=True))
        at.carry_out(PutLogo(noise((width, 30))))
        at.carry_out(Sign(job.visit, absent_reason=hourly))
        logo = at.answer(SeeShop()).logo
        with job.office.read() as session:
            charged = charging_of(session, job.visit)
            assert charged is not None
            assert charged.hourly_cents == int(hourly[:2]) * 100
        report = job.office.answer(SeeVisit(job.visit)).report
        assert report.letterhead.logo == logo
        assert report.signature is not None
        assert report.signature.absent_reason == hourly


def test_what_was_withdrawn_last_stands_first(job: Job, late: list[Office]) -> None:
    names = ["Mara Quill", "Ines Marsh", "Ann Reed"]
    for at, name in zip(late, names, strict=True):
        with at.unit_of_work(ACT) as session:
            customer = add_customer(session, CustomerDetails(name))
        at.carry_out(WithdrawCustomer(customer))
    assert [line.name for line in job.office.answer(SeeWithdrawn())] == names[::-1]


def test_of_two_desks_thirty_seconds_apart_every_correction_stands(
    server_office: str, clock: StillClock
) -> None:
    slow = behind(clock, timedelta(seconds=30))
    with (
        closing(Office.open(server_office, now=clock, desk="front")) as front,
        closing(Office.open(server_office, now=slow, desk="back")) as back,
    ):
        assert front.clock_warning is back.clock_warning is None
        job = begin_job(front, clock)
        stood = 0
        for kind, typed in {
            "hardness": "{} mg/L",
            "fault_code": "E{}",
            "tap_temperature": "{} F",
            "inlet_temperature": "{} F",
            "outlet_temperature": "{} F",
            "static_pressure": "{} psi",
        }.items():
            for at, number in ((front, 50), (back, 60)):
                take(at, job, kind, typed.format(number))
                clock.pass_minutes(1 / 60)
            stood += as_read(job, kind) == typed.format(60)
        assert stood == 6


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    jumps=st.lists(st.timedeltas(timedelta(days=-400), timedelta(days=400)), min_size=1, max_size=4)
)
@example(jumps=[timedelta(days=-2), timedelta(hours=1), timedelta(minutes=-10)])
def test_what_was_done_last_stands_wherever_the_clock_jumps(
    job: Job, jumps: list[timedelta]
) -> None:
    typed = []
    for number, jump in enumerate(jumps):
        began_anew = Office(job.office._engine, now=behind(job.clock, jump))  # its keys too
        typed.append(f"E{number}")
        take(began_anew, job, "fault_code", typed[-1])
        with began_anew.read() as session:
            rows = readings_of(session, session.get_one(Visit, job.visit))
            assert [row.typed for row in rows][-number - 1 :] == typed


@pytest.mark.parametrize(
    "arrived",
    [
        datetime(2026, 11, 25, 4, 50, tzinfo=UTC),
        datetime(2026, 11, 1, 5, 50, tzinfo=UTC),
        datetime(2026, 3, 8, 6, 50, tzinfo=UTC),
    ],
    ids=["over midnight", "summer time ends", "summer time begins"],
)
def test_a_visit_takes_as_long_as_it_took(
    office: Office, clock: StillClock, arrived: datetime
) -> None:
    clock.time = arrived - timedelta(hours=2)
    job = begin_job(office, clock)
    take(office, job, "hardness", "300 mg/L")
    clock.pass_minutes(20)
    take(office, job, "hardness", "120 mg/L")
    with office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "to_continue")
    row = job.row()
    assert (row.started_at, row.finished_at) == (arrived, arrived + timedelta(minutes=20))
    assert as_read(job, "hardness") == "120 mg/L"


@pytest.mark.parametrize(("minutes", "is_told"), [(-30, True), (1, False)])
def test_with_a_clock_set_back_since_the_arrival_the_visit_ends_at_its_time(
    job: Job, minutes: int, is_told: bool
) -> None:
    job.clock.pass_minutes(minutes)
    with job.office.unit_of_work(ACT) as session:
        lifecycle.finish(session, job.visit, "to_continue")
    row = job.row()
    assert row.started_at is not None
    assert row.finished_at == row.started_at + max(timedelta(), timedelta(minutes=minutes))
    assert job.office.answer(SeeVisit(job.visit)).ended_at_arrival is is_told


def test_a_clock_behind_the_newest_entry_is_told_when_the_office_is_opened(
    office: Office, clock: StillClock, place: str | Path
) -> None:
    with closing(Office.open(place, now=behind(clock, CLOCKS_APART))) as opened:
        assert opened.clock_warning is None, "the clocks of two desks may differ a little"
    for lag in LAGS:
        with closing(Office.open(place, now=behind(clock, lag))) as opened:
            assert opened.clock_warning == CLOCK_BEHIND
            with opened.unit_of_work(ACT):
                pass
        with closing(Office.open(place, now=behind(clock, lag))) as opened:
            assert opened.clock_warning is None, "now the newest entry is its own"
        with office.unit_of_work(ACT):
            pass
