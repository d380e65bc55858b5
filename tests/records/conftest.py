"""Every test of the records runs on both engines, but for those of the file itself."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from desk.records.office import Office
from tests.conftest import SideDoors, StillClock

ENGINES = ("sqlite", "postgresql")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Ask for both engines wherever an office is asked for and its file is not."""
    if "engine_name" in metafunc.fixturenames:
        file_only = "office_path" in metafunc.fixturenames
        metafunc.parametrize("engine_name", ENGINES[:1] if file_only else ENGINES)


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
