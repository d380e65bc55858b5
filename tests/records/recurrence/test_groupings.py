"""Groupings, filters, odd records and pages of visits, on both engines."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError
from desk.base.texts import say
from desk.records.database.options import WRITES
from desk.records.journal.journal import keep
from desk.records.office.office import Office
from desk.records.recurrence.groupings import GROUPINGS, GROUPS
from desk.records.recurrence.queries import repeat_summary, repeats_to_print, visits_behind
from desk.records.tables import Appliance, ChangeSet, Person, Premises, Reading, Visit
from desk.records.views.recurrence import ODDITIES, RepeatChoice, RepeatSummary, held_apart
from tests.records.invented_visits import Fitting, Invented, Stood, write
from tests.records.jobs import ACT

CAME = datetime(2026, 1, 5, 15, tzinfo=UTC)
AS_OF = date(2026, 6, 1)


def visit(day: float, appliance: int | None = 0, **changes: Any) -> Invented:
    """Return a visit that was called in on a day, counted from 5 January, and took two hours."""
    when = CAME + timedelta(days=day)
    usual = Invented(
        appliance=appliance,
        complaint="no_response",
        cause="element_stuck",
        state="finished",
        ending="mended",
        received=when,
        finished=when + timedelta(hours=2),
        continues=None,
        withdrawn=False,
    )
    return replace(usual, **changes)


def summary(office: Office, **choice: Any) -> RepeatSummary:
    with office.read() as session:
        return repeat_summary(session, RepeatChoice(**{"as_of": AS_OF} | choice))


def counts(office: Office, **choice: Any) -> dict[str, tuple[int, int]]:
    """Return how many jobs of each group counted, and how many of them came back."""
    return {row.key: (row.counted, row.repeats) for row in summary(office, **choice).rows}


def _set(office: Office, table: Any, number: int | None, **values: object) -> None:
    """Write fields of an invented row, or of all of a table, past the office's commands."""
    said = sa.update(table).values(**values)
    if number is not None:
        said = said.where(table.number == number)
    with office._engine.execution_options(**{WRITES: True}).begin() as connection:
        connection.execute(said)


def _add(office: Office, table: Any, **values: object) -> uuid.UUID:
    key = uuid.uuid4()
    with office._engine.execution_options(**{WRITES: True}).begin() as connection:
        made_in = connection.scalars(sa.select(ChangeSet.id)).first()
        row = {"id": key, "made_in": made_in, "version": 1} | values
        connection.execute(sa.insert(table), [row])
    return key


def test_jobs_are_grouped_by_what_the_appliance_is(office: Office) -> None:
    there = [visit(0), visit(10), visit(0, 1)]
    write(office, there, (Stood(date(2019, 3, 1)), Stood()))
    _set(office, Appliance, "H-0", maker="Invented", model="Kestle 24", kind="storage_heater")
    _set(office, Premises, None, supply_area="Upper town")
    expected = {
        "appliance": {"H-0": (2, 1), "H-1": (1, 0)},
        "model": {"Invented Kestle 24": (2, 1), "": (1, 0)},
        "maker": {"Invented": (2, 1), "": (1, 0)},
        "kind": {"storage_heater": (2, 1), "other": (1, 0)},
        "sensing_kind": {"not_known": (3, 1)},
        "install_year": {"2019": (2, 1), "": (1, 0)},
        "supply_area": {"Upper town": (3, 1)},
        "month": {"2026-01": (3, 1)},
        "complaint": {"no_response": (3, 1)},
        "cause": {"element_stuck": (3, 1)},
        "technician": {"": (3, 1)},
        "part": {"": (3, 1)},
        "hardness_class": {"": (3, 1)},
    }
    assert set(expected) == set(GROUPS) >= set(GROUPINGS)
    for by, rows in expected.items():
        assert counts(office, by=by) == rows, by


def test_a_job_stands_in_the_row_of_every_part_that_was_fitted(office: Office) -> None:
    parts = ((0, "Switch"), (0, "Switch"), (0, "Screen"), (1, "Screen"))
    write(office, [visit(0), visit(10), visit(60)], fitted=[Fitting(*part) for part in parts])
    found = summary(office, by="part", within_days=30)
    assert {row.key: (row.counted, row.repeats) for row in found.rows} == {
        "Switch": (1, 1),
        "Screen": (2, 1),
        "": (1, 0),
    }
    assert (found.total.counted, found.total.repeats) == (3, 1)
    assert counts(office, by="part", within_days=30, only=(("part", "Switch"),)) == {
        "Switch": (1, 1),
        "Screen": (1, 1),
    }


