"""The rows of a sample mean what the record functions would have written."""

from __future__ import annotations

import json
import re
from collections import Counter, defaultdict
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa

from desk.base.text_folding import fold
from desk.records.office.office import Office
from desk.records.tables import (
    Acknowledgement,
    Appliance,
    Base,
    Change,
    ChangeSet,
    CheckResult,
    Customer,
    CustomerPhone,
    Device,
    Fill,
    Part,
    PartUsed,
    Person,
    Premises,
    Reading,
    ReadingInput,
    Shop,
    Signature,
    StockMovement,
    Visit,
    map_all,
)
from desk.records.tables.visits import ENDINGS, STATES
from desk.records.visits.proof import proof_of
from desk.trade.content.loader import load_content
from desk.trade.content.model import COULD_NOT, Answer
from desk.trade.diagnosis.rounds import rounds_of
from desk.trade.diagnosis.walk import Given, cautions_for, walk
from desk.trade.flow import timed_flow as trade_flow
from desk.trade.quantities.typed_quantity import QuantityKind, parse
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.trade.reference.complaints import COMPLAINTS
from desk.trade.reference.proofs import missing_proofs
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from sample_db.town import workdays
from sample_db.town.stockroom import PART_FOR
from sample_db.visits import phrases
from sample_db.visits.phrases import WORK_DONE

ZONE = ZoneInfo("America/New_York")
STOPS = datetime(2026, 11, 24, 9, 50, tzinfo=ZONE)
FICTIONAL = re.compile(r"\(?\d{3}\)?[- ]555[- ]01\d\d")


def rows(sample: sa.Connection, table: type[Base]) -> list[sa.Row[Any]]:
    return list(sample.execute(sa.select(*sa.inspect(table).local_table.c)))


