"""What makes people leave is told by the check and the answer that ended the list."""

from __future__ import annotations

import pytest

from desk.trade.content.checklist import Checklist
from desk.trade.content.loader import load_content
from desk.trade.content.model import COULD_NOT
from desk.trade.diagnosis.stop_and_leave import FINDINGS, finding_of, kind_of

LISTS = tuple(load_content().checklists.values())


@pytest.mark.parametrize("made", LISTS, ids=lambda made: made.id)
def test_every_way_that_stops_the_work_has_a_finding_and_only_water_is_water(
    made: Checklist,
) -> None:
    ends = [
        (check, answer)
        for check in made.checks.values()
        for answer in (*(one.id for one in check.answers), COULD_NOT)
        if check.way(answer).ending == "left"
    ]
    assert {check.id for check, _answer in ends if kind_of(check) == "flooding"} == {"flooding"}
    for check, answer in ends:
        found = finding_of(check, answer)
        assert found in FINDINGS
        assert (found == "water") == (check.id == "flooding" and answer != COULD_NOT)
        assert (found == "not_sure") == (answer == COULD_NOT)


def test_carbon_monoxide_and_soot_are_named_by_their_answers() -> None:
    made = load_content().checklists["hot-water"]
    named = {
        answer.id: finding_of(check, answer.id)
        for check in made.checks.values()
        for answer in check.answers
        if answer.ending == "left" and answer.id in {"co", "soot"}
    }
    assert named == {"co": "co", "soot": "soot"}
