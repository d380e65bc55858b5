"""Signing, sealing and amending: read-only, byte for byte, and every revision stays."""

from __future__ import annotations

import hashlib
import json

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, OutageError, RuleError
from desk.records.actions.visit import Undo
from desk.records.documents import sealing
from desk.records.documents.printouts import printout_of
from desk.records.documents.report_snapshot import report_of
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.stock import parts
from desk.records.tables import SealedRevision, Signature, Visit
from desk.records.views import measured
from desk.records.views.report import SNAPSHOT_FORMAT
from desk.records.visits import checks, lifecycle
from desk.trade.diagnosis.walk import Given
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, begin_job, give_reasons

PNG = b"\x89PNG\r\n\x1a\n" + b"strokes"


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        reading = readings.start_flow(
            session, job.visit, "found", measured.FlowSetup(container="5 gal", graduation="1 gal")
        )
        readings.add_fill(session, reading, "38 s")
        lifecycle.set_cause(session, job.visit, cause="element_stuck")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
    return job


def _sign_and_seal(job: Job) -> str:
    with job.office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, name="M. Quill", picture=PNG)
    with job.office.unit_of_work(ACT) as session:
        return sealing.seal(session, job.visit, person_id=job.technician).fingerprint


def test_the_fingerprint_is_that_of_the_kept_bytes(job: Job) -> None:
    fingerprint = _sign_and_seal(job)
    with job.office.read() as session:
        kept = session.scalars(sa.select(SealedRevision)).one()
        assert fingerprint == hashlib.sha256(kept.snapshot).hexdigest() == kept.fingerprint
        text = json.loads(kept.snapshot)
    assert text["format"] == SNAPSHOT_FORMAT
    assert text["customer"]["name"] == "Mara Quill"
    assert text["letterhead"]["name"]


def test_what_was_sealed_reads_back_equal(job: Job) -> None:
    _sign_and_seal(job)
    with job.office.read() as session:
        visit = session.get_one(Visit, job.visit)
        [sealed] = sealing.sealed_revisions(session, job.visit)
        assert sealed.report == report_of(session, visit)
        assert sealed.report.signature is not None
        assert sealed.report.signature.picture == PNG
        assert sealing.canonical_bytes(sealed.report) == sealing.canonical_bytes(
            sealing.read_report(sealing.canonical_bytes(sealed.report))
        )
        assert sealed.sealed_by == "Ann Poole"


def test_a_sealed_visit_is_read_only_in_every_way(job: Job) -> None:
    _sign_and_seal(job)
    acts = {
        "answer": lambda s: checks.record_answer(s, job.visit, "danger", Given("none")),
        "write": lambda s: lifecycle.write_down(s, job.visit, work_done="More"),
        "cause": lambda s: lifecycle.set_cause(s, job.visit, words="Another"),
        "finish": lambda s: lifecycle.finish(s, job.visit, "mended"),
        "part": lambda s: parts.use_part(s, job.visit, name="Gasket"),
        "reading": lambda s: readings.take_reading(s, job.visit, "fault_code", "4"),
        "sign": lambda s: sealing.sign(s, job.visit, name="Somebody"),
        "seal": lambda s: sealing.seal(s, job.visit),
        "acknowledge": lambda s: lifecycle.acknowledge(s, job.visit, "scald"),
    }
    for name, act in acts.items():
        with pytest.raises(RuleError, match="is sealed"), job.office.unit_of_work(ACT) as session:
            act(session)
        assert job.row().state == "sealed", name


def test_an_amendment_needs_a_reason_and_both_revisions_stay(job: Job) -> None:
    first = _sign_and_seal(job)
    with pytest.raises(InputError, match="Say why"), job.office.unit_of_work(ACT) as session:
        sealing.amend(session, job.visit, "  ")
    with job.office.unit_of_work(ACT) as session:
        sealing.amend(session, job.visit, "Wrong cause was ticked")
        lifecycle.set_cause(session, job.visit, cause="element_broken")
    with job.office.unit_of_work(ACT) as session:
        second = sealing.seal(session, job.visit)
    with job.office.read() as session:
        old, new = sealing.sealed_revisions(session, job.visit)
        assert (old.fingerprint, new.fingerprint) == (first, second.fingerprint)
        assert (old.report.revision, new.report.revision) == (1, 2)
        assert new.report.revision_reason == "Wrong cause was ticked"
        assert old.report.cause is not None
        assert new.report.cause is not None
        assert (old.report.cause.id, new.report.cause.id) == ("element_stuck", "element_broken")
        assert printout_of(session, session.get_one(Visit, job.visit)).fingerprint == (
            second.fingerprint
        )


def test_a_sealed_report_stays_as_it_was_when_the_customer_is_renamed(job: Job) -> None:
    from desk.records.journal.row_access import row_of
    from desk.records.tables import Customer

    _sign_and_seal(job)
    with job.office.unit_of_work(ACT) as session:
        row_of(session, Customer, job.customer).name = "Mara Marsh"
    with job.office.read() as session:
        printed = printout_of(session, session.get_one(Visit, job.visit)).report
    assert printed.customer is not None
    assert printed.customer.name == "Mara Quill"


def test_an_unsealed_visit_prints_as_it_stands(job: Job) -> None:
    with job.office.read() as session:
        printout = printout_of(session, session.get_one(Visit, job.visit))
    assert (printout.fingerprint, printout.sealed_at, printout.report.revision) == ("", None, 1)


def test_nobody_seals_without_a_signature_or_a_reason(job: Job) -> None:
    with (
        pytest.raises(RuleError, match="Let the customer sign"),
        job.office.unit_of_work(ACT) as session,
    ):
        sealing.seal(session, job.visit)
    for wrong in ({}, {"name": "A", "absent_reason": "B"}):
        with pytest.raises(InputError), job.office.unit_of_work(ACT) as session:
            sealing.sign(session, job.visit, **wrong)
    with job.office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, absent_reason="Tenant at work")
        sealing.seal(session, job.visit)
    assert job.row().state == "sealed"


def test_the_latest_signature_stands(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, absent_reason="Nobody home")
    with job.office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, name="M. Quill")
    with job.office.read() as session:
        signed = report_of(session, session.get_one(Visit, job.visit)).signature
        rows = session.scalars(sa.select(Signature).order_by(Signature.id)).all()
        withdrawn = [(row.absent_reason or row.name, row.withdrawn_at) for row in rows]
    assert signed is not None
    assert (signed.name, signed.absent_reason) == ("M. Quill", "")
    assert withdrawn == [("Nobody home", job.clock()), ("M. Quill", None)]
    job.office.carry_out(Undo(job.visit))
    with job.office.read() as session:
        signed = report_of(session, session.get_one(Visit, job.visit)).signature
    assert signed is not None
    assert signed.absent_reason == "Nobody home"


@pytest.mark.parametrize("picture", [b"GIF89a", PNG + b"x" * 400_000])
def test_a_signature_that_is_no_picture_is_refused(job: Job, picture: bytes) -> None:
    with pytest.raises(InputError, match="no picture"), job.office.unit_of_work(ACT) as session:
        sealing.sign(session, job.visit, name="M. Quill", picture=picture)


def test_a_visit_under_way_is_not_sealed(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with (
        pytest.raises(RuleError, match="when it is finished"),
        office.unit_of_work(ACT) as session,
    ):
        sealing.seal(session, job.visit)


def test_damaged_sealed_bytes_are_told() -> None:
    with pytest.raises(OutageError, match="restore it from a backup"):
        sealing.read_report(b'{"format":1')
