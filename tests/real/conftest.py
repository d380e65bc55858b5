"""What the tests of the real program ask for: a screen, and a person in front of it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Generator, Iterator
from pathlib import Path

import pytest

from desk.records.office.office import Office
from tests.real import screen as screens
from tests.real.program import DRAWOFF, Person
from tests.real.screen import Screen
from tests.real.technician import add_to_the_day
from tests.samples import made_once

FAILED = pytest.StashKey[bool]()
KEPT = "DRAWOFF_KEEP_PICTURES"
"""Names a folder in which the pictures of every step are kept, also where all went well."""


@pytest.fixture
def screen(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Screen]:
    """A screen of the test's own; pictures of its steps stay when the test fails."""
    absent = screens.absent()
    if absent:
        sentence = f"the real program needs {', '.join(absent)}, not on this machine"
        if os.environ.get(screens.MUST_RUN):
            pytest.fail(sentence)
        pytest.skip(sentence)
    kept = os.environ.get(KEPT)
    with screens.virtual_screen(tmp_path / "screen") as started:
        yield started
        if kept or request.node.stash.get(FAILED, True):
            folder = started.write_pictures()
            sys.stdout.write(f"the pictures of every step: {folder}\n")
    if kept:
        shutil.copytree(folder, Path(kept) / request.node.name, dirs_exist_ok=True)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Note whether a test failed, so that its pictures are kept."""
    report = yield
    if report.when == "call":
        item.stash[FAILED] = report.failed
    return report


@pytest.fixture
def person(tmp_path: Path, screen: Screen) -> Person:
    """Somebody who has never started the program on this machine."""
    return Person(tmp_path / "home", screen)


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented office of a dozen visits, made by the program's own command.

    It ends today, and tells of other people and jobs every day; who calls in the journeys, and the
    visit that they open, are added to it.
    """

    def make(place: Path) -> None:
        command = [DRAWOFF, "sample", "--visits", "11", "--out", place]
        subprocess.run(command, capture_output=True, check=True, timeout=120)
        with Office.open(place) as office:
            add_to_the_day(office)

    return made_once(tmp_path_factory, "of-the-command.drawoff", make)


@pytest.fixture
def small_office(person: Person, sample: Path) -> Person:
    """A person whose own office is the sample."""
    person.office.parent.mkdir(parents=True)
    shutil.copyfile(sample, person.office)
    return person
