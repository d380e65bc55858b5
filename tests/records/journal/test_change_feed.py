"""Several desks on one office: what one commits the others hear, each only of the others."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from select import select

import pytest

from desk.base.errors import OutageError
from desk.records.actions.counter import SeeDay
from desk.records.actions.entering import AddPerson, CallOff, TakeCall
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.office.change_feed import MOST_VISITS, ChangeFeed
from desk.records.office.office import Office
from desk.records.parties.customers import add_person
from desk.records.views.changes import RemoteChange, together
from desk.records.visits.lifecycle import take_call
from tests.conftest import SHOP, StillClock
from tests.server import Cluster

WAIT_S = 5.0
CALL = CallDetails(complaint="too_cool", caller_name="R. Vane", caller_phone="212 555 0111")


@pytest.fixture
def here(office: Office) -> Iterator[ChangeFeed]:
    """What this desk hears."""
    ear = office.ear()
    assert ear.open() == ()
    yield ear
    ear.close()


@contextmanager
def _another_desk(office: Office) -> Iterator[Office]:
    """Open the same office a second time, as a desk beside this one does."""
    url = office._engine.url
    if url.get_backend_name() == "sqlite":
        yield Office(office._engine, now=office.now)
        return
    with closing(Office.open(url.render_as_string(hide_password=False), now=office.now)) as other:
        yield other


def _heard(ear: ChangeFeed) -> tuple[RemoteChange, ...]:
    """Wait for news as a window does: on the socket, or by asking again."""
    until = time.monotonic() + WAIT_S
    while time.monotonic() < until:
        if (waits_on := ear.fileno()) is not None:
            select([waits_on], [], [], WAIT_S)
        if news := ear.hear():
            return news
    return ()


def test_a_command_of_another_desk_is_heard_once(office: Office, here: ChangeFeed) -> None:
    with _another_desk(office) as other:
        other.carry_out(AddPerson(PersonDetails("Ann Poole")))
        assert _heard(here) == (RemoteChange(),)
        assert here.hear() == ()


def test_a_desks_own_commands_are_no_news_to_it(office: Office, here: ChangeFeed) -> None:
    for name in ("Ann Poole", "Ben Hale"):
        office.carry_out(AddPerson(PersonDetails(name)))
    assert here.hear() == ()
    with _another_desk(office) as other:
        other.carry_out(AddPerson(PersonDetails("Cy Marsh")))
        assert _heard(here) == (RemoteChange(),)


def test_what_was_taken_back_is_not_told(office: Office, here: ChangeFeed) -> None:
    with _another_desk(office) as other:
        with pytest.raises(ZeroDivisionError), other.unit_of_work(AddPerson.what) as session:
            add_person(session, PersonDetails("Nobody"))
            session.flush()
            raise ZeroDivisionError
        assert here.hear() == ()


def test_what_is_half_typed_at_another_desk_is_no_news(office: Office, here: ChangeFeed) -> None:
    with _another_desk(office) as other:
        other.set_aside("form/person", {"name": "An"})
        assert here.hear() == ()


def test_what_this_desk_did_before_it_listened_is_no_news(
    tmp_path: Path, clock: StillClock
) -> None:
    with Office.create(tmp_path / "new.drawoff", SHOP, now=clock) as office:
        office.carry_out(AddPerson(PersonDetails("Ann Merrow", is_technician=True)))
        with closing(office.ear()) as ear:
            assert ear.open() == ()


def test_what_came_before_the_first_listening_is_told(office: Office) -> None:
    ear = office.ear()
    with _another_desk(office) as other:
        other.carry_out(AddPerson(PersonDetails("Ann Poole")))
    assert ear.open() == (RemoteChange(),)
    assert ear.hear() == ()
    ear.close()


@pytest.fixture
def server_desk(server_office: str, clock: StillClock) -> Iterator[Office]:
    with closing(Office.open(server_office, now=clock)) as opened:
        yield opened


@pytest.fixture
def server_ear(server_desk: Office) -> Iterator[ChangeFeed]:
    ear = server_desk.ear()
    ear.open()
    yield ear
    ear.close()


def test_a_server_tells_which_visits_a_command_is_about(
    server_office: str, server_desk: Office, server_ear: ChangeFeed
) -> None:
    with closing(Office.open(server_office, now=server_desk.now)) as other:
        first = other.carry_out(TakeCall(CALL)).visit_id
        second = other.carry_out(TakeCall(CALL)).visit_id
        assert together(_heard(server_ear)).concerns(first)
        server_ear.hear()
        other.carry_out(CallOff(first, "Mended by itself"))
        (command,) = _heard(server_ear)
    assert command.concerns(first)
    assert not command.concerns(second)


def test_a_command_about_very_many_visits_fits_into_a_payload(
    server_office: str, server_desk: Office, server_ear: ChangeFeed
) -> None:
    with closing(Office.open(server_office, now=server_desk.now)) as other:
        with other.unit_of_work(TakeCall.what) as session:
            for _ in range(MOST_VISITS + 1):
                take_call(session, CALL)
        assert _heard(server_ear) == (RemoteChange(),)


def test_a_lost_line_is_told_and_what_was_missed_is_heard_afterwards(
    cluster: Cluster, server_office: str, server_desk: Office, server_ear: ChangeFeed
) -> None:
    _cut(cluster, server_office)
    with pytest.raises(OutageError):
        server_ear.hear()
    with closing(Office.open(server_office, now=server_desk.now)) as other:
        other.carry_out(AddPerson(PersonDetails("Ann Poole")))
    assert server_ear.open() == (RemoteChange(),)
    assert server_desk.answer(SeeDay(server_desk.now())).day is not None


def _cut(cluster: Cluster, url: str) -> None:
    name = url.partition("@/")[2].partition("?")[0]
    with cluster.connect() as connection:
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            " WHERE datname = %s AND query LIKE 'LISTEN%%'",
            (name,),
        )
