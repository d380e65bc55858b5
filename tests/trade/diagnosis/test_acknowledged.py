"""What is acknowledged on the way: only where a hand first goes in, and once."""

from __future__ import annotations

import pytest

from desk.trade.content.loader import load_content
from desk.trade.diagnosis.walk import cautions_for, to_acknowledge, walk_said
from sample_db.trial import answer_to
from tests.journeys import scripts

CHECKLIST = load_content().checklists["hot-water"]
MOST_ON_A_USUAL_VISIT = 4
USUAL = {"a stuck float": scripts.FLOAT, "a blocked strainer": scripts.STRAINER}


@pytest.mark.parametrize("found", USUAL.values(), ids=USUAL)
def test_a_usual_visit_asks_for_four_acknowledgements_at_most(found: dict[str, str]) -> None:
    answers: dict[str, str] = {}
    read: set[str] = set()
    asked = []
    walk = walk_said(CHECKLIST, answers, "reed_switch")
    while walk.next:
        now = {one.id for one in to_acknowledge(CHECKLIST, walk.next, walk.to_mend)} - read
        if now:
            asked.append(walk.next)
            read |= now
        answers[walk.next] = answer_to(CHECKLIST.check(walk.next), found)
        walk = walk_said(CHECKLIST, answers, "reed_switch")
    assert walk.ending == "mended"
    assert 0 < len(asked) <= MOST_ON_A_USUAL_VISIT, asked


def test_every_check_that_opens_something_asks_first() -> None:
    for checklist in load_content().checklists.values():
        for check in checklist.checks.values():
            if check.opens:
                causes = tuple(checklist.causes) if check.mends else ()
                assert to_acknowledge(checklist, check.id, causes), check.id


def test_where_nothing_is_opened_only_acid_asks() -> None:
    for checklist in load_content().checklists.values():
        for check in checklist.checks.values():
            if not check.opens:
                for caution in to_acknowledge(checklist, check.id):
                    assert "chemicals" in caution.guards, (check.id, caution.id)


def test_what_is_acknowledged_is_among_what_is_shown() -> None:
    for check in CHECKLIST.checks:
        shown = {one.id for one in cautions_for(CHECKLIST, check)}
        assert {one.id for one in to_acknowledge(CHECKLIST, check)} <= shown
