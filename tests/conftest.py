"""What every test may ask for: a still clock, an office of its own, and no side doors."""

from __future__ import annotations

import atexit
import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from desk.records.office.founding import ShopDetails
from desk.records.office.office import Office
from tests import server, statements

if os.environ.get("QT_QPA_PLATFORM", "offscreen") == "offscreen":  # before anything of Qt is made
    _SCREEN = Path(__file__).with_name("offscreen.json")  # by itself it is 800 pixels wide
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={_SCREEN}"
_OWN_DATA = tempfile.mkdtemp(prefix="drawoff-tests-")  # what the program keeps for a person
os.environ["XDG_DATA_HOME"] = _OWN_DATA
atexit.register(shutil.rmtree, _OWN_DATA, ignore_errors=True)
statements.share()
_NO_WATCH = {
    "deadline": None,
    "suppress_health_check": [HealthCheck.too_slow],
}  # a machine may stall
settings.register_profile("usual", max_examples=12, **_NO_WATCH)  # every day a few new ones
settings.register_profile("long", max_examples=300, **_NO_WATCH)  # make test-faults
settings.load_profile("usual")
gc.set_threshold(100_000, 50, 100)  # a test makes much and keeps little

FIRST_DAY = datetime(2026, 11, 24, 13, 0, tzinfo=UTC)
SHOP = ShopDetails(
    name="Larkmoor Heating & Hot Water",
    zone="America/New_York",
    street="4 Quay Lane",
    locality="Larkmoor",
    region="Ellermark",
    postcode="00000",
    phone="(212) 555-0100",
    licence="Invented licence 0001",
)


class StillClock:
    """A clock that moves only when it is told to."""

    def __init__(self, start: datetime = FIRST_DAY) -> None:
        self.time = start

    def __call__(self) -> datetime:
        return self.time

    def pass_minutes(self, minutes: float) -> None:
        self.time += timedelta(minutes=minutes)


@pytest.fixture
def clock() -> StillClock:
    return StillClock()


@pytest.fixture(scope="session")
def empty_office(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed, empty office, made once by the real migrations."""
    path = tmp_path_factory.mktemp("template") / "empty.drawoff"
    Office.create(path, SHOP, now=StillClock()).close()
    return path


@pytest.fixture
def office_path(tmp_path: Path, empty_office: Path) -> Path:
    path = tmp_path / "office.drawoff"
    shutil.copyfile(empty_office, path)
    return path


@pytest.fixture
def office(office_path: Path, clock: StillClock, side_doors: SideDoors) -> Iterator[Office]:
    with Office.open(office_path, now=clock) as opened, side_doors.shut(office_path):
        yield opened


@pytest.fixture(scope="session")
def cluster() -> Iterator[server.Cluster]:
    """A private PostgreSQL cluster, stopped when the session ends."""
    if server.programs() is None:
        if os.environ.get(server.MUST_RUN):
            pytest.fail(server.ABSENT)
        pytest.skip(server.ABSENT)
    with server.running() as started:
        yield started


@pytest.fixture(scope="session")
def empty_server_office(cluster: server.Cluster) -> str:
    """The name of a database with an empty office, made once by the real migrations."""
    cluster.say("CREATE DATABASE empty_office TEMPLATE template0")
    Office.create(cluster.url("empty_office"), SHOP, now=StillClock()).close()
    return "empty_office"


@pytest.fixture
def server_office(cluster: server.Cluster, empty_server_office: str) -> Iterator[str]:
    """The URL of an empty office of the test's own on the server."""
    with cluster.database(empty_server_office) as url:
        yield url


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave the benchmarks unread where none is asked for: their rivals take seconds to load."""
    asked_for = "not bench" not in config.option.markexpr
    return True if collection_path.name == "benchmarks" and not asked_for else None


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the real program: no journey is to be what a run waits for at its end."""
    items.sort(key=lambda item: "real" not in item.path.parts)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line that a whole engine was left out."""
    left_out = [
        report
        for report in terminalreporter.stats.get("skipped", [])
        if server.ABSENT in str(report.longrepr)
    ]
    if left_out:
        terminalreporter.write_line(
            f"{server.ABSENT}: {len(left_out)} tests on that engine were skipped.", yellow=True
        )


class SideDoors:
    """Notes whoever opens a live office by another road than its one SQLite library.

    Such an ``open`` drops this process's locks on the file when it is closed ("How to corrupt an
    SQLite database file", section 2.2).
    """

    def __init__(self) -> None:
        self.live: set[str] = set()
        self.used: list[str] = []
        sys.addaudithook(self._hear)

    def _hear(self, event: str, args: tuple[object, ...]) -> None:
        if self.live and event in {"open", "shutil.copyfile", "sqlite3.connect", "os.rename"}:
            named = {str(arg).removesuffix("-wal").removesuffix("-shm") for arg in args[:2]}
            if named & self.live:
                self.used.append(f"{event} {args[0]}")

    def shut(self, path: Path) -> _Shut:
        return _Shut(self, str(path))


class _Shut:
    def __init__(self, doors: SideDoors, path: str) -> None:
        self._doors, self._path = doors, path

    def __enter__(self) -> None:
        self._doors.used.clear()
        self._doors.live.add(self._path)

    def __exit__(self, *_: object) -> None:
        self._doors.live.discard(self._path)
        assert not self._doors.used, "the live office was opened by a side door"


_DOORS = SideDoors()  # an audit hook cannot be taken off again, so there is one for all tests


@pytest.fixture(scope="session")
def side_doors() -> SideDoors:
    return _DOORS


@pytest.fixture
def read_pages() -> Callable[[bytes], str]:
    """Return a function that gives the text of a PDF, pages joined by line feeds."""

    def read(pdf: bytes) -> str:
        import pypdfium2

        with pypdfium2.PdfDocument(pdf) as document:
            return "\n".join(page.get_textpage().get_text_bounded() for page in document)

    return read
