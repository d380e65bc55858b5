"""What learning costs at 100,000 visits: the count itself, and the look that spares it."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.records.actions.closing import Finish, SetCause, WriteDown
from desk.records.learning.lesson_cache import lessons_of
from desk.records.learning.lesson_counts import count_lessons
from desk.records.office.office import Office
from desk.records.tables import Visit
from desk.trade.content.loader import load_content
from sample_db.build import build
from tests.conftest import FIRST_DAY
from tests.records.jobs import REASONS

VISITS = 100_000


def _milliseconds(act: Callable[[], object]) -> float:
    taken = []
    for _ in range(10):
        start = time.perf_counter()
        act()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken)


@pytest.mark.bench
def test_priors_of_a_hundred_thousand_visits(tmp_path: Path) -> None:
    """Print what a finished visit costs, and what every other answer does."""
    place = tmp_path / "office.drawoff"
    build(place, visits=VISITS, as_of=FIRST_DAY.date())
    content = load_content()
    checklist = content.checklists["hot-water"]
    with Office.open(place) as office:
        with office.read() as session:
            lessons = lessons_of(session)
            model = next(iter(lessons.jobs)).model
            anew = _milliseconds(lambda: count_lessons(session))
            kept = _milliseconds(lambda: lessons_of(session))
            priors = _milliseconds(
                lambda: lessons.of(content, checklist, model=model, sensing_kind="reed_float")
            )
            visit = session.scalars(sa.select(Visit.id).where(Visit.state == "under_way")).first()
        assert visit is not None
        office.carry_out(SetCause(visit, cause="element_stuck"))
        start = time.perf_counter()
        office.carry_out(WriteDown(visit, REASONS))
        office.carry_out(Finish(visit, "mended"))
        finish = (time.perf_counter() - start) * 1000
        with office.read() as session:
            assert lessons_of(session) == count_lessons(session)
    print(
        f"\nlearning at {VISITS} visits, {len(lessons.jobs)} lessons: counted anew {anew:.0f} ms, "
        f"looked whether to {kept:.1f} ms, priors of one appliance {priors:.1f} ms, "
        f"a visit finished {finish:.1f} ms"
    )
    assert kept < anew
