"""A visit is charged by the rule of the day on which its work began, and only where that is asked.

The sums are worked by hand: labour of 96.00 an hour in steps of 15 minutes, call-out 49.00, tax of
8.25 % on all of it, rounded on the total.
"""

from __future__ import annotations

import json
import uuid
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.base.texts import say
from desk.records.actions.closing import (
    AddCharge,
    Amend,
    ChangeCharging,
    ChargeVisit,
    Finish,
    PricePart,
    Seal,
    SetCause,
    Sign,
    TakeChargeOff,
    TakePartOut,
    UsePart,
    WriteDown,
)
from desk.records.actions.entering import AddPart, MendPart
from desk.records.actions.shop import MendShop
from desk.records.actions.visit import Redo, SeeVisit, Undo
from desk.records.documents import sealing
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.tables import SealedRevision
from desk.records.views.report import Charges
from desk.records.views.visit_sheet import VisitSheet
from desk.records.whole_office.dump import export_everything
from desk.records.whole_office.load import import_everything
from tests.conftest import StillClock
from tests.records.jobs import REASONS, Job, begin_job

RULE = {
    "charges": "on",
    "hourly": "96.00",
    "step": "15",
    "call_out": "49.00",
    "tax_name": "Sales tax",
    "tax": "8.25 %",
}


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    """A visit that is under way since 70 minutes, in a shop that charges on reports."""
    office.carry_out(MendShop(RULE))
    office.carry_out(AddPart(PartDetails("W-1003", "Inlet screen", 1235), 5))
    job = begin_job(office, clock)
    clock.pass_minutes(70)
    return job


def charges(job: Job) -> Charges:
    found = job.office.answer(SeeVisit(job.visit)).report.charges
    assert found is not None
    return found


def finish(job: Job) -> VisitSheet:
    job.office.carry_out(
        SetCause(job.visit, cause="element_stuck", words="", second_cause="", second_words="")
    )
    job.office.carry_out(WriteDown(job.visit, REASONS))
    return job.office.carry_out(Finish(job.visit, "mended"))


def seal(job: Job) -> VisitSheet:
    job.office.carry_out(Sign(job.visit, absent_reason="at work"))
    return job.office.carry_out(Seal(job.visit))


def amounts(found: Charges) -> dict[str, int]:
    return {line.kind: line.cents for line in found.lines}


def test_nothing_is_charged_until_the_shop_turns_it_on(office: Office, clock: StillClock) -> None:
    office.carry_out(AddPart(PartDetails("W-1003", "Inlet screen", 1235)))
    job = begin_job(office, clock)
    office.carry_out(UsePart(job.visit, number="W-1003"))
    sheet = finish(job)
    assert sheet.report.charges is None
    assert sheet.charging is None
    with pytest.raises(RuleError, match="turned off"):
        office.carry_out(ChargeVisit(job.visit, is_charged=True))
    assert seal(job).report.charges is None


def test_a_usual_visit_is_charged_without_a_key(job: Job) -> None:
    job.office.carry_out(UsePart(job.visit, number="W-1003", pieces=2))
    pending = charges(job)
    assert "Labour is added when the work is finished." in [say(note) for note in pending.notes]
    assert amounts(pending) == {"call_out": 4900, "part": 2470}
    finish(job)
    found = charges(job)
    assert amounts(found) == {"call_out": 4900, "labour": 12_000, "part": 2470}
    assert [(tax.name, tax.on_cents, tax.cents) for tax in found.taxes] == [
        ("Sales tax", 19_370, 1598)
    ]
    assert (found.net_cents, found.total_cents, found.currency) == (19_370, 20_968, "USD")
    assert say(found.rule).startswith("Sales tax of 8.25 % is added to parts and labour")


def test_minutes_that_are_typed_hold_until_they_are_emptied(job: Job) -> None:
    sheet = job.office.carry_out(ChangeCharging(job.visit, {"minutes": "0:31"}))
    assert sheet.charging is not None
    assert (sheet.charging.minutes, sheet.charging.own_minutes) == ("0:31", None)
    assert amounts(charges(job))["labour"] == 7200  # 45 minutes
    finish(job)
    assert amounts(charges(job))["labour"] == 7200
    job.office.carry_out(ChangeCharging(job.visit, {"minutes": ""}))
    assert amounts(charges(job))["labour"] == 12_000