def test_all_links_hold(sample: sa.Connection) -> None:
    assert sample.exec_driver_sql("PRAGMA foreign_key_check").fetchall() == []
    assert sample.exec_driver_sql("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_every_state_and_ending_is_there(sample: sa.Connection) -> None:
    visits = rows(sample, Visit)
    assert {visit.state for visit in visits} == set(STATES)
    assert {visit.ending for visit in visits} == set(ENDINGS)
    assert {visit.complaint for visit in visits} <= set(COMPLAINTS)
    assert {"", "no_response", "too_cool"} <= {visit.complaint for visit in visits}


def test_exactly_one_visit_is_under_way_and_half_checked(sample: sa.Connection) -> None:
    (under_way,) = [visit for visit in rows(sample, Visit) if visit.state == "under_way"]
    assert under_way.started_at.astimezone(ZONE).date() == STOPS.date()
    assert any(result.visit_id == under_way.id for result in rows(sample, CheckResult))


def test_today_has_a_list_of_several_technicians(sample: sa.Connection) -> None:
    today = [
        visit
        for visit in rows(sample, Visit)
        if visit.state == "booked" and visit.booked_for.astimezone(ZONE).date() == STOPS.date()
    ]
    assert len(today) >= 6
    assert len({visit.technician_id for visit in today}) >= 3
    assert sum(visit.state == "new_call" for visit in rows(sample, Visit)) == 2


def test_nobody_is_in_two_places_on_the_days_ahead(sample: sa.Connection) -> None:
    taken = defaultdict(list)
    for visit in rows(sample, Visit):
        if visit.state in {"booked", "under_way"}:
            taken[visit.technician_id].append((visit.booked_for, visit.booked_minutes))
    for bookings in taken.values():
        bookings.sort()
        for (start, minutes), (following, _) in pairwise(bookings):
            assert (following - start).total_seconds() >= minutes * 60


def test_nothing_is_dated_after_the_day_but_bookings(sample: sa.Connection) -> None:
    latest = STOPS.astimezone(UTC)
    for table in map_all().metadata.sorted_tables:
        for column in table.c:
            is_time = isinstance(column.type, type(Visit.__table__.c.received_at.type))
            if is_time and column.name != "booked_for":
                newest = sample.scalar(sa.select(sa.func.max(column)))
                assert newest is None or newest <= latest, column


def test_times_of_a_visit_follow_one_another_in_working_hours(sample: sa.Connection) -> None:
    for visit in rows(sample, Visit):
        times = [visit.received_at, visit.started_at, visit.finished_at]
        known = [time for time in times if time]
        assert known == sorted(known)
        for time in known:
            local = time.astimezone(ZONE)
            assert 8 <= local.hour < 19
            assert local.weekday() < 5


def test_telephone_numbers_are_fictional(sample: sa.Connection) -> None:
    numbers = [phone.typed for phone in rows(sample, CustomerPhone)]
    numbers += [person.phone for person in rows(sample, Person)]
    numbers += [shop.phone for shop in rows(sample, Shop)]
    numbers += [visit.caller_phone for visit in rows(sample, Visit)]
    assert len(set(numbers)) > 100
    assert all(FICTIONAL.fullmatch(number) for number in numbers)
    for phone in rows(sample, CustomerPhone):
        assert phone.e164 == "+1" + re.sub(r"\D", "", phone.typed)


def test_some_names_are_in_other_writing(sample: sa.Connection) -> None:
    names = [customer.name for customer in rows(sample, Customer)]
    assert any(re.search("[\u0370-\u03ff]", name) for name in names)
    assert any(re.search("[\u0400-\u04ff]", name) for name in names)
    assert all(customer.folded == fold(customer.name) for customer in rows(sample, Customer))


def test_answers_follow_the_checklist(sample: sa.Connection) -> None:
    content = load_content()
    answered = defaultdict(list)
    for result in sorted(rows(sample, CheckResult), key=lambda row: row.id):
        answered[result.visit_id].append(result)
    kinds = {row.id: row.sensing_kind for row in rows(sample, Appliance)}
    visits = {row.id: row for row in rows(sample, Visit)}
    ends = Counter()
    for visit_id, results in answered.items():
        visit = visits[visit_id]
        latest = {row.check_id: row for row in results}
        checklist = content.checklist_for(visit.complaint)
        assert visit.checklist == checklist.id
        done = rounds_of(
            checklist, [(row.check_id, Given(row.answer, row.reason)) for row in results]
        )
        walked = walk(checklist, done, kinds[visit.appliance_id])
        on_path = {step.check for step in walked.path}
        assert on_path | {*walked.aside, *walked.ahead} == latest.keys()
        standing = {one.at for times in done.done.values() for one in times}
        for place, row in enumerate(results):
            assert row.superseded == (place not in standing)
            assert row.answer != COULD_NOT or row.reason
        ends[visit.state in {"finished", "sealed"}, walked.ending == visit.ending] += 1
    assert ends[True, True] > 0.9 * (ends[True, True] + ends[True, False])
    assert sum(row.superseded for row in rows(sample, CheckResult)) > 3


def test_serious_cautions_were_acknowledged_before_an_answer(sample: sa.Connection) -> None:
    content = load_content()
    worked_by = {
        row.id: content.checklists[row.checklist] for row in rows(sample, Visit) if row.checklist
    }
    read = {(row.visit_id, row.caution): row for row in rows(sample, Acknowledgement)}
    found: dict[Any, tuple[str, ...]] = defaultdict(tuple)
    for result in sorted(rows(sample, CheckResult), key=lambda row: row.id):
        made = worked_by[result.visit_id]
        for caution in cautions_for(made, result.check_id, found[result.visit_id]):
            if caution.serious:
                assert read[result.visit_id, caution.id].at <= result.answered_at
        way = made.check(result.check_id).way(result.answer)
        if isinstance(way, Answer) and way.finds and not result.superseded:
            found[result.visit_id] = way.finds


def test_no_visit_says_what_its_answers_do_not(sample: sa.Connection) -> None:
    """A visit that stopped says why, in its answers as in its words; no other one did."""
    lists = load_content().checklists
    given = defaultdict(dict)
    for result in sorted(rows(sample, CheckResult), key=lambda row: row.id):
        given[result.visit_id][result.check_id] = Given(result.answer, result.reason)
    kinds = {row.id: row.sensing_kind for row in rows(sample, Appliance)}
    stopped = 0
    for visit in rows(sample, Visit):
        if visit.state not in {"finished", "sealed"} or not given[visit.id]:
            continue
        answers = given[visit.id]
        walked = min(  # what a later visit found out of the kind was not known to this one
            (
                walk(lists[visit.checklist], answers, kind)
                for kind in (kinds[visit.appliance_id], NOT_KNOWN)
            ),
            key=lambda way: len(way.aside),
        )
        assert (visit.ending == "left") == (walked.ending == "left"), visit.number
        why = [key for key, words in phrases.LEFT.items() if visit.work_done in words]
        if visit.ending != "left":
            assert why == [], visit.number
            continue
        stopped += 1
        assert why == [walked.path[-1].answer], visit.number
        if "at the door" in visit.work_done or "in the hall" in visit.work_done:
            assert answers["danger"].answer == "danger", visit.number
    assert stopped


def test_answers_point_to_the_cause_that_was_written_down(sample: sa.Connection) -> None:
    lists = load_content().checklists
    given = defaultdict(dict)
    for result in sorted(rows(sample, CheckResult), key=lambda row: row.id):
        given[result.visit_id][result.check_id] = Given(result.answer, result.reason)
    kinds = {row.id: row.sensing_kind for row in rows(sample, Appliance)}
    agrees = [
        visit.cause
        in walk(lists[visit.checklist], given[visit.id], kinds[visit.appliance_id]).found
        for visit in rows(sample, Visit)
        if visit.ending == "mended" and visit.cause
    ]
    assert sum(agrees) > 0.85 * len(agrees)


def test_what_was_typed_is_what_was_kept(sample: sa.Connection) -> None:
    for reading in rows(sample, Reading):
        kind = READING_KINDS.get(reading.kind)  # none for a flow or a computed measurement
        quantity = kind.quantity if kind else None
        if quantity:
            typed = parse(reading.typed, quantity, field="test")
            assert (typed.unit, typed.si) == (reading.unit, reading.si_value)
    for premises in rows(sample, Premises):
        typed = parse(premises.hardness_typed, QuantityKind.HARDNESS, field="test")
        assert typed.si == premises.hardness_kg_per_m3
    for appliance in rows(sample, Appliance):
        if appliance.activation_typed:
            typed = parse(appliance.activation_typed, QuantityKind.VOLUME_RATE, field="test")
            assert typed.si == appliance.activation_m3_per_s


def test_flows_are_what_their_fills_say(sample: sa.Connection) -> None:
    fills, inputs = defaultdict(list), defaultdict(dict)
    for fill in rows(sample, Fill):
        assert parse(fill.typed, QuantityKind.TIME, field="test").si == fill.seconds
        if not fill.struck:
            fills[fill.reading_id].append(trade_flow.TimedFill(fill.seconds))
    for row in rows(sample, ReadingInput):
        inputs[row.reading_id][row.name] = row.si_value
    flows = [reading for reading in rows(sample, Reading) if reading.kind == FLOW]
    assert {flow.moment for flow in flows} == {"found", "left"}
    for flow in flows:
        given = inputs[flow.id]
        computed = trade_flow.timed_volume(
            fills[flow.id],
            trade_flow.FillContainer(given["container"], given["graduation"] / 2),
            timing_half_width_s=given["timing"],
        )
        assert computed.flow_m3_per_s == pytest.approx(flow.si_value)
        assert computed.standard_uncertainty_m3_per_s == pytest.approx(flow.standard_uncertainty_si)


def test_rules_of_an_ending_hold(sample: sa.Connection) -> None:
    causes = load_content().causes
    signed = Counter(row.visit_id for row in rows(sample, Signature))
    for visit in rows(sample, Visit):
        assert not visit.cause or visit.cause in causes
        assert visit.ending != "mended" or visit.cause or not visit.complaint
        assert visit.ending != "referred" or visit.referred_to
        assert visit.state != "called_off" or visit.called_off_reason
        assert signed[visit.id] == (visit.ending != "")
    for row in rows(sample, Signature):
        assert bool(row.name) != bool(row.absent_reason)


def test_every_part_fitted_left_the_van_and_no_place_owes_any(sample: sa.Connection) -> None:
    stock = Counter()
    for move in sorted(rows(sample, StockMovement), key=lambda row: row.id):
        stock[move.part_id, move.van_of_id] += move.pieces
        assert stock[move.part_id, move.van_of_id] >= 0 or move.kind == "moved"
    assert min(stock.values()) >= 0
    used = Counter(
        (move.visit_id, move.part_id) for move in rows(sample, StockMovement) if move.kind == "used"
    )
    assert used == Counter((part.visit_id, part.part_id) for part in rows(sample, PartUsed))


def test_the_journal_tells_how_each_visit_came_to_stand(sample: sa.Connection) -> None:
    last: dict[tuple[object, str], str] = {}
    order = {row.id: row.number for row in rows(sample, ChangeSet)}
    changes = [row for row in rows(sample, Change) if row.table_name == "visit"]
    for change in sorted(changes, key=lambda row: (order[row.change_set_id], row.position)):
        before = last.get((change.row_id, change.field))
        assert before is None or before == change.before
        last[change.row_id, change.field] = change.after
    for visit in rows(sample, Visit):
        for field in ("state", "ending", "cause", "work_done", "booked_minutes"):
            told = last.get((visit.id, field))
            assert told is None or json.loads(told) == getattr(visit, field)
        assert (visit.id, "state") in last or visit.state == "new_call"


def test_the_device_counts_what_was_made(sample: sa.Connection) -> None:
    (device,) = rows(sample, Device)
    numbers = sorted(row.number for row in rows(sample, ChangeSet))
    assert numbers == list(range(1, device.sets_made + 1))
    assert sorted(row.number for row in rows(sample, Visit)) == [
        f"A-{n:05d}" for n in range(1, device.visits_made + 1)
    ]
    assert sorted(row.number for row in rows(sample, Appliance)) == [
        f"A-H{n:04d}" for n in range(1, device.appliances_made + 1)
    ]


def test_every_cause_has_words_and_every_part_of_a_cause_is_in_the_catalogue(
    sample: sa.Connection,
) -> None:
    causes = load_content().causes
    assert WORK_DONE.keys() == causes.keys()
    assert PART_FOR.keys() <= causes.keys()
    assert set(PART_FOR.values()) <= {part.number for part in rows(sample, Part)}


def test_an_appliance_burns_what_its_premises_have(sample: sa.Connection) -> None:
    fuels = {premises.id: premises.fuel for premises in rows(sample, Premises)}
    burning = [appliance for appliance in rows(sample, Appliance) if appliance.gas_kind]
    assert len(burning) > 50
    assert all(appliance.gas_kind == fuels[appliance.premises_id] for appliance in burning)


def test_a_weekend_is_brought_back_to_the_friday_before() -> None:
    sunday = datetime(2026, 11, 22, 15, 0, tzinfo=UTC)
    back = workdays.in_hours(sunday, sunday)
    assert workdays.local_day(back) == date(2026, 11, 20)


def test_whatever_was_mended_is_proven(sample_path: Path) -> None:
    with Office.open(sample_path) as office, office.read() as session:
        mended = session.scalars(
            sa.select(Visit).where(Visit.ending == "mended", Visit.complaint != "")
        ).all()
        assert len(mended) > 100
        for visit in mended:
            assert visit.owes_proof
            assert missing_proofs(proof_of(session, visit)) == (), visit.number
