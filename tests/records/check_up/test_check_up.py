"""A check-up finds what was changed behind the program's back, on both engines, and says where."""

from __future__ import annotations

import dataclasses
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk.base.texts import say
from desk.records.actions.closing import Amend, Finish, Seal, Sign, UsePart, WriteDown
from desk.records.actions.entering import AddPart
from desk.records.actions.visit import Acknowledge, ReadOfRules, Undo
from desk.records.check_up import check_up
from desk.records.check_up.sealed import OF_VISIT
from desk.records.fields.part_fields import PartDetails
from desk.records.journal.row_access import visit_by_number
from desk.records.office.office import Office
from desk.records.views.report import VisitReport
from tests import server
from tests.conftest import StillClock
from tests.every_day import every_day
from tests.records.earlier import begin_before
from tests.records.jobs import ACT, begin_job
from tests.records.sealed_visits import PNG, behind_the_back, found_in, seal_a_full_visit

SEALED = "of sealed visit A-00001 was changed after it was sealed."
READING = f"A reading {SEALED}"
STOCK = "The stock of part W-1003 does not fit what was fitted on visit A-00001."


@pytest.fixture
def place(request: pytest.FixtureRequest, engine_name: str) -> str | Path:
    """Where an empty office is that nobody has open."""
    kept = "office_path" if engine_name == "sqlite" else "server_office"
    found: str | Path = request.getfixturevalue(kept)
    return found