def test_a_call_out_can_be_left_out(job: Job) -> None:
    job.office.carry_out(ChangeCharging(job.visit, {"call_out": "no"}))
    assert "call_out" not in amounts(charges(job))
    job.office.carry_out(ChangeCharging(job.visit, {"call_out": "yes"}))
    assert amounts(charges(job))["call_out"] == 4900


def test_a_part_keeps_the_price_of_the_day_until_it_is_changed_here(job: Job) -> None:
    sheet = job.office.carry_out(UsePart(job.visit, number="W-1003"))
    with job.office.read() as session:
        part_id = session.execute(sa.text("SELECT id FROM part")).scalar_one()
    key = part_id if isinstance(part_id, uuid.UUID) else uuid.UUID(bytes=part_id)
    job.office.carry_out(MendPart(key, PartDetails("", "Inlet screen", 9900, 0)))
    assert amounts(charges(job))["part"] == 1235
    (used,) = sheet.part_ids
    job.office.carry_out(PricePart(job.visit, used, "10"))
    assert amounts(charges(job))["part"] == 1000
    job.office.carry_out(TakePartOut(job.visit, used))
    assert "part" not in amounts(charges(job))
    with pytest.raises(InputError, match="no longer there"):
        job.office.carry_out(PricePart(job.visit, used, "10"))


def test_a_part_in_words_has_the_price_that_is_typed_with_it(job: Job) -> None:
    job.office.carry_out(UsePart(job.visit, name="Brass elbow", price="7.50", pieces=3))
    job.office.carry_out(UsePart(job.visit, name="Washer"))
    priced, without = charges(job).lines[-2:]
    assert (priced.each_cents, priced.cents) == (750, 2250)
    assert (without.each_cents, without.cents) == (None, 0)
    with pytest.raises(InputError, match="no amount") as refused:
        job.office.carry_out(UsePart(job.visit, name="Union", price="cheap"))
    assert refused.value.field == "price"


def test_a_price_that_cannot_be_read_names_its_own_field(job: Job) -> None:
    (used,) = job.office.carry_out(UsePart(job.visit, number="W-1003")).part_ids
    with pytest.raises(InputError) as refused:
        job.office.carry_out(PricePart(job.visit, used, "a lot"))
    assert refused.value.field == f"price_{used.hex}"


def test_further_lines_are_added_and_taken_off(job: Job) -> None:
    job.office.carry_out(AddCharge(job.visit, "Permit, as paid", "35", is_taxed=False))
    sheet = job.office.carry_out(AddCharge(job.visit, "Discount", "-10.00"))
    found = charges(job)
    assert [(line.words, line.cents, line.is_taxed) for line in found.lines[-2:]] == [
        ("Permit, as paid", 3500, False),
        ("Discount", -1000, True),
    ]
    assert [tax.on_cents for tax in found.taxes] == [3900]
    assert sheet.charging is not None
    job.office.carry_out(TakeChargeOff(job.visit, sheet.charging.further_ids[0]))
    assert [line.words for line in charges(job).lines if line.kind == "other"] == ["Discount"]


@pytest.mark.parametrize(
    ("words", "amount", "field"),
    [(" ", "5", "charge_words"), ("Tape", " ", "charge_amount"), ("Tape", "x", "charge_amount")],
)
def test_a_further_line_says_what_is_missing(job: Job, words: str, amount: str, field: str) -> None:
    with pytest.raises(InputError) as refused:
        job.office.carry_out(AddCharge(job.visit, words, amount))
    assert refused.value.field == field


def test_a_visit_can_be_free_of_charge_and_charged_again(job: Job) -> None:
    sheet = job.office.carry_out(ChargeVisit(job.visit, is_charged=False))
    assert sheet.report.charges is None
    assert sheet.charging is not None
    assert not sheet.charging.is_charged
    with pytest.raises(RuleError, match="is not charged"):
        job.office.carry_out(AddCharge(job.visit, "Tape", "5"))
    assert job.office.carry_out(ChargeVisit(job.visit, is_charged=True)).report.charges


