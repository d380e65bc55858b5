"""The tables of fields and the tables of the office say the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import TYPE_CHECKING

import pytest

from desk.records.fields.appliance_fields import SENSING_WORDS, ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import as_in_form, fields_of
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.tables import Appliance, Changeable, Customer, Part, Person, Premises, Visit
from desk.records.views.parties import ApplianceLine, CustomerLine, PersonLine, PremisesLine
from desk.trade.reference.sensing_kinds import SENSING_KINDS

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

OF_EVERY_ROW = frozenset({"id", "made_in", "version", "withdrawn_at"})
OF_THE_VISIT = (
    "number technician_id state ending danger_outcome danger_outcome_by danger_outcome_at"
    " danger_found received_at booked_for booked_minutes started_at finished_at called_off_reason"
    " checklist edition_id allowed_by cause cause_words second_cause second_cause_words work_done"
    " advice advice_refused next_step referred_to left_state permit warranty_claim internal_note"
    " owes_proof unproven_outlet_temperature unproven_tightness unproven_co_in_room"
    " unproven_relief_valve sealed_revision amendment_reason"
)
"""What a visit keeps beside its call."""
IN_LINES = "street locality region postcode country"
"""The parts of an address, which a report shows as the lines of an envelope."""
KINDS: Mapping[type[DataclassInstance], tuple[type[Changeable], str]] = {
    ApplianceDetails: (
        Appliance,
        "premises_id number replaced_by_id replaced_on joined_into_id",
    ),
    CallDetails: (Visit, OF_THE_VISIT),
    CustomerDetails: (Customer, "joined_into_id"),
    PremisesDetails: (Premises, "joined_into_id"),
    PersonDetails: (Person, ""),
    PartDetails: (Part, ""),
}
"""Each table of fields, what keeps it, and the columns there that nobody types as a field."""


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_column_is_a_field_or_is_named_here_as_none(kind: type[DataclassInstance]) -> None:
    table, no_fields = KINDS[kind]
    columns = {column.name for column in table.__table__.columns} - OF_EVERY_ROW
    of_fields = {column for one in fields_of(kind) for column in one.columns}
    assert columns - of_fields == set(no_fields.split()), "a column is no field"
    assert of_fields <= columns, "a field has no column"


@pytest.mark.parametrize(
    ("kind", "line", "shown_otherwise", "not_shown"),
    [
        (ApplianceDetails, ApplianceLine, "activation", "activation_accuracy cover_seals note"),
        (CustomerDetails, CustomerLine, IN_LINES, "note"),
        (PremisesDetails, PremisesLine, IN_LINES, ""),
        (PersonDetails, PersonLine, "", "phone is_technician may_plumbing may_electrical may_gas"),
    ],
)
def test_a_report_shows_every_field_or_the_field_is_named_here_as_not_shown(
    kind: type[DataclassInstance],
    line: type[DataclassInstance],
    shown_otherwise: str,
    not_shown: str,
) -> None:
    shown = {one.name for one in fields(line)} | set(shown_otherwise.split())
    missing = {one.name for one in fields_of(kind) if not shown & {one.name, *one.columns}}
    assert missing == set(not_shown.split())


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_what_a_form_hands_in_is_fields_alone(kind: type[DataclassInstance]) -> None:
    assert [one.name for one in fields(kind)] == [one.name for one in fields_of(kind)]
    assert sorted(as_in_form(kind), key=fields_of(kind).index) == list(fields_of(kind))


def test_the_ways_to_notice_a_draw_have_words_in_the_order_of_the_trade() -> None:
    assert tuple(SENSING_WORDS) == SENSING_KINDS
