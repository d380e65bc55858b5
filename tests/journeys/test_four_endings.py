"""Whole jobs from the call to the sealed PDF, over the functions that the windows call."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import RuleError
from desk.paper.report.service_report import service_report
from desk.records.documents import sealing
from desk.records.fields.part_fields import PartDetails
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import (
    Acknowledgement,
    Change,
    CheckResult,
    Fill,
    Reading,
    SealedRevision,
    Visit,
)
from desk.records.views.measured import FlowSetup
from desk.records.views.report import SealedReport
from desk.records.visits import lifecycle
from desk.trade.diagnosis.walk import Walk
from tests.conftest import StillClock
from tests.journeys.scripts import DIVERTER, FLOAT, STOP_AND_LEAVE, STRAINER
from tests.records.jobs import ACT, Job, begin_job, give_reasons
from tests.windows.visit.sheets import PROOF

type ReadPages = Callable[[bytes], str]


def _measure(job: Job, moment: str, *fills: str) -> None:
    with job.office.unit_of_work(ACT) as session:
        reading = readings.start_flow(
            session,
            job.visit,
            moment,
            FlowSetup(
                container="2 gal",
                graduation="0.1 gal",
                outlet="Kitchen tap",
                full_hot=True,
                no_mixing_valve=True,
                crossing_passed=True,
                others_shut=True,
            ),
        )
        for typed in fills:
            readings.add_fill(session, reading, typed)


def _close(job: Job, walked: Walk, *, cause: str = "", **written: str) -> SealedReport:
    with job.office.unit_of_work(ACT) as session:
        if cause:
            lifecycle.set_cause(session, job.visit, cause=cause)
        lifecycle.write_down(session, job.visit, **written)
        assert walked.ending is not None
        if walked.ending == "mended":
            for kind, read in PROOF.items():
                readings.take_reading(session, job.visit, kind, read, moment="left")
            session.flush()
        lifecycle.finish(session, job.visit, walked.ending)
        sealing.sign(session, job.visit, name="M. Quill")
    with job.office.unit_of_work(ACT) as session:
        return sealing.seal(session, job.visit, person_id=job.technician)


def _pages(sealed: SealedReport, read_pages: ReadPages) -> str:
    pdf = service_report(sealed.report, fingerprint=sealed.fingerprint, sealed_at=sealed.sealed_at)
    return " ".join(read_pages(pdf).split())


def _count(office: Office, table: type) -> int:
    with office.read() as session:
        return session.scalar(sa.select(sa.func.count()).select_from(table)) or 0


def test_a_blocked_strainer_in_the_water_zone(
    office: Office, clock: StillClock, read_pages: ReadPages
) -> None:
    job = begin_job(office, clock)
    _measure(job, "found", "4:52", "4:47", "4:55")
    walked = job.work_through(STRAINER)
    assert walked.ending == "mended"
    assert walked.found == ("supply_strainer_blocked",)
    _measure(job, "left", "1:01.5", "1:02.1", "1:00.9")
    sealed = _close(
        job,
        walked,
        cause="supply_strainer_blocked",
        work_done="Cleaned the strainer <after the main> & flushed the line.",
        advice="Look at the strainer again in a month.",
        left_state="on",
    )
    before, after = sealed.report.flows
    assert (before.when, before.verdict) == ("found", "too_little")
    assert (after.when, after.verdict) == ("left", "enough")

    text = _pages(sealed, read_pages)
    for said in (
        "A-00001",
        "Mara Quill",
        "9 Weir Street",
        "Kestle 24",
        "K24-0311",
        "No hot water since last night.",
        "Cleaned the strainer <after the main> & flushed the line.",
        "Look at the strainer again in a month.",
        "Ann Poole",
        "L-0007",
        "M. Quill",
        sealed.fingerprint[:4],
    ):
        assert said in text, said
    assert _count(office, Fill) == 6
    assert _count(office, SealedRevision) == 1
    with office.read() as session:
        visit = session.get_one(Visit, job.visit)
        assert (visit.state, visit.ending, visit.cause) == (
            "sealed",
            "mended",
            "supply_strainer_blocked",
        )
        rows = session.scalars(sa.select(CheckResult).order_by(CheckResult.id)).all()
        assert {row.check_id: row.answer for row in rows} == {
            step.check: step.answer for step in walked.path
        }
        assert not any(row.superseded for row in rows)


def test_a_stuck_float_in_the_sensing_zone(
    office: Office, clock: StillClock, read_pages: ReadPages
) -> None:
    job = begin_job(office, clock, sensing_kind="not_known")
    _measure(job, "found", "1:02", "1:01.4", "1:02.2", "1:01.8")
    walked = job.work_through(FLOAT)
    assert walked.ending == "mended"
    assert walked.found == ("element_stuck",)
    assert walked.sensing_kind == "reed_float"
    with office.unit_of_work(ACT) as session:
        part = parts.add_part(session, PartDetails("IS-12", "Inlet screen"))
        parts.move_stock(session, part, 2, "received", van_of_id=job.technician)
        parts.use_part(session, job.visit, number="IS-12", reason="torn")
        readings.take_reading(session, job.visit, "tap_temperature", "117 F", moment="left")
    sealed = _close(job, walked, cause="element_stuck", work_done="Freed the float.")
    text = _pages(sealed, read_pages)
    for said in ("Freed the float.", "Inlet screen", "117", "Moving part of the flow sensor stuck"):
        assert said in text, said
    with office.read() as session:
        assert parts.stock(session, part, job.technician) == 1
        assert session.scalars(sa.select(Reading.kind)).all() == ["flow", "tap_temperature", *PROOF]
    assert _count(office, Acknowledgement) >= 3
    serious = [line.id for line in sealed.report.cautions]
    assert {"live_parts", "stored_pressure"} & set(serious)


def test_a_stuck_diverter_in_the_response_zone(
    office: Office, clock: StillClock, read_pages: ReadPages
) -> None:
    job = begin_job(office, clock)
    walked = job.work_through(DIVERTER)
    assert walked.ending == "mended"
    assert walked.found == ("diverter_stuck",)
    sealed = _close(job, walked, cause="diverter_stuck", work_done="Fitted a new motor.")
    text = _pages(sealed, read_pages)
    assert "Fitted a new motor." in text
    assert "Three-way valve stuck" in text
    asked = {line.check for line in sealed.report.checks}
    assert "timed_flow" not in asked
    assert "diverter" in asked


def test_stop_and_leave(office: Office, clock: StillClock, read_pages: ReadPages) -> None:
    job = begin_job(office, clock)
    walked = job.work_through(STOP_AND_LEAVE)
    assert walked.ending == "left"
    assert [step.check for step in walked.path] == ["danger"]
    with office.unit_of_work(ACT) as session:
        lifecycle.write_down(
            session,
            job.visit,
            internal_note="Gas supplier called from the street.",
            left_state="tagged",
        )
        lifecycle.finish(session, job.visit, "left")
        sealing.sign(session, job.visit, absent_reason="Everybody had left the house")
    with office.unit_of_work(ACT) as session:
        sealed = sealing.seal(session, job.visit)
    text = _pages(sealed, read_pages)
    assert "Everybody had left the house" in text
    assert "Gas supplier called from the street." not in text
    assert sealed.report.cause is None
    with office.read() as session:
        assert session.get_one(Visit, job.visit).ending == "left"


def test_a_technician_stops_changes_an_answer_and_goes_on_tomorrow(
    office: Office, office_path: Path, clock: StillClock, read_pages: ReadPages
) -> None:
    job = begin_job(office, clock)
    before = job.work_through(DIVERTER, until="circuit_pressure")
    office.close()
    clock.pass_minutes(16 * 60)
    with Office.open(office_path, now=clock) as again:
        job = replace(job, office=again)
        assert job.standing() == before
        job.answer("draw_one", "not_noticed", note="Tried again with the tap fully open")
        walked = job.work_through(FLOAT)
        assert walked.found == ("element_stuck",)
        assert "pipe_at_appliance" in walked.aside
        sealed = _close(job, walked, cause="element_stuck", work_done="Freed the float.")
        superseded = {line.check for line in sealed.report.checks if line.superseded}
        assert {"draw_one", "pipe_at_appliance"} <= superseded
        with again.read() as session:
            lines = session.scalars(
                sa.select(Change.field).where(Change.field == "superseded")
            ).all()
        assert len(lines) == len(superseded)
        text = _pages(sealed, read_pages)
        assert "Tried again with the tap fully open" in text


def test_a_visit_ends_with_a_cause_of_the_technicians_own(
    office: Office, clock: StillClock, read_pages: ReadPages
) -> None:
    job = begin_job(office, clock)
    job.answer("danger", "none")
    with office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, words="A mouse had chewed the harness")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
        sealing.sign(session, job.visit, name="M. Quill")
        sealed = sealing.seal(session, job.visit)
    assert "A mouse had chewed the harness" in _pages(sealed, read_pages)
    with pytest.raises(RuleError, match="is sealed"), office.unit_of_work(ACT) as session:
        lifecycle.set_cause(session, job.visit, words="Two mice")