def test_a_visit_begun_before_the_shop_charged_can_be_charged(
    office: Office, clock: StillClock
) -> None:
    job = begin_job(office, clock)
    office.carry_out(MendShop(RULE))
    sheet = office.answer(SeeVisit(job.visit))
    assert sheet.report.charges is None
    assert sheet.charging is not None
    assert amounts(_charged(office.carry_out(ChargeVisit(job.visit, is_charged=True)))) == {
        "call_out": 4900
    }


def _charged(sheet: VisitSheet) -> Charges:
    assert sheet.report.charges is not None
    return sheet.report.charges


def test_every_act_on_the_charges_is_taken_back_and_done_again(job: Job) -> None:
    (used,) = job.office.carry_out(UsePart(job.visit, number="W-1003")).part_ids
    sheet = job.office.carry_out(AddCharge(job.visit, "Permit", "35"))
    assert sheet.charging is not None
    acts = (
        PricePart(job.visit, used, "9"),
        ChangeCharging(job.visit, {"minutes": "90"}),
        ChangeCharging(job.visit, {"call_out": "no"}),
        AddCharge(job.visit, "Discount", "-5"),
        TakeChargeOff(job.visit, sheet.charging.further_ids[0]),
        ChargeVisit(job.visit, is_charged=False),
    )
    for act in acts:
        before = job.office.answer(SeeVisit(job.visit)).report
        after = job.office.carry_out(act).report
        assert after != before
        assert job.office.carry_out(Undo(job.visit)).report == before
        assert job.office.carry_out(Redo(job.visit)).report == after


def test_what_the_shop_changes_later_does_not_reach_a_visit_that_began(job: Job) -> None:
    finish(job)
    before = charges(job)
    job.office.carry_out(MendShop({"hourly": "200", "tax": "20", "tax_on_each_line": "line"}))
    assert charges(job) == before
    job.office.carry_out(MendShop({"charges": "off"}))
    sheet = job.office.answer(SeeVisit(job.visit))
    assert sheet.report.charges is None
    assert sheet.charging is None


def test_charges_are_sealed_and_an_amendment_keeps_them(job: Job) -> None:
    finish(job)
    sealed = seal(job)
    found = _charged(sealed)
    with job.office.read() as session:
        kept = session.scalars(sa.select(SealedRevision)).one().snapshot
    assert json.loads(kept)["charges"]["total_cents"] == found.total_cents == 18_294
    assert sealing.read_report(kept).charges == found
    with pytest.raises(RuleError, match="is sealed"):
        job.office.carry_out(ChangeCharging(job.visit, {"minutes": "5"}))
    job.office.carry_out(MendShop({"charges": "off"}))
    assert _charged(job.office.carry_out(Amend(job.visit, "Name was wrong"))) == found


@pytest.mark.parametrize("field", ["charges", "warranty_claim"])
def test_a_report_that_was_sealed_before_there_were_charges_still_reads(
    job: Job, field: str
) -> None:
    report = job.office.answer(SeeVisit(job.visit)).report
    older = json.loads(sealing.canonical_bytes(report)) | {"format": 2}
    del older[field]
    read = sealing.read_report(json.dumps(older).encode())
    assert (read.format, getattr(read, field) or None) == (2, None)


def test_charges_travel_with_the_office(job: Job, tmp_path: Path) -> None:
    job.office.carry_out(UsePart(job.visit, number="W-1003", pieces=2))
    job.office.carry_out(AddCharge(job.visit, "Permit", "35", is_taxed=False))
    before = charges(job)
    place = tmp_path / "all.jsonl"
    export_everything(job.office, place)
    import_everything(tmp_path / "moved.drawoff", place)
    with Office.open(tmp_path / "moved.drawoff") as moved:
        assert moved.answer(SeeVisit(job.visit)).report.charges == before
