"""Every test of the records runs on both engines, but for those of the file itself.

Where nothing but plain rows is read and written, the server has its turn in the long proofs; that
each command works there cold is held every day by the catalogue of the real program.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from desk.records.office.office import Office
from tests.conftest import SideDoors, StillClock
from tests.every_day import every_day

ENGINES = ("sqlite", "postgresql")
PLAIN_ROWS = {
    *("what_offices_ask_for",),
    *("check_up.check_up",),
    *("documents.office_copy", "documents.report_batch", "documents.sealing"),
    *("exchange.customer_exchange", "exchange.visits_out"),
    *("histories.appliance_history", "histories.record"),
    *("measured.circumstances", "measured.computed", "measured.readings"),
    *("parties.ties",),
    *("planning.booking", "planning.reported_danger"),
    *("shop.settings", "shop.visit_charges"),
    *("stock.orders",),
    *("undo.restoring",),
    *(
        "visits.begun_before",
        "visits.checks",
        "visits.covers",
        "visits.lifecycle",
        "visits.proof",
        "visits.rounds",
        "visits.stop_and_leave",
    ),
}
"""Files of tests that ask nothing of an engine in which the two differ, such as how words are
searched, rows counted, times compared or locks taken."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Ask for both engines wherever an office is asked for and its file is not."""
    if "engine_name" in metafunc.fixturenames:
        daily = ENGINES
        name = metafunc.module.__name__.removeprefix("tests.records.").replace("test_", "")
        if name in PLAIN_ROWS:
            daily = ENGINES[:1]
        file_only = "office_path" in metafunc.fixturenames
        engines = ENGINES[:1] if file_only else ENGINES
        metafunc.parametrize("engine_name", every_day(engines, daily[: len(engines)]))


@pytest.fixture
def office(
    request: pytest.FixtureRequest, engine_name: str, clock: StillClock, side_doors: SideDoors
) -> Iterator[Office]:
    if engine_name == "sqlite":
        path: Path = request.getfixturevalue("office_path")
        with Office.open(path, now=clock) as opened, side_doors.shut(path):
            yield opened
        return
    url: str = request.getfixturevalue("server_office")
    with closing(Office.open(url, now=clock)) as opened:
        yield opened