@pytest.fixture(scope="module")
def sealed_file(empty_office: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed office with a sealed visit, made once."""
    made = tmp_path_factory.mktemp("sealed") / "sealed.drawoff"
    shutil.copyfile(empty_office, made)
    seal_a_full_visit(made, StillClock())
    assert found_in(made) == []
    return made


@pytest.fixture(scope="module")
def sealed_database(cluster: server.Cluster, empty_server_office: str) -> str:
    """The name of a database with such an office, made once."""
    cluster.say(f"CREATE DATABASE sealed_office TEMPLATE {empty_server_office}")
    seal_a_full_visit(cluster.url("sealed_office"), StillClock())
    assert found_in(cluster.url("sealed_office")) == []
    return "sealed_office"


@pytest.fixture
def sealed(
    request: pytest.FixtureRequest, engine_name: str, tmp_path: Path
) -> Iterator[str | Path]:
    """Where an office with a sealed visit is, of the test's own."""
    if engine_name == "sqlite":
        yield Path(
            shutil.copyfile(request.getfixturevalue("sealed_file"), tmp_path / "office.drawoff")
        )
        return
    cluster: server.Cluster = request.getfixturevalue("cluster")
    with cluster.database(request.getfixturevalue("sealed_database")) as url:
        yield url


CHANGES = {
    "reading": ("UPDATE reading SET typed = '5' WHERE kind = 'fault_code'", READING),
    "value": ("UPDATE reading_input SET si_value = si_value * 2 WHERE name = 'static'", READING),
    "container": ("UPDATE reading_input SET typed = '2 gal' WHERE name = 'container'", READING),
    "fill": ("UPDATE fill SET seconds = 19, typed = '19 s'", READING),
    "gone": ("UPDATE reading SET withdrawn_at = taken_at WHERE kind = 'fault_code'", READING),
    "answer": ("UPDATE check_result SET note = 'fine' WHERE check_id = 'danger'", "An answer"),
    "slip": ("UPDATE check_result SET mistake = 'slip' WHERE check_id = 'danger'", "An answer"),
    "caution": ("UPDATE acknowledgement SET caution = 'burns'", "What was acknowledged on"),
    "serial": ("UPDATE part_used SET new_serial = 'X'", f"A part {SEALED}"),
    "charge": ("UPDATE further_charge SET cents = 900", f"A charge {SEALED}"),
    "price": ("UPDATE part_used SET price_cents = 1", f"A charge {SEALED}"),
    "caption": ("UPDATE attachment SET caption = '' WHERE caption <> ''", f"A caption {SEALED}"),
    "photograph": (
        "UPDATE attachment SET kind = 'left' WHERE caption = ''",
        "The photographs of sealed visit A-00001 were changed after it was sealed.",
    ),
    "signature": ("UPDATE signature SET name = 'N. Quill'", f"The signature {SEALED}"),
    "sheet": ("UPDATE visit SET work_done = 'All of it.'", f"The sheet {SEALED}"),
    "cause": ("UPDATE visit SET cause = 'screen_blocked'", f"The sheet {SEALED}"),
    "bytes": (
        "UPDATE attachment_bytes SET content = "
        "(SELECT content FROM attachment_bytes ORDER BY sha256 LIMIT 1)",
        "A photograph of visit A-00001 is not the one that was kept.",
    ),
    "report": (
        "UPDATE sealed_revision SET fingerprint = 'ff'",
        "The sealed report of visit A-00001 was changed.",
    ),
    "checklist": (
        "UPDATE checklist_edition SET content = replace(content, 'water', 'Water')",
        "A kept text of checklist hot-water was changed.",
    ),
    "nonsense": (
        "UPDATE sealed_revision SET snapshot = fingerprint_of_nothing",
        "The sealed report of visit A-00001 cannot be read.",
    ),
    "revision": (
        "UPDATE sealed_revision SET revision = 2",
        "The sealed report of visit A-00001 is missing.",
    ),
    "stock": ("UPDATE stock_movement SET pieces = -1 WHERE kind = 'used'", STOCK),
    "fitted": ("UPDATE part_used SET pieces = 3", STOCK),
    "field": (
        "UPDATE visit SET ending = 'left'",
        "The journal does not lead to what stands in visit.ending of visit A-00001.",
    ),
    "line": (
        "DELETE FROM change WHERE field = 'ending' AND table_name = 'visit'",
        "lacks a line.",
    ),
    "value of a line": (
        "UPDATE change SET before = '\"x\"' WHERE field = 'state' AND after LIKE '%sealed%'",
        "The journal's lines of visit.state of visit A-00001 do not follow one another.",
    ),
    "all lines": (
        "DELETE FROM change WHERE table_name = 'attachment'",
        "The journal lacks the lines of attachment A-00001.",
    ),
    "row": (
        "UPDATE change SET row_id = change_set_id WHERE table_name = 'attachment'",
        "The journal has lines of a row in attachment that is not there.",
    ),
    "table": (
        "UPDATE change SET table_name = 'elsewhere' WHERE table_name = 'attachment'",
        "The journal names a table elsewhere that is not known.",
    ),
    "deed": ("UPDATE change_set SET number = 900 WHERE number = 5", "lacks deed 5."),
    "last deed": ("UPDATE device SET sets_made = sets_made + 2", "lacks deeds "),
    "order": ("UPDATE device SET clock = clock - 2", "The order of the journal goes on to "),
}


OF_EACH_KIND = [
    "bytes", "report", "checklist", "nonsense", "stock", "field", "line", "all lines", "deed",
    "order",
]  # fmt: skip


@pytest.mark.parametrize("name", every_day(CHANGES, OF_EACH_KIND))
def test_what_was_changed_behind_the_program_s_back_is_named(
    sealed: str | Path, name: str, engine_name: str
) -> None:
    statement, sentence = CHANGES[name]
    nothing = "'{}'" if engine_name == "postgresql" else "x'7b7d'"
    behind_the_back(sealed, statement.replace("fingerprint_of_nothing", nothing))
    found = found_in(sealed)
    assert any(sentence in said for said in found), found


def test_a_sealed_visit_whose_technician_was_told_of_younger_rules_is_in_order(
    place: str | Path, clock: StillClock
) -> None:
    with Office.open(place, now=clock) as office:
        job = begin_before(office, clock)
        office.carry_out(Acknowledge(job.visit, ("dry_fire",)))
        office.carry_out(ReadOfRules(job.visit))
        office.carry_out(WriteDown(job.visit, {"referred_to": "the maker"}))
        office.carry_out(Finish(job.visit, "referred"))
        office.carry_out(Sign(job.visit, name="M. Quill", picture=PNG))
        office.carry_out(Seal(job.visit))
    assert found_in(place) == []


def test_one_change_is_said_once(sealed: str | Path) -> None:
    behind_the_back(sealed, CHANGES["reading"][0])
    assert found_in(sealed) == [READING]


def test_each_find_says_what_it_is_about(sealed: str | Path) -> None:
    behind_the_back(sealed, CHANGES["caption"][0])
    found = list(check_up(sealed, now=StillClock()))
    assert [one.part for one in found] == ["journal", "sealed"]


def test_what_may_rightly_be_mended_since_is_no_finding(
    sealed: str | Path, clock: StillClock
) -> None:
    behind_the_back(
        sealed,
        "UPDATE customer SET name = 'Mara Quill-Orde'",
        "UPDATE appliance SET model = 'Kestle 28', activation_typed = '1 gpm'",
        "UPDATE shop SET system = 'si', language = 'en', phone = '(212) 555-0111'",
    )
    assert [said for said in found_in(sealed) if "sealed" in said] == []


HELD = {
    *OF_VISIT,
    *("revision", "revision_reason", "edition", "cause", "second_cause", "cautions", "checks"),
    *("flows", "readings", "measurements", "parts", "photographs", "signature", "charges"),
    "mistakes",
}
"""What is held against the rows of a sealed visit."""
MAY_DIFFER = {
    *("format", "state", "continues", "zone", "letterhead", "customer", "premises", "appliance"),
    *("technician", "complaint_text", "checklist", "changes", "danger_found"),
}
"""What is the shop's, the customer's or the program's, and may rightly be another since."""

FOLLOWS = {"proof", "stopped_for"}
"""What follows from readings, answers, reasons and what was found."""


def test_of_every_field_of_a_report_it_is_said_whether_it_is_held_against_the_rows() -> None:
    assert {one.name for one in dataclasses.fields(VisitReport)} == HELD | MAY_DIFFER | FOLLOWS


def test_a_visit_that_is_being_amended_is_sound(sealed: str | Path, clock: StillClock) -> None:
    with Office.open(sealed, now=clock) as office:
        with office.read() as session:
            visit = visit_by_number(session, "A-00001").id
        office.carry_out(Amend(visit, "The wrong screen was named."))
        office.carry_out(WriteDown(visit, {"work_done": "Cleaned the inlet screen."}))
    assert found_in(sealed) == []


def test_an_office_with_work_under_way_and_taken_back_is_sound(
    place: str | Path, clock: StillClock
) -> None:
    with Office.open(place, now=clock) as office:
        office.carry_out(AddPart(PartDetails("W-1003", "Inlet screen", 1235), 5))
        job = begin_job(office, clock)
        office.carry_out(UsePart(job.visit, number="W-1003", pieces=2))
        office.carry_out(Undo(job.visit))
        with office.unit_of_work(ACT):
            pass  # a command that changes nothing is one
    assert found_in(place) == []


class _Stopped(Exception):
    """What a person's stop raises."""


def test_it_can_be_stopped_while_it_runs(sealed: str | Path) -> None:
    def stop(_what: object, done: int, _total: int) -> None:
        if done:
            raise _Stopped

    with pytest.raises(_Stopped):
        list(check_up(sealed, now=StillClock(), watch=stop))


def test_it_says_how_far_it_is(sealed: str | Path) -> None:
    told: list[tuple[str, int, int]] = []
    list(
        check_up(
            sealed,
            now=StillClock(),
            watch=lambda what, done, of: told.append((say(what), done, of)),
        )
    )
    assert ("sealed visits", 1, 1) in told
    assert all(done <= of for _what, done, of in told)
