"""On a server nobody takes back what another desk did."""

from __future__ import annotations

from contextlib import closing

import pytest

from desk.base.errors import RuleError
from desk.records.actions.entering import AddCustomer
from desk.records.actions.undoing import DoAgain, SeeSteps, TakeBack
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office


def test_each_desk_takes_back_its_own(office: Office) -> None:
    url = office._engine.url
    if url.get_backend_name() == "sqlite":
        pytest.skip("one machine writes in a file")
    place = url.render_as_string(hide_password=False)
    with (
        closing(Office.open(place, now=office.now, desk="front")) as front,
        closing(Office.open(place, now=office.now, desk="back")) as back,
    ):
        front.carry_out(AddCustomer(CustomerDetails("Mara Quill")))
        back.carry_out(AddCustomer(CustomerDetails("Ines Marsh")))
        front.carry_out(TakeBack())
        assert front.answer(SeeSteps()).undo == ""
        assert back.answer(SeeSteps()).undo != ""
        with pytest.raises(RuleError, match="nothing to take back"):
            front.carry_out(TakeBack())
        front.carry_out(DoAgain())
        assert front.answer(SeeSteps()).undo != ""
    with closing(Office.open(place, now=office.now, desk="front")) as restarted:
        assert restarted.answer(SeeSteps()).undo != "", "also after a restart"
