"""A new appliance of a known model fills itself in."""

from __future__ import annotations

import uuid

from desk.records.actions.entering import AddAppliance
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.office.office import Office
from desk.windows.kit.fields import TypedLine
from desk.windows.record.forms import new_appliance
from desk.windows.work.work_queue import InlineQueue
from tests.records.jobs import Job
from tests.windows.hands import press, type_into


def test_what_is_known_of_a_model_is_filled_in_and_never_over_what_was_typed(
    office: Office, queue: InlineQueue, job: Job, qtbot: object
) -> None:
    office.carry_out(
        AddAppliance(
            job.premises,
            ApplianceDetails(
                "instantaneous_heater",
                sensing_kind="turbine_hall",
                maker="Brackwater",
                model="Rill 24",
                activation="0.6 gpm",
                rated_input="120000 BTU/h",
            ),
        )
    )
    form = new_appliance(queue, job.premises)
    form.show()
    type_into(form, "activation", "0.7 gpm")
    line = type_into(form, "model", "rill 24")
    line.setFocus()
    press(form, "Tab")
    typed = form.typed()
    assert typed["activation"] == "0.7 gpm"
    assert typed["rated_input"] == "120000 BTU/h"
    assert (typed["kind"], typed["sensing_kind"]) == ("instantaneous_heater", "turbine_hall")
    rated = form.entries["rated_input"]
    assert isinstance(rated, TypedLine)
    assert rated.under.text() == "= as others of this model"
    assert typed["serial"] == ""
    form.close()
    form.deleteLater()


def test_a_model_that_is_new_leaves_the_lines_alone(queue: InlineQueue, qtbot: object) -> None:
    form = new_appliance(queue, uuid.uuid4())
    form.show()
    before = form.typed()
    line = type_into(form, "model", "nobody knows it")
    line.setFocus()
    press(form, "Tab")
    assert form.typed() == before | {"model": "nobody knows it"}
    form.close()
    form.deleteLater()
