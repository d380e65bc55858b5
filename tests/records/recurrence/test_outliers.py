"""Worth a second look, read from an office: what is planted is found, with the jobs behind it."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, timedelta

import sqlalchemy as sa

from desk.base.texts import say
from desk.records.database.options import WRITES
from desk.records.office.office import Office
from desk.records.recurrence.outliers import things_worth_a_look
from desk.records.tables import Appliance, ChangeSet, Premises, Visit
from desk.records.views.recurrence import LookLine, RepeatChoice, WorthALook
from tests.records.invented_visits import Fitting, Invented, Stood, write

FIRST = datetime(2025, 1, 6, 15, tzinfo=UTC)
AS_OF = date(2026, 11, 24)
MANY = (Stood(),) * 40


def visit(day: float, appliance: int, cause: str = "ignition_failure") -> Invented:
    came = FIRST + timedelta(days=day)
    return Invented(
        appliance=appliance,
        complaint="no_response",
        cause=cause,
        state="finished",
        ending="mended",
        received=came,
        finished=came + timedelta(hours=2),
        continues=None,
        withdrawn=False,
    )


def quiet() -> list[Invented]:
    """Forty appliances that are seen twice a year, one each ten days, without any pattern."""
    return [visit(7 + 14 * turn + appliance / 3, appliance) for turn, appliance in turns()]


def turns() -> list[tuple[int, int]]:
    return [(turn, (turn * 7) % 40) for turn in range(48)]


def seen(office: Office, **choice: object) -> WorthALook:
    asked = RepeatChoice(**{"as_of": AS_OF} | choice)  # type: ignore[arg-type]
    with office.read() as session:
        return things_worth_a_look(session, asked)


def about(found: WorthALook, kind: str) -> list[LookLine]:
    return [line for line in found.lines if line.kind == kind]


def test_an_office_without_a_pattern_is_told_nothing(office: Office) -> None:
    write(office, quiet(), MANY)

    found = seen(office)

    assert not found.lines
    assert found.looked_at > 40


def test_an_office_without_a_visit_is_told_nothing(office: Office) -> None:
    write(office, [])

    assert seen(office).lines == ()


def test_an_appliance_that_fails_again_and_again_is_found_with_its_jobs(office: Office) -> None:
    failing = [visit(200 + 20 * turn, 3) for turn in range(10)]
    write(office, [*quiet(), *failing], MANY)

    [line] = about(seen(office), "appliance")

    assert line.key == "H-3"
    assert line.cases >= 10
    assert len(line.visits) == line.cases
    assert {job.appliance for job in line.visits} == {"H-3"}
    assert [job.finished for job in line.visits] == sorted(
        (job.finished for job in line.visits), reverse=True
    )
    assert f"failed {line.cases} times" in say(line.sentence)


def test_what_was_long_ago_is_no_news_unless_it_is_asked_for(office: Office) -> None:
    failing = [visit(-2000 + 20 * turn, 3) for turn in range(10)]
    write(office, [*failing, *quiet()], MANY)

    assert not about(seen(office), "appliance")
    assert about(seen(office, since=date(2018, 1, 1)), "appliance")


def test_a_part_whose_replacement_does_not_last_is_found(office: Office) -> None:
    weak = [visit(100 + 5 * n, n) for n in range(12)]
    back = [visit(102 + 5 * n, n) for n in range(12)]
    sound = [visit(300 + 5 * n, n) for n in range(12, 40)]
    visits = [*weak, *back, *sound]
    fitted = [
        *(Fitting(n, "Brittle switch") for n in range(12)),
        *(Fitting(24 + n, "Screen") for n in range(28)),
    ]
    write(office, visits, MANY, fitted)

    [line] = about(seen(office), "part")

    assert line.key == "Brittle switch"
    assert line.cases == 12
    assert {job.number for job in line.visits} == {f"A-{n:05d}" for n in range(12)}
    assert "12 came back" in say(line.sentence)


def test_strainers_that_fill_from_a_day_on_in_one_street(office: Office) -> None:
    strainers = [visit(500 + 4 * n, n, "supply_strainer_blocked") for n in range(12)]
    write(office, [*quiet(), *strainers], MANY)

    [line] = about(seen(office), "street")

    assert line.key == "Weir Street"
    assert line.cases == 12
    assert min(job.finished for job in line.visits) == (FIRST + timedelta(days=500)).date()


def test_a_model_whose_element_sticks_in_hard_water(office: Office) -> None:
    stuck = [visit(3 * n, n, "element_stuck" if n < 15 else "ignition_failure") for n in range(40)]
    write(office, stuck, MANY)
    _water(office, hard=range(20))

    [line] = about(seen(office), "stuck_in_hard_water")

    assert line.key == "Larkmoor 24"
    assert line.cases == 15
    assert "15 of 20 jobs in hard water (75%)" in say(line.sentence)
    assert "0 of 20" in say(line.evidence)


def _water(office: Office, *, hard: range) -> None:
    """Give every appliance one model, and put the first ones into hard water."""
    with office._engine.execution_options(**{WRITES: True}).begin() as connection:
        made_in = connection.scalars(sa.select(ChangeSet.id)).first()
        where = uuid.uuid4()
        row = {"id": where, "street": "1 Quarry Road", "hardness_kg_per_m3": 0.3}
        connection.execute(sa.insert(Premises), [row | {"made_in": made_in, "version": 1}])
        connection.execute(
            sa.update(Premises).where(Premises.id != where).values(hardness_kg_per_m3=0.03)
        )
        connection.execute(sa.update(Appliance).values(maker="Larkmoor", model="24"))
        numbers = [f"A-{n:05d}" for n in hard]
        connection.execute(
            sa.update(Visit).where(Visit.number.in_(numbers)).values(premises_id=where)
        )
