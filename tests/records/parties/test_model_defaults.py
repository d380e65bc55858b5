"""What the shop has entered of a model before."""

from __future__ import annotations

from desk.records.actions.belonging import SeeModel
from desk.records.actions.entering import AddAppliance
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import take_job


def test_a_model_usually_has_what_was_met_most_often(office: Office, clock: StillClock) -> None:
    job = take_job(office, clock)
    for activation, sensing in (
        ("0.6 gpm", "turbine_hall"),
        ("0.6 gpm", "not_known"),
        ("", "reed_float"),
    ):
        office.carry_out(
            AddAppliance(
                job.premises,
                ApplianceDetails(
                    "instantaneous_heater",
                    sensing_kind=sensing,
                    maker="Brackwater",
                    model="Rill 24",
                    activation=activation,
                    rated_input="120000 BTU/h",
                    serial="S-1",
                ),
            )
        )
    assert office.answer(SeeModel("brackwater ", "RILL 24")) == {
        "kind": "instantaneous_heater",
        "sensing_kind": "reed_float",
        "activation": "0.6 gpm",
        "rated_input": "120000 BTU/h",
    }, "the newest of equals; serials are an appliance's own"
    assert office.answer(SeeModel("", "rill 24"))["activation"] == "0.6 gpm"
    assert office.answer(SeeModel("Other maker", "Rill 24")) == {}
    assert office.answer(SeeModel("Brackwater", " ")) == {}