def test_the_newest_reading_tells_the_hardness_else_what_is_written_down(office: Office) -> None:
    write(office, [visit(0), visit(10)])
    _set(office, Premises, None, hardness_kg_per_m3=0.05)
    assert counts(office, by="hardness_class") == {"soft": (2, 1)}
    with office.read() as session:
        first = session.scalars(sa.select(Visit.id).order_by(Visit.number)).first()
    for day, hardness in ((1, 0.05), (9, 0.15), (5, 0.25)):  # the last by a clock that was behind
        with office.unit_of_work(ACT) as session:
            taken = CAME + timedelta(days=day)
            keep(
                session,
                Reading(
                    visit_id=first,
                    kind="hardness",
                    moment="found",
                    si_value=hardness,
                    taken_at=taken,
                ),
            )
    assert counts(office, by="hardness_class") == {"very_hard": (2, 1)}


def test_people_stand_beside_what_their_work_would_bring_anybody(office: Office) -> None:
    # Two kinds of jobs: of stuck elements half come back, of blocked strainers none.
    there = [
        *(visit(0, n) for n in (0, 1)),
        visit(9, 0),
        *(visit(n, None, cause="strainer_blocked") for n in (0, 1, 2)),
    ]
    write(office, there)
    for name, numbers in (("Ann Poole", (0, 3, 4, 5)), ("Ivo Stark", (1, 2))):
        person = _add(office, Person, name=name)
        for number in numbers:
            _set(office, Visit, f"A-{number:05d}", technician_id=person)
    rows = {row.key: row for row in summary(office, by="technician").rows}
    assert (rows["Ann Poole"].repeats, rows["Ann Poole"].counted) == (1, 4)
    assert rows["Ann Poole"].expected == pytest.approx(1 / 3)  # one stuck element of three jobs
    assert rows["Ivo Stark"].expected == pytest.approx(2 / 3)
    said = " ".join(say(text) for text in summary(office, by="technician").definitions)
    assert "indirect standardisation" in said
    assert all(row.expected is None for row in summary(office).rows)


def test_any_complaint_repeats_a_job_but_planned_service_does_not(office: Office) -> None:
    there = [visit(0), visit(10, complaint="too_cool"), visit(20, complaint="")]
    write(office, there)
    assert summary(office).total.repeats == 0
    found = summary(office, complaint="any")
    assert found.total.repeats == 1
    assert any("any complaint" in say(text) for text in found.definitions)


def test_the_days_stand_in_the_definitions(office: Office) -> None:
    write(office, [visit(0)])
    said = [say(text) for text in summary(office, within_days=37).definitions]
    assert any("37 days" in text for text in said)
    assert not any("{" in text for text in said)


def test_filters_let_only_the_jobs_of_other_groups_through(office: Office) -> None:
    write(office, [visit(0), visit(10, cause="sensor_dead"), visit(0, 1)])
    stuck = (("cause", "element_stuck"),)
    assert counts(office, by="appliance", only=stuck) == {"H-0": (1, 1), "H-1": (1, 0)}
    both = (*stuck, ("appliance", "H-1"))
    assert counts(office, by="cause", only=both) == {"element_stuck": (1, 0)}
    assert counts(office, only=(("cause", "never seen"),)) == {}
    with pytest.raises(InputError, match="is no grouping"):
        summary(office, only=(("mood", "good"),))


@pytest.mark.parametrize("days", [0, 40_000])
def test_a_window_that_cannot_be_is_refused(office: Office, days: int) -> None:
    with pytest.raises(InputError, match="window must be from 1"):
        summary(office, within_days=days)


def _odd(office: Office, there: Sequence[Invented], *stands: Stood) -> dict[str, int]:
    write(office, there, (*stands, *(Stood(),) * (2 - len(stands))))
    found = dict(summary(office).oddities)
    assert found.keys() <= ODDITIES.keys()
    return found


