"""A landlord with many premises, two appliances in each, and years of visits to all of them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import timedelta

from desk.records.fields import appliance_fields, person_fields
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.journal import keep
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import PartUsed, Reading, Visit
from tests.conftest import FIRST_DAY
from tests.records.jobs import ACT

STREET = "Bellows Row"


@dataclass(frozen=True)
class Estate:
    """The keys of what a landlord has."""

    customer: uuid.UUID
    technician: uuid.UUID
    premises: tuple[uuid.UUID, ...]
    appliances: tuple[uuid.UUID, ...]


def enter_estate(
    office: Office,
    *,
    premises: int = 40,
    appliances: int = 2,
    visits: int = 20,
    name: str = "Aldous Thorne",
    numbers_from: int = 0,
) -> Estate:
    """Enter a landlord; every visit is finished, with a cause, a part and a measured flow."""
    with office.unit_of_work(ACT) as session:
        technician = customers.add_person(
            session, person_fields.PersonDetails("Ann Poole", is_technician=True)
        )
        customer = customers.add_customer(session, CustomerDetails(name), phones=["(212) 555-0167"])
        session.flush()
        there, units = [], []
        for number in range(1, premises + 1):
            place = places.add_premises(
                session, PremisesDetails(f"{number} {STREET}", "Larkmoor", "NY", "10999")
            )
            session.flush()
            there.append(place)
            places.link_customer(session, place, customer, "owner")
            for _turn in range(appliances):
                details = appliance_fields.ApplianceDetails("combination_boiler", model="Kestle 24")
                units.append(places.add_appliance(session, place, details))
            session.flush()
        for place, unit in enumerate(units):
            for turn in range(visits):
                at = FIRST_DAY - timedelta(days=70 * (visits - turn), minutes=place)
                visit = keep(
                    session,
                    Visit(
                        number=f"Z-{numbers_from + place * visits + turn:05d}",
                        customer_id=customer,
                        premises_id=there[place // appliances],
                        appliance_id=unit,
                        technician_id=technician,
                        state="finished",
                        ending="mended",
                        complaint="no_response",
                        complaint_words="No hot water since the morning",
                        received_at=at,
                        started_at=at + timedelta(hours=2),
                        finished_at=at + timedelta(hours=3),
                        cause="inlet_screen_blocked",
                        work_done="Screen cleaned",
                    ),
                )
                keep(session, PartUsed(visit_id=visit.id, name="Inlet screen", pieces=1))
                keep(
                    session,
                    Reading(
                        visit_id=visit.id,
                        kind="flow",
                        moment="left",
                        si_value=1.5e-4,
                        taken_at=at + timedelta(hours=3),
                    ),
                )
    return Estate(customer, technician, tuple(there), tuple(units))
