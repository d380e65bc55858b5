"""Failures against age and lives of parts, by columns and one by one, on both engines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.records.office.office import Office
from desk.records.recurrence.queries import failure_histories, part_lives
from desk.records.views.recurrence import GRACE_DAYS, RepeatChoice
from desk.trade.recurrence import Fleet, mean_cumulative, part_life
from tests.records.invented_visits import (
    BEGIN,
    Fitting,
    Invented,
    Stood,
    fittings,
    stood,
    visits,
    write,
)
from tests.records.recurrence.test_repeats_alike import ONE_OFFICE

TODAY = BEGIN.date() + timedelta(days=15)


def _there(invented: Sequence[Invented], zone: ZoneInfo) -> dict[int, Invented]:
    """Return the visits that exist by the end of today, by their places."""
    return {
        number: one
        for number, one in enumerate(invented)
        if not one.withdrawn and one.received.astimezone(zone).date() <= TODAY
    }


def _watched(
    there: dict[int, Invented], stands: Sequence[Stood], zone: ZoneInfo
) -> dict[int, tuple[date, bool, date, date]]:
    """Return of each appliance when it was born, whether assumed, entered and left."""
    contacts: dict[int, list[date]] = defaultdict(list)
    first: dict[int, date] = {}
    for one in there.values():
        if one.appliance is None or one.state == "called_off":
            continue
        came = one.received.astimezone(zone).date()
        first[one.appliance] = min(came, first.get(one.appliance, came))
        days = [came]
        if one.finished is not None:
            days.append(one.finished.astimezone(zone).date())
        contacts[one.appliance] += [day for day in days if day <= TODAY]
    found = {}
    for appliance, entered in first.items():
        stand = stands[appliance]
        left = min(
            max(contacts[appliance]) + timedelta(days=GRACE_DAYS), stand.replaced or TODAY, TODAY
        )
        assumed = stand.installed is None or stand.installed > entered
        born = entered if assumed or stand.installed is None else stand.installed
        found[appliance] = (born, assumed, entered, left)
    return found


def _failures(
    there: dict[int, Invented],
    watched: tuple[date, bool, date, date],
    appliance: int,
    zone: ZoneInfo,
) -> list[float]:
    born, assumed, entered, left = watched
    ages = []
    for one in there.values():
        begins = one.continues is None or one.continues not in there
        if one.appliance != appliance or not begins or one.state == "called_off":
            continue
        day = one.received.astimezone(zone).date()
        if one.complaint and entered <= day <= left and not (assumed and day == born):
            ages.append(float((day - born).days))
    return sorted(ages)


def _acyclic(invented: list[Invented]) -> list[Invented]:
    """Let visits continue earlier places only: who begins a circle is told elsewhere."""
    return [
        replace(one, continues=None) if one.continues is not None and one.continues >= at else one
        for at, one in enumerate(invented)
    ]


@ONE_OFFICE
@given(invented=visits().map(_acyclic), stands=stood())
def test_failures_against_age_are_those_of_each_appliance(
    office: Office, invented: list[Invented], stands: tuple[Stood, ...]
) -> None:
    write(office, invented, stands)
    zone = ZoneInfo(office.zone)
    there = _there(invented, zone)
    expected = {}
    for appliance, watched in _watched(there, stands, zone).items():
        born, _assumed, entered, left = watched
        began = any(
            one.appliance == appliance and (one.continues is None or one.continues not in there)
            for one in there.values()
        )
        if began and left > entered:
            ages = _failures(there, watched, appliance, zone)
            expected[f"H-{appliance}"] = ((entered - born).days, (left - born).days, ages)
    with office.read() as session:
        found = failure_histories(session, RepeatChoice(by="appliance", as_of=TODAY))
    assert {
        group.key: (
            int(group.fleet.entered[0]),
            int(group.fleet.observed_to[0]),
            sorted(group.fleet.age.tolist()),
        )
        for group in found.groups
    } == expected
    for group in found.groups:
        Fleet.of(group.fleet)  # the statistics take it


@ONE_OFFICE
@given(data=st.data(), invented=visits(), stands=stood())
def test_lives_of_parts_run_to_the_next_or_to_the_last_day_watched(
    office: Office, data: st.DataObject, invented: list[Invented], stands: tuple[Stood, ...]
) -> None:
    fitted = data.draw(fittings(len(invented)))
    write(office, invented, stands, fitted)
    zone = ZoneInfo(office.zone)
    there = _there(invented, zone)
    watched = _watched(there, stands, zone)
    days: dict[tuple[int, str], set[date]] = defaultdict(set)
    for fitting in fitted:
        one = there.get(fitting.visit)
        if one is None or one.appliance is None or one.state == "called_off" or not one.finished:
            continue
        day = one.finished.astimezone(zone).date()
        if day <= TODAY:
            days[one.appliance, fitting.name].add(day)
    expected: dict[str, list[tuple[float, bool]]] = defaultdict(list)
    for (appliance, part), fitted_on in days.items():
        line = sorted(fitted_on)
        ends = [*line[1:], max(watched[appliance][3], line[-1])]
        expected[part] += [
            (float((end - day).days), at < len(line) - 1)
            for at, (day, end) in enumerate(zip(line, ends, strict=True))
        ]
    with office.read() as session:
        found = part_lives(session, RepeatChoice(by="part", as_of=TODAY))
    assert {
        group.key: sorted(zip(group.days, group.failed, strict=True)) for group in found.groups
    } == {part: sorted(lives) for part, lives in expected.items()}


def _visit(day: int, **changes: object) -> Invented:
    when = datetime(2026, 1, 5, 15, tzinfo=UTC) + timedelta(days=day)
    usual = Invented(
        appliance=0,
        complaint="no_response",
        cause="element_stuck",
        state="finished",
        ending="mended",
        received=when,
        finished=when + timedelta(hours=2),
        continues=None,
        withdrawn=False,
    )
    return replace(usual, **changes)  # type: ignore[arg-type]


AS_OF = date(2026, 6, 1)
CAME = date(2026, 1, 5)


def _fleets(office: Office, **choice: object) -> tuple[dict[str, Fleet], dict[str, int]]:
    with office.read() as session:
        asked = RepeatChoice(**{"by": "appliance", "as_of": AS_OF} | choice)  # type: ignore[arg-type]
        found = failure_histories(session, asked)
    return {group.key: group.fleet for group in found.groups}, dict(found.oddities)


def test_the_call_that_brings_an_appliance_in_is_no_failure_of_its_age(office: Office) -> None:
    stands = (Stood(CAME - timedelta(days=100)), Stood())
    write(office, [_visit(0), _visit(20), _visit(0, appliance=1), _visit(30, appliance=1)], stands)
    fleets, odd = _fleets(office)
    assert mean_cumulative(fleets["H-0"]).ages == (120.0,)
    assert mean_cumulative(fleets["H-1"]).ages == (30.0,)
    assert odd == {"installed_not_known": 1}


def test_a_day_of_installation_after_the_first_visit_is_not_believed(office: Office) -> None:
    write(office, [_visit(0), _visit(20)], (Stood(CAME + timedelta(days=3)), Stood()))
    fleets, odd = _fleets(office)
    assert fleets["H-0"].age.tolist() == [20.0]
    assert odd == {"installed_after_first_visit": 1}


def test_an_appliance_is_watched_to_its_replacement_and_no_further(office: Office) -> None:
    write(office, [_visit(0), _visit(20), _visit(50)], (Stood(CAME, CAME + timedelta(30)), Stood()))
    fleets, odd = _fleets(office)
    assert fleets["H-0"].observed_to.tolist() == [30.0]
    assert fleets["H-0"].age.tolist() == [0.0, 20.0]
    assert odd == {"call_after_the_end": 1}


def test_an_appliance_nobody_was_called_to_again_is_lost_sight_of(office: Office) -> None:
    write(office, [_visit(0), _visit(20)], (Stood(CAME), Stood()))
    fleets, odd = _fleets(office, as_of=CAME + timedelta(days=2_000))
    assert fleets["H-0"].observed_to.tolist() == [20.0 + GRACE_DAYS]
    assert odd == {"lost_sight_of": 1}


def test_a_period_is_watched_by_the_ages_within_it(office: Office) -> None:
    write(office, [_visit(0), _visit(20), _visit(50)], (Stood(CAME), Stood()))
    period = {"since": CAME + timedelta(days=10), "until": CAME + timedelta(days=40)}
    fleets, _odd = _fleets(office, **period)
    assert (fleets["H-0"].entered.tolist(), fleets["H-0"].observed_to.tolist()) == ([10.0], [40.0])
    assert fleets["H-0"].age.tolist() == [20.0]


def test_by_what_failed_all_appliances_are_watched_for_each_group(office: Office) -> None:
    there = [_visit(0), _visit(9, cause="sensor_dead"), _visit(0, appliance=1)]
    write(office, there, (Stood(CAME), Stood(CAME)))
    fleets, _odd = _fleets(office, by="cause")
    assert {key: (one.units, one.failures) for key, one in fleets.items()} == {
        "element_stuck": (2, 2),
        "sensor_dead": (2, 1),
    }
    only, _odd = _fleets(office, only=(("cause", "sensor_dead"),))
    assert {key: one.failures for key, one in only.items()} == {"H-0": 1, "H-1": 0}
    with pytest.raises(InputError, match="go by one of"):
        _fleets(office, by="technician")


def test_odd_fittings_are_left_out_and_counted(office: Office) -> None:
    there = [
        _visit(0),
        _visit(40),
        _visit(40, appliance=None),
        _visit(50, state="booked", ending="", finished=None),
    ]
    fitted = [
        Fitting(0, "Switch"),
        Fitting(0, "Switch"),
        *(Fitting(n, "Switch") for n in (1, 2, 3)),
    ]
    write(office, there, (Stood(CAME), Stood()), fitted)
    with office.read() as session:
        found = part_lives(session, RepeatChoice(by="part", as_of=AS_OF))
        by_model = part_lives(session, RepeatChoice(by="supply_area", as_of=AS_OF))
    [switch] = found.groups
    assert sorted(zip(switch.days, switch.failed, strict=True)) == [(40.0, True), (107.0, False)]
    assert dict(found.oddities) == {
        "fitted_unfinished": 1,
        "part_without_appliance": 1,
        "fitted_twice_a_day": 1,
    }
    assert by_model.groups[0].days == switch.days
    assert part_life(switch.days, switch.failed).replaced == 1