def test_odd_records_are_counted_by_their_rule(office: Office) -> None:
    wrong_clock = visit(0, finished=CAME - timedelta(hours=1))
    replaced = Stood(replaced=date(2026, 1, 20))
    assert _odd(office, [visit(0)]) == {}
    assert _odd(office, [wrong_clock]) == {"finish_before_call": 1}
    assert _odd(office, [visit(0), visit(200)]) == {"later_than_as_of": 1}
    assert _odd(office, [visit(0), visit(1, withdrawn=True)]) == {"withdrawn": 1}
    assert _odd(office, [visit(0, withdrawn=True), visit(1, continues=0)]) == {
        "withdrawn": 1,
        "goes_on_from_nothing": 1,
    }
    assert _odd(office, [visit(0, None)]) == {"no_appliance": 1}
    assert _odd(office, [visit(0), visit(0.2)]) == {"same_day": 1}
    assert _odd(office, [visit(0), visit(30)], replaced) == {"replaced_within": 1}


def test_a_page_holds_what_came_back_first_and_the_newest_on_top(office: Office) -> None:
    there = [visit(n, n % 2) for n in (0, 40, 41, 1)]
    write(office, there)
    with office.read() as session:
        asked = RepeatChoice(as_of=AS_OF)
        whole = visits_behind(session, asked)
        second = visits_behind(session, asked, "element_stuck", offset=1, limit=2)
        nobody = visits_behind(session, asked, "sensor_dead")
        each = repeats_to_print(session, asked, limit=1).behind
    assert [(one.number, one.repeated_by) for one in whole.visits] == [
        ("A-00003", "A-00002"),
        ("A-00000", "A-00001"),
        ("A-00002", ""),
        ("A-00001", ""),
    ]
    assert (second.visits, second.offset, second.total) == (whole.visits[1:3], 1, 4)
    assert (nobody.visits, nobody.total) == ((), 0)
    assert each["element_stuck"].visits == whole.visits[:1]
    assert each["element_stuck"].total == 4


def test_two_periods_are_held_against_each_other(office: Office) -> None:
    there = [visit(0), visit(9), visit(0, 1), visit(9, 1)]
    write(office, there)
    found = summary(office, since=date(2026, 1, 6), until=date(2026, 1, 14))
    nothing = summary(office, since=date(2026, 5, 30), until=AS_OF)
    assert found.before is not None
    assert (found.before.repeats, found.before.counted) == (2, 2)
    assert (found.total.repeats, found.total.counted) == (0, 2)
    assert "0% against 100%" in say(found.before.sentence)
    assert nothing.before is not None
    assert "Too few" in say(nothing.before.sentence)


def test_every_row_is_held_apart_from_the_rest(office: Office) -> None:
    write(office, [*(visit(n, n % 2, cause="sensor_dead") for n in range(9)), visit(40, None)])
    found = summary(office)
    apart = held_apart(found)
    assert apart.keys() == {row.key for row in found.rows}
    assert apart["sensor_dead"].above


def test_whoever_watches_can_stop_the_work_between_two_pieces(office: Office) -> None:
    class Enough(Exception):
        """Raised where somebody stops the work."""

    def watch(done: int, of: int) -> None:
        seen.append((done, of))
        raise Enough

    seen: list[tuple[int, int]] = []
    write(office, [visit(0), visit(10)])
    with pytest.raises(Enough), office.read() as session:
        repeat_summary(session, watch=watch)
    assert seen == [(2, 2)]
    assert summary(office).total.repeats == 1


def test_a_period_is_held_against_the_time_of_the_same_length_right_before(
    office: Office,
) -> None:
    """January: two of three came back; of the thirty-one days before, none of two did."""
    write(
        office,
        [
            visit(-20), visit(-18, 1),
            visit(0), visit(3), visit(5, 1), visit(8, 1), visit(20),
        ],
    )  # fmt: skip

    found = summary(office, within_days=10, since=date(2026, 1, 1), until=date(2026, 1, 31))

    assert found.before is not None
    assert (found.before.since, found.before.until) == (date(2025, 12, 1), date(2025, 12, 31))
    assert (found.before.repeats, found.before.counted) == (0, 2)
    assert (found.total.repeats, found.total.counted) == (2, 5)
    assert "40% against 0%: the difference cannot be told from chance" in say(found.before.sentence)


@pytest.mark.parametrize("choice", [{}, {"since": date(2026, 1, 1)}, {"until": AS_OF}])
def test_without_a_whole_period_there_is_nothing_right_before(
    office: Office, choice: dict[str, date]
) -> None:
    write(office, [visit(0)])

    assert summary(office, **choice).before is None
