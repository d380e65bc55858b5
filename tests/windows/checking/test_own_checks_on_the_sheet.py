"""A visit worked by the shop's own checks."""

from __future__ import annotations

from pathlib import Path

from desk.base.office_location import own_checks_folder
from desk.records.office.office import Office
from tests.conftest import StillClock
from tests.records.jobs import begin_job, take_job
from tests.trade.content.own_texts import CAUSE, FINDS
from tests.windows.conftest import Sit


def write_own(office_path: Path) -> Path:
    folder = own_checks_folder(office_path)
    file = folder / "checklists" / "hot-water" / "10-own.toml"
    file.parent.mkdir(parents=True)
    file.write_text(FINDS)
    (folder / "causes.toml").write_text(CAUSE)
    return file


def test_the_sheet_asks_the_shops_own_check_and_names_its_cause(
    sit: Sit, office: Office, office_path: Path, clock: StillClock
) -> None:
    write_own(office_path)
    job = begin_job(office, clock)
    job.answer("danger", "none")
    person = sit(job)
    assert person.next_check() == "van_filter"
    person.press("Ctrl+2")
    assert person.reads("check_title") == "Is the drain hose at hand?"
    person.press("2")
    assert person.next_check() == "flooding"
    suspects = {suspect.id for suspect in person.sheet().suspects}
    assert "mouse" in suspects
    person.press("Ctrl+4")
    person.choose("choose_cause", "Mouse in the pipe  ·  found")


def test_a_visit_goes_on_when_the_folder_is_broken_under_it_and_the_sheet_says_so(
    sit: Sit, office: Office, office_path: Path, clock: StillClock
) -> None:
    file = write_own(office_path)
    job = begin_job(office, clock)
    job.answer("danger", "none")
    file.write_text("[check.van_filter\n")
    person = sit(job)
    assert person.next_check() == "van_filter"
    assert person.sees("own_checks_line")
    person.press("Ctrl+2")
    person.press("1")
    assert person.next_check() == "flooding"


def test_the_small_job_offers_the_shops_own_causes(
    sit: Sit, office: Office, office_path: Path, clock: StillClock
) -> None:
    write_own(office_path)
    job = take_job(office, clock)
    person = sit(job)
    person.window.go_to("small_job")
    person.choose("small_cause", "Mouse in the pipe")
