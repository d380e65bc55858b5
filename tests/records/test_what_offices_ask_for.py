"""What a warranty desk, an insurer or a licensing office asks for: kept as it was typed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desk.base.errors import InputError
from desk.records.actions import entering
from desk.records.actions.closing import WriteDown
from desk.records.actions.counter import SeeRecord
from desk.records.documents.report_snapshot import report_of
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.records.views.parties import PremisesLine
from desk.records.views.report import VisitReport
from tests.conftest import StillClock
from tests.records.jobs import Job, take_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return take_job(office, clock)


def reported(office: Office, job: Job) -> VisitReport:
    with office.read() as session:
        return report_of(session, session.get_one(Visit, job.visit))


def there(office: Office, job: Job) -> PremisesLine:
    premises = reported(office, job).premises
    assert premises
    return premises


def test_what_is_mended_of_premises_stands_on_the_report(office: Office, job: Job) -> None:
    told = {
        "hardness": "12 gpg",
        "altitude": "720 ft",
        "water_treatment": "softener",
        "recirculation": "pump on a clock",
    }
    office.carry_out(entering.MendPremises(job.premises, told))
    line = there(office, job)
    assert (line.hardness_typed, line.altitude_typed) == ("12 gpg", "720 ft")
    assert line.altitude_m == pytest.approx(720 * 0.3048)  # the foot is 0.3048 m exactly
    assert (line.water_treatment, line.recirculation) == ("softener", "pump on a clock")
    office.carry_out(entering.MendPremises(job.premises, {"altitude": ""}))
    assert there(office, job) == replace(line, altitude_typed="", altitude_m=None)


def test_what_is_entered_with_new_premises_stands_in_the_record(office: Office, job: Job) -> None:
    place = office.carry_out(
        entering.AddPremises(
            job.customer,
            PremisesDetails(
                "4 Quay Lane", altitude="40 m", water_treatment="filter", recirculation="none"
            ),
        )
    )
    seen = office.answer(SeeRecord(job.customer, place)).at
    assert seen
    line = seen.card.line
    assert (line.altitude_m, line.water_treatment, line.recirculation) == (40.0, "filter", "none")


def test_an_altitude_that_cannot_be_read_is_named(office: Office, job: Job) -> None:
    with pytest.raises(InputError) as caught:
        office.carry_out(entering.MendPremises(job.premises, {"altitude": "high up"}))
    assert caught.value.field == "altitude"


@pytest.mark.parametrize("typed", ["90000 ft", "-9000 ft"])
def test_an_altitude_where_nobody_lives_is_a_slip(office: Office, job: Job, typed: str) -> None:
    with pytest.raises(InputError, match="out of range"):
        office.carry_out(entering.MendPremises(job.premises, {"altitude": typed}))


def test_premises_may_lie_below_the_sea(office: Office, job: Job) -> None:
    office.carry_out(entering.MendPremises(job.premises, {"altitude": "-170 ft"}))
    assert there(office, job).altitude_m == pytest.approx(-51.816)


def test_a_warranty_claim_is_written_down(office: Office, job: Job) -> None:
    office.carry_out(WriteDown(job.visit, {"warranty_claim": "with the maker, R-7"}))
    assert reported(office, job).warranty_claim == "with the maker, R-7"
