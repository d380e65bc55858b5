"""What was found of an appliance's cover is kept with it, and known at the next visit."""

from __future__ import annotations

import dataclasses
import uuid
from datetime import timedelta

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.records.actions.belonging import JoinAppliances
from desk.records.actions.entering import MendAppliance
from desk.records.documents.visit_sheet import sheet_of
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.journal.field_values import details_of
from desk.records.office.office import Office
from desk.records.parties import places
from desk.records.tables import Appliance, Change
from desk.records.undo import undo
from desk.records.views.visit_sheet import KnownCover
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.journeys.scripts import FLOAT
from tests.records.jobs import ACT, Job, begin_job


def come_to_the_cover(job: Job) -> None:
    """Answer the list until it asks for the cover."""
    assert job.work_through(FLOAT, until="cover_seals").next == "cover_seals"


def cover_of(job: Job, appliance: uuid.UUID | None = None) -> str:
    with job.office.read() as session:
        return session.get_one(Appliance, appliance or job.appliance).cover_seals


def known_at(job: Job) -> KnownCover | None:
    with job.office.read() as session:
        return sheet_of(session, job.visit).known_cover


def number_of(job: Job) -> str:
    return job.row().number


def again(job: Job, appliance: uuid.UUID | None = None) -> Job:
    """Come to the next visit, to the same appliance or to another one, up to the cover."""
    with job.office.unit_of_work(ACT) as session:
        details = CallDetails(
            "no_response",
            "It is cold again.",
            customer_id=job.customer,
            premises_id=job.premises,
            appliance_id=appliance or job.appliance,
        )
        visit = lifecycle.take_call(session, details)
        lifecycle.book(
            session, visit, start=job.clock() + timedelta(hours=2), technician_id=job.technician
        )
    job.clock.pass_minutes(120)
    with job.office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, visit)
    came = dataclasses.replace(job, visit=visit)
    come_to_the_cover(came)
    return came


def another(job: Job, **changed: str) -> uuid.UUID:
    """Enter another appliance of the same maker and model."""
    with job.office.unit_of_work(ACT) as session:
        details = details_of(ApplianceDetails, session.get_one(Appliance, job.appliance))
        other = dataclasses.replace(details, cover_seals="", serial="K24-0312")
        return places.add_appliance(session, job.premises, dataclasses.replace(other, **changed))


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    begun = begin_job(office, clock)
    come_to_the_cover(begun)
    return begun


def test_the_answer_is_kept_on_the_appliance_in_the_command_of_the_answer(job: Job) -> None:
    assert cover_of(job) == ""
    job.answer("cover_seals", "seals")
    assert cover_of(job) == "seals"
    with job.office.read() as session:
        lines = session.scalars(sa.select(Change).where(Change.field == "cover_seals")).all()
        assert [(line.row_id, line.before, line.after) for line in lines] == [
            (job.appliance, '""', '"seals"')
        ]


def test_another_answer_changes_it_and_what_cannot_be_told_does_not(job: Job) -> None:
    job.answer("cover_seals", "seals")
    job.answer("cover_seals", "does_not_seal")
    assert cover_of(job) == "does_not_seal"
    job.answer("cover_seals", "cannot_tell")
    job.answer("cover_seals", "could_not_check", reason="No papers")
    assert cover_of(job) == "does_not_seal"


def test_taking_the_answer_back_takes_it_from_the_appliance(job: Job) -> None:
    job.answer("cover_seals", "seals")
    job.answer("cover_seals", "does_not_seal")
    for before in ("seals", ""):
        with job.office.unit_of_work(ACT) as session:
            undo.undo_on_visit(session, job.visit)
        assert cover_of(job) == before
    with job.office.unit_of_work(ACT) as session:
        undo.redo_on_visit(session, job.visit)
    assert cover_of(job) == "seals"


def test_the_next_visit_knows_it_and_asks_all_the_same(job: Job) -> None:
    assert known_at(job) is None
    job.answer("cover_seals", "seals")
    assert known_at(job) is None, "it is not asked now"
    came = again(job)
    assert came.standing().next == "cover_seals"
    assert known_at(came) == KnownCover("seals", number_of(job))


def test_what_the_form_says_is_known_from_the_record(job: Job) -> None:
    with job.office.unit_of_work(ACT) as session:
        details = details_of(ApplianceDetails, session.get_one(Appliance, job.appliance))
    known = dataclasses.replace(details, cover_seals="does_not_seal")
    job.office.carry_out(MendAppliance(job.appliance, known))
    assert known_at(job) == KnownCover("does_not_seal", "")
    known = dataclasses.replace(details, cover_seals="perhaps")
    with pytest.raises(InputError, match="seals, does_not_seal"):
        job.office.carry_out(MendAppliance(job.appliance, known))


def test_another_one_of_the_model_tells_it_and_is_named(job: Job) -> None:
    job.answer("cover_seals", "seals")
    told = again(job, another(job, maker="INVENTED"))
    with job.office.read() as session:
        number = session.get_one(Appliance, job.appliance).number
    assert known_at(told) == KnownCover("seals", number_of(job), number)
    assert known_at(again(job, another(job, model="Kestle 30"))) is None
    assert known_at(again(job, another(job, maker=""))) is None


def test_others_of_the_model_that_differ_tell_nothing(job: Job) -> None:
    job.answer("cover_seals", "seals")
    another(job, cover_seals="does_not_seal")
    assert known_at(again(job, another(job))) is None


def test_joining_keeps_what_is_known_and_where_from(job: Job) -> None:
    twice = another(job, serial="")
    came = again(job, twice)
    came.answer("cover_seals", "seals")
    job.office.carry_out(JoinAppliances(twice, job.appliance))
    assert cover_of(job) == "seals"
    assert known_at(job) == KnownCover("seals", number_of(came))
