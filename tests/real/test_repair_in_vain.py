"""A repair that did not help, met from outside: dead anew, and others come first."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.real.program import Person
from tests.real.technician import Technician
from tests.records.jobs import begin_job
from tests.trade.diagnosis.test_rounds import PUMP_MENDED

FOUND = {
    "retest_response": "not_hot",
    "cabinet_ready": "ready",
    "overheated": "closed",
    "outlet_sensor": "off",
    "repair_response": "mended",
}


def mended_at_the_pump(person: Person) -> str:
    """Leave the office with a visit whose pump was just mended; return its number."""
    clock = StillClock(datetime.now(UTC) - timedelta(hours=3))
    with Office.open(person.office, now=clock) as office:
        job = begin_job(office, clock)
        for check, given in PUMP_MENDED:
            job.answer(check, given.answer)
        return job.row().number


def open_checks(person: Person, number: str) -> None:
    """Find the visit by its number and turn to its list."""
    person.screen.write(number)
    person.screen.press("Return")
    person.screen.await_front(number)
    person.screen.press("ctrl+2")


@pytest.mark.fault
def test_a_repair_in_vain_is_proven_dead_anew_and_done_again(small_office: Person) -> None:
    screen, number = small_office.screen, mended_at_the_pump(small_office)
    with small_office.program() as program:
        open_checks(small_office, number)
        Technician(screen, FOUND, "hot-water").work_to("retest_response")
        screen.see("Can the cabinet be opened safely")
        screen.see("mended, which did not help")
        assert not screen.sees("Mend now")
        Technician(screen, FOUND, "hot-water").work_to("cabinet_ready")
        program.see_no_mistake()
    with small_office.program() as program:
        open_checks(small_office, number)
        found = FOUND | {"retest_response": "hot"}
        Technician(screen, found, "hot-water").work_to("retest_response")
        screen.see("Timed flow after the work")
        program.see_no_mistake()
    rows = [row for row in small_office.rows("check_result") if not row["superseded"]]
    assert [row["answer"] for row in rows if row["check_id"] == "retest_response"][-2:] == [
        *("not_hot", "hot")
    ]
