"""Two desks on the same row: what only one changed is kept, what both changed is asked."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from desk.base.errors import ConflictError
from desk.base.texts import Message, message
from desk.records.actions import entering
from desk.records.actions.shop import AddContainer, MendContainer, MendShop, SeeShop
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.field_values import details_of, said_by
from desk.records.journal.row_access import row_of
from desk.records.journal.three_way_merge import merged
from desk.records.office.office import TRIES, Office
from desk.records.tables import Appliance, Customer, Part, Person, Premises
from tests.conftest import StillClock
from tests.server import Cluster

TEXTS = st.text("ab", max_size=2)
ROWS = st.fixed_dictionaries({"name": TEXTS, "note": TEXTS})


@given(ROWS, ROWS)
def test_what_was_not_touched_here_stays_as_the_others_left_it(
    shown: dict[str, str], theirs: dict[str, str]
) -> None:
    assert merged(shown, shown, theirs) == theirs


@given(ROWS, ROWS)
def test_what_nobody_else_touched_is_taken_as_typed(
    shown: dict[str, str], mine: dict[str, str]
) -> None:
    assert merged(shown, mine, shown) == mine


@given(TEXTS, TEXTS, TEXTS)
def test_it_is_the_same_whichever_desk_comes_first_or_a_person_is_asked(
    shown: str, mine: str, theirs: str
) -> None:
    def of(one: str, other: str) -> str | None:
        try:
            return merged({"note": shown}, {"note": one}, {"note": other})["note"]
        except ConflictError:
            return None

    assert of(mine, theirs) == of(theirs, mine)
    assert (of(mine, theirs) is None) == (len({shown, mine, theirs}) == 3)


@pytest.fixture
def customer(office: Office) -> uuid.UUID:
    return office.carry_out(
        entering.AddCustomer(CustomerDetails("Mara Weir", "4 Quay Lane", "Larkmoor"))
    )


def _customer(office: Office, key: uuid.UUID) -> dict[str, str]:
    with office.read() as session:
        return said_by(details_of(CustomerDetails, row_of(session, Customer, key)))


def test_two_desks_mend_different_lines_of_one_customer(
    office: Office, customer: uuid.UUID
) -> None:
    shown = entering.MendCustomer(customer, _customer(office, customer))
    for line, text in (("name", "Mara Weir-Holt"), ("street", "6 Quay Lane")):
        command = replace(shown, details={**shown.details, line: text}, shown=shown)
        office.carry_out(command)
    now = _customer(office, customer)
    assert (now["name"], now["street"]) == ("Mara Weir-Holt", "6 Quay Lane")


def test_a_line_that_two_desks_changed_is_asked_with_what_the_other_wrote(
    office: Office, customer: uuid.UUID
) -> None:
    shown = entering.MendCustomer(customer, _customer(office, customer))
    office.carry_out(replace(shown, details={**shown.details, "note": "Rings twice"}, shown=shown))
    mine = replace(shown, details={**shown.details, "note": "Dog in the yard"}, shown=shown)
    with pytest.raises(ConflictError, match="Another desk has changed this") as caught:
        office.carry_out(mine)
    assert (caught.value.field, caught.value.theirs) == ("note", "Rings twice")
    assert "Rings" not in str(caught.value.facts)
    assert _customer(office, customer)["note"] == "Rings twice"
    seen = replace(shown, details=_customer(office, customer))
    office.carry_out(replace(mine, shown=seen))  # mine, knowing theirs
    assert _customer(office, customer)["note"] == "Dog in the yard"


def test_everything_that_is_mended_by_a_form_is_put_together(
    office: Office, customer: uuid.UUID
) -> None:
    place = office.carry_out(entering.AddPremises(customer, PremisesDetails("4 Quay Lane")))
    details = ApplianceDetails(
        "instantaneous_heater", maker="Invented", installed=date(2021, 12, 3)
    )
    appliance = office.carry_out(entering.AddAppliance(place, details))
    person = office.carry_out(entering.AddPerson(PersonDetails("Ann Poole")))
    part = office.carry_out(entering.AddPart(PartDetails("P-1", "Gasket", 350)))
    bucket = office.carry_out(AddContainer("Bucket", "5 gal", "0.5 gal"))

    of_premises = entering.MendPremises(place, {"street": "4 Quay Lane", "hardness": "12 gpg"})
    before = replace(of_premises, details={"street": "4 Quay Lane", "hardness": ""})
    office.carry_out(replace(before, details={"street": "6 Quay Lane", "hardness": ""}))
    office.carry_out(replace(of_premises, shown=before))

    of_appliance = entering.MendAppliance(appliance, details)
    office.carry_out(replace(of_appliance, details=replace(details, model="M 20")))
    office.carry_out(
        replace(of_appliance, details=replace(details, serial="S1"), shown=of_appliance)
    )

    of_person = entering.MendPerson(person, PersonDetails("Ann Poole"))
    office.carry_out(replace(of_person, details=PersonDetails("Ann Poole", may_gas=True)))
    office.carry_out(
        replace(of_person, details=PersonDetails("Ann Poole", phone="x"), shown=of_person)
    )

    gasket = PartDetails("P-1", "Gasket", 350)
    of_part = entering.MendPart(part, gasket)
    office.carry_out(replace(of_part, details=replace(gasket, price=400)))
    office.carry_out(replace(of_part, details=replace(gasket, keep_at_least=2), shown=of_part))

    of_bucket = MendContainer(bucket, "Bucket", "5 gal", "0.5 gal")
    office.carry_out(replace(of_bucket, name="Blue bucket"))
    office.carry_out(replace(of_bucket, volume="4.9 gal", shown=of_bucket))

    view = office.answer(SeeShop())
    of_shop = MendShop({"phone": view.phone, "currency": view.currency})
    office.carry_out(MendShop({"currency": "CAD"}))
    office.carry_out(replace(of_shop, typed={**of_shop.typed, "phone": "x"}, shown=of_shop))

    with office.read() as session:
        premises = row_of(session, Premises, place)
        assert (premises.street, premises.hardness_typed) == ("6 Quay Lane", "12 gpg")
        unit = row_of(session, Appliance, appliance)
        assert (unit.model, unit.serial) == ("M 20", "S1")
        who = details_of(PersonDetails, row_of(session, Person, person))
        assert (who.may_gas, who.phone) == (True, "x")
        piece = row_of(session, Part, part)
        assert (piece.price_cents, piece.keep_at_least) == (400, 2)
    view = office.answer(SeeShop())
    assert (view.currency, view.phone) == ("CAD", "x")
    assert (view.containers[0].name, view.containers[0].volume) == ("Blue bucket", "4.9 gal")


@dataclass(frozen=True)
class Overtaken:
    """A command into which another program writes, past the desks' lock, the first few times."""

    customer: uuid.UUID
    cluster: Cluster
    database: str
    times: list[int]
    what: ClassVar[Message] = message("Customer changed")

    def run(self, session: Session) -> str:
        row = row_of(session, Customer, self.customer)
        if self.times[0]:
            self.times[0] -= 1
            with self.cluster.connect(self.database) as other:
                other.execute("UPDATE customer SET note = 'other', version = version + 1")
        row.note = f"{row.note} mine".strip()
        session.flush()
        return row.note


@pytest.fixture
def server_desk(server_office: str, clock: StillClock) -> Iterator[Office]:
    with closing(Office.open(server_office, now=clock)) as opened:
        yield opened


@pytest.fixture
def database(server_office: str) -> str:
    return server_office.partition("@/")[2].partition("?")[0]


def test_a_command_that_was_overtaken_is_done_again_on_what_the_other_left(
    server_desk: Office, cluster: Cluster, database: str
) -> None:
    key = server_desk.carry_out(entering.AddCustomer(CustomerDetails("Mara Weir")))
    command = Overtaken(key, cluster, database, [TRIES - 1])
    assert server_desk.carry_out(command) == "other mine"


def test_a_command_that_is_overtaken_every_time_is_told_and_keeps_nothing(
    server_desk: Office, cluster: Cluster, database: str
) -> None:
    key = server_desk.carry_out(entering.AddCustomer(CustomerDetails("Mara Weir")))
    command = Overtaken(key, cluster, database, [TRIES])
    with pytest.raises(ConflictError, match="Another desk wrote at the same time") as caught:
        server_desk.carry_out(command)
    assert caught.value.facts["code"] == "40001"
    assert command.times == [0]
    assert _customer(server_desk, key)["note"] == "other"
