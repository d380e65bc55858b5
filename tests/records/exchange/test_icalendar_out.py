"""The day list as a calendar that others read."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import icalendar
import pytest

from desk.base.errors import InputError
from desk.records.exchange.icalendar_out import export_day
from desk.records.office.office import Office
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job

ZONE = ZoneInfo("America/New_York")


@pytest.fixture
def booked(office: Office, clock: StillClock) -> tuple[Job, datetime]:
    """A visit at ten in the morning, for an hour and a half."""
    job = take_job(office, clock, name="Łucja; Żółć, & <Sons>\\")
    start = (clock() + timedelta(days=2)).astimezone(ZONE).replace(hour=10, minute=0, second=0)
    with office.unit_of_work(ACT) as session:
        lifecycle.book(session, job.visit, start=start, technician_id=job.technician, minutes=90)
    return job, start


def events(path: Path) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    return list(calendar.walk("VEVENT"))


def test_a_booked_visit_is_an_event_with_its_time_place_and_access(
    office: Office, booked: tuple[Job, datetime], tmp_path: Path
) -> None:
    job, start = booked
    out = tmp_path / "day.ics"
    assert export_day(office, out, start.date()) == 1
    [event] = events(out)
    assert event.start == start.replace(microsecond=0)
    assert event.end - event.start == timedelta(minutes=90)
    assert "Łucja; Żółć, & <Sons>\\" in str(event["summary"])
    assert str(event["location"]).startswith("9 Weir Street")
    assert "Ann Poole" in str(event["description"])
    assert str(event["uid"]).startswith(str(job.visit))


def test_lines_are_folded_and_end_as_the_standard_says(
    office: Office, booked: tuple[Job, datetime], tmp_path: Path
) -> None:
    """RFC 5545, section 3.1: CRLF, and no line longer than 75 octets."""
    out = tmp_path / "day.ics"
    export_day(office, out, booked[1].date())
    lines = out.read_bytes().split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    assert lines[0] == b"BEGIN:VCALENDAR"


def test_two_exports_of_an_unchanged_office_are_the_same_bytes(
    office: Office, booked: tuple[Job, datetime], clock: StillClock, tmp_path: Path
) -> None:
    one, other = tmp_path / "1.ics", tmp_path / "2.ics"
    export_day(office, one, booked[1].date())
    clock.pass_minutes(600)
    export_day(office, other, booked[1].date())
    assert one.read_bytes() == other.read_bytes()


def test_only_one_technician_and_only_that_day(
    office: Office, booked: tuple[Job, datetime], tmp_path: Path
) -> None:
    day, out = booked[1].date(), tmp_path / "day.ics"
    assert export_day(office, out, day, technician="ann poole") == 1
    assert export_day(office, out, day + timedelta(days=1)) == 0
    assert events(out) == []
    with pytest.raises(InputError) as refused:
        export_day(office, tmp_path / "none.ics", day, technician="Nobody")
    assert refused.value.field == "technician"
    assert not (tmp_path / "none.ics").exists()


def test_a_visit_that_was_called_off_is_in_no_calendar(
    office: Office, booked: tuple[Job, datetime], tmp_path: Path
) -> None:
    job, start = booked
    with office.unit_of_work(ACT) as session:
        lifecycle.call_off(session, job.visit, "Mended itself")
    assert export_day(office, tmp_path / "day.ics", start.date()) == 0
