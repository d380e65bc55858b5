"""Two callers, taken with keys alone: one who calls again, and one whom nobody knows."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import sqlalchemy as sa
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from desk.records.documents import sealing
from desk.records.fields.part_fields import PartDetails
from desk.records.office.office import Office
from desk.records.recurrence.queries import visits_behind
from desk.records.stock import parts
from desk.records.tables import Appliance, Customer, Premises, PremisesLink, Visit
from desk.records.views.recurrence import RepeatChoice
from desk.records.visits import lifecycle
from desk.windows.counter.window import CounterWindow
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, give_reasons, take_job
from tests.windows.fakes import PreparedPrompts
from tests.windows.hands import count, keys, open_counter, press, said

TAB, RETURN = Qt.Key.Key_Tab, Qt.Key.Key_Return
DAY = 24 * 60


@pytest.fixture
def known(office: Office, clock: StillClock) -> Job:
    """Return Mara Quill's job, mended with a new float and sealed nine days ago."""
    job = take_job(office, clock)
    with office.unit_of_work(ACT) as session:
        parts.add_part(session, PartDetails("F-12", "Float with magnet", 1900))
        session.flush()
        lifecycle.arrive(session, job.visit, technician_id=job.technician)
        lifecycle.set_cause(session, job.visit, cause="element_broken")
        parts.use_part(session, job.visit, number="F-12")
        give_reasons(session, job.visit)
        lifecycle.finish(session, job.visit, "mended")
        sealing.sign(session, job.visit, absent_reason="Nobody home")
        sealing.seal(session, job.visit)
    clock.pass_minutes(9 * DAY)
    return job


@pytest.fixture
def counter(qtbot: QtBot, known: Job, tmp_path: Path) -> CounterWindow:
    return open_counter(qtbot, known.office, PreparedPrompts(tmp_path))


def test_a_caller_who_calls_again_about_the_same_thing(known: Job, counter: CounterWindow) -> None:
    press(counter, "Ctrl+N")
    press(counter, "Alt+N")
    keys("212.555.0142")
    assert said(counter, "offer_1") == "≈ Same number: Mara Quill"
    press(counter, "Ctrl+1")
    repeat = said(counter, "call_repeat")
    for words in ("A-00001", "9 days ago", "broken", "Float with magnet"):
        assert words in repeat
    keys("Cold again since Monday", TAB, TAB)
    keys("fri 10 ann", RETURN)

    assert counter.record.head.text() == "Mara Quill"
    newest = counter.record.model.data(counter.record.model.index(0, 0))
    assert "↺ 9 days after A-00001" in newest
    with known.office.read() as session:
        call = session.scalars(sa.select(Visit).where(Visit.number == "A-00002")).one()
        assert (call.state, call.appliance_id) == ("booked", known.appliance)
        zone = ZoneInfo("America/New_York")
        assert call.booked_for is not None
        assert f"{call.booked_for.astimezone(zone):%a %H:%M}" == "Fri 10:00"
        behind = visits_behind(session, RepeatChoice())
    assert [(visit.repeated_by, visit.days_between) for visit in behind.visits] == [("A-00002", 9)]
    assert count(known.office, Customer) == 1


def test_a_caller_whom_nobody_knows_from_the_first_word_to_the_booking(
    known: Job, counter: CounterWindow
) -> None:
    press(counter, "Ctrl+N")
    press(counter, "Alt+N")
    keys("(212) 555-0177", TAB)
    keys("Ines Marsh", TAB)
    keys("9 Weir Street")
    assert said(counter, "offer_1").startswith("≈ Same address: Mara Quill")
    keys(" Apt 2")  # it is the flat above
    assert said(counter, "offer_1") == ""
    keys("", TAB)
    for words in ("Larkmoor", "Ellermark", "00000"):
        keys(words, TAB)
    keys("Occ", TAB)
    keys("Ring twice", TAB)
    keys("", TAB, TAB)  # kind and sensing: the model will tell
    keys("Invented", TAB)
    keys("kestle 24", TAB)
    kind, sensing = counter.call.entries.plate[:2]
    assert (kind.text(), sensing.text()) == ("combination_boiler", "reed_float")
    keys("K24-0944", TAB)
    keys("It hums and stays cold", TAB)
    keys("The", TAB)
    keys("today 14:30 ann 90m", RETURN)

    with known.office.read() as session:
        visit = session.scalars(sa.select(Visit).where(Visit.number == "A-00002")).one()
        assert (visit.state, visit.complaint) == ("booked", "noticed_no_heat")
        assert visit.complaint_words == "It hums and stays cold"
        assert session.get_one(Customer, visit.customer_id).name == "Ines Marsh"
        premises = session.get_one(Premises, visit.premises_id)
        assert (premises.street, premises.access_note) == ("9 Weir Street Apt 2", "Ring twice")
        appliance = session.get_one(Appliance, visit.appliance_id)
        assert (appliance.serial, appliance.activation_typed) == ("K24-0944", "0.5 gpm")
        tie = session.scalars(
            sa.select(PremisesLink).where(PremisesLink.premises_id == premises.id)
        ).one()
        assert (tie.role, tie.customer_id) == ("occupant", visit.customer_id)
    assert counter.record.head.text() == "Ines Marsh"
    assert count(known.office, Customer) == 2
