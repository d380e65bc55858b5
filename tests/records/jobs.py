"""A shop with one job on its hands: what the tests of the records start from."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.fields import appliance_fields, person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import Visit
from desk.records.visits import checks, editions, lifecycle
from desk.trade.diagnosis.walk import Given, Walk
from desk.trade.reference.proofs import PROOFS
from sample_db.trial import answer_to
from tests.conftest import StillClock

ACT = message("Something done")
REASONS = {f"unproven_{proof}": "another test's matter" for proof in PROOFS}
"""Why nothing is measured after the work, where a test is about something else."""


def give_reasons(session: Session, visit: uuid.UUID) -> None:
    """Write why nothing is measured after the work, so that the visit may end as mended."""
    lifecycle.write_down(session, visit, **REASONS)


@dataclass(frozen=True)
class Job:
    """The keys of one visit and of all that it names."""

    office: Office
    clock: StillClock
    technician: uuid.UUID
    customer: uuid.UUID
    premises: uuid.UUID
    appliance: uuid.UUID
    visit: uuid.UUID

    def standing(self) -> Walk:
        with self.office.read() as session:
            return checks.standing(session, session.get_one(Visit, self.visit))

    def row(self) -> Visit:
        with self.office.read() as session:
            visit = session.get_one(Visit, self.visit)
            session.expunge(visit)
            return visit

    def give_reasons(self, visit: uuid.UUID | None = None) -> None:
        """Write why nothing is measured after the work, in a command of its own."""
        with self.office.unit_of_work(ACT) as session:
            give_reasons(session, visit or self.visit)

    def answer(self, check: str, answer: str, *, reason: str = "", note: str = "") -> Walk:
        """Acknowledge the cautions of a check and answer it, a minute later."""
        self.clock.pass_minutes(1)
        with self.office.unit_of_work(ACT) as session:
            checklist = editions.checklist_of(session, session.get_one(Visit, self.visit))
            for caution in checklist.check(check).cautions:
                lifecycle.acknowledge(session, self.visit, caution)
            return checks.record_answer(
                session, self.visit, check, Given(answer, reason), note=note
            ).walk

    def work_through(self, found: Mapping[str, str], until: str = "") -> Walk:
        """Follow the list to its end or to a check; what is not said to be found is well."""
        walked = self.standing()
        while walked.next and walked.next != until:
            with self.office.read() as session:
                checklist = editions.checklist_of(session, session.get_one(Visit, self.visit))
            check = checklist.check(walked.next)
            walked = self.answer(check.id, answer_to(check, found))
        return walked


def take_job(
    office: Office,
    clock: StillClock,
    *,
    sensing_kind: str = "reed_float",
    complaint: str = "no_response",
    name: str = "Mara Quill",
) -> Job:
    """Enter a customer with an appliance, and take the call about it."""
    with office.unit_of_work(ACT) as session:
        technician = customers.add_person(
            session,
            person_fields.PersonDetails(
                "Ann Poole",
                is_technician=True,
                licence_class="Journeyman (invented)",
                licence_number="L-0007",
                may_gas=True,
                may_electrical=True,
            ),
        )
        customer = customers.add_customer(session, CustomerDetails(name), phones=["(212) 555-0142"])
        premises = places.add_premises(
            session,
            PremisesDetails("9 Weir Street", "Larkmoor", "NY", supply_area="Upper town"),
        )
        places.link_customer(session, premises, customer, "owner")
        appliance = places.add_appliance(
            session,
            premises,
            appliance_fields.ApplianceDetails(
                "combination_boiler",
                sensing_kind=sensing_kind,
                maker="Invented",
                model="Kestle 24",
                serial="K24-0311",
                activation="0.5 gpm",
            ),
        )
        visit = lifecycle.take_call(
            session,
            CallDetails(
                complaint,
                "No hot water since last night.",
                caller_name=name,
                customer_id=customer,
                premises_id=premises,
                appliance_id=appliance,
            ),
        )
    return Job(office, clock, technician, customer, premises, appliance, visit)


def begin_job(office: Office, clock: StillClock, *, sensing_kind: str = "reed_float") -> Job:
    """Take a job, book it, and arrive."""
    job = take_job(office, clock, sensing_kind=sensing_kind)
    with office.unit_of_work(ACT) as session:
        lifecycle.book(
            session, job.visit, start=clock() + timedelta(hours=2), technician_id=job.technician
        )
    clock.pass_minutes(120)
    with office.unit_of_work(ACT) as session:
        lifecycle.arrive(session, job.visit)
    return job
