"""Find: any part of a word, whatever was done in between."""

from __future__ import annotations

import uuid

import sqlalchemy as sa

from desk.records.database.options import WRITES
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.journal.journal import keep, withdraw
from desk.records.office.office import Office
from desk.records.parties import customers
from desk.records.search.indexed_words import SEARCH_TEXT, rebuild
from desk.records.search.search import search
from desk.records.tables import Customer, CustomerEmail, Visit
from desk.records.views.customer_record import SearchHit
from tests.conftest import StillClock
from tests.records.jobs import ACT, begin_job


def find(office: Office, text: str) -> list[SearchHit]:
    with office.read() as session:
        return list(search(session, text))


def searched(office: Office) -> set[tuple[uuid.UUID, uuid.UUID, str]]:
    with office.read() as session:
        columns = (SEARCH_TEXT.c.row_id, SEARCH_TEXT.c.opens_id, SEARCH_TEXT.c.folded)
        return {tuple(row) for row in session.execute(sa.select(*columns))}


def computed_anew(office: Office) -> set[tuple[uuid.UUID, uuid.UUID, str]]:
    with office._engine.execution_options(**{WRITES: True}).begin() as connection:
        rebuild(connection)
    return searched(office)


def test_what_is_searched_follows_every_command(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    job.work_through({})
    with office.unit_of_work(ACT) as session:
        session.get_one(Customer, job.customer).note = "Key under the blue pot"
        session.get_one(Visit, job.visit).internal_note = "Bring the long ladder"
    kept = searched(office)
    assert any("blue pot" in text for _, _, text in kept)
    assert kept == computed_anew(office)


PARTS = [
    ("m", "customer"),
    ("mar", "customer"),
    ("Quill Mara", "customer"),
    ("uil", "customer"),
    ("5550142", "customer"),
    ("555-01", "customer"),
    ("+1 212.555.0142", "customer"),
    ("(212) 555 0142", "customer"),
    ("quill@", "customer"),
    ("weir st", "premises"),
    ("larkm", "premises"),
    ("K24-0311", "appliance"),
    ("0311", "appliance"),
    ("kestle", "appliance"),
    ("last night", "visit"),
]


def test_any_part_of_what_is_known_finds_it(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        keep(session, CustomerEmail(customer_id=job.customer, address="mara.quill@example.org"))
    for typed, kind in PARTS:
        hits = find(office, typed)
        assert kind in {hit.kind for hit in hits}, typed
        assert not any(hit.near for hit in hits), typed


def test_a_slip_is_forgiven_and_said(office: Office, clock: StillClock) -> None:
    begin_job(office, clock)
    for typed in ("Quilll", "qulil", "quoll", "Kesstle", "lakrmoor", "wier"):
        hits = find(office, typed)
        assert hits, typed
        assert all(hit.near for hit in hits), typed


def test_what_is_nothing_like_it_is_not_offered(office: Office, clock: StillClock) -> None:
    begin_job(office, clock)
    assert find(office, "zebra") == []


def test_whatever_is_typed_is_only_looked_for(office: Office, clock: StillClock) -> None:
    begin_job(office, clock)
    for typed in (
        *("", " ", "-", "O'Brien", "c++", "-x", '"', "a AND", "NEAR(", "*", "%", "_", "x:y", "^"),
    ):
        assert all(hit.key for hit in find(office, typed)), typed


def test_whole_words_come_first_then_beginnings_then_what_came_last(
    office: Office, clock: StillClock
) -> None:
    for name in ("Arden Moss", "Moss", "Mossley", "Almoss", "Moss Tarn"):
        with office.unit_of_work(ACT) as session:
            customers.add_customer(session, CustomerDetails(name))
    names = [hit.title for hit in find(office, "moss")]
    assert names == ["Moss Tarn", "Moss", "Arden Moss", "Mossley", "Almoss"]


def test_what_was_withdrawn_is_found_no_more(office: Office, clock: StillClock) -> None:
    job = begin_job(office, clock)
    with office.unit_of_work(ACT) as session:
        withdraw(session, session.get_one(Customer, job.customer))
    assert "customer" not in {hit.kind for hit in find(office, "quill")}
    assert searched(office) == computed_anew(office)


def test_what_is_typed_is_never_the_querys_own_language(office: Office) -> None:
    with office.unit_of_work(ACT) as session:
        for name in ("O'Neil & Sons", "a\\b | x&y", "(q !z w:* \\' \""):
            customers.add_customer(session, CustomerDetails(name))
    for typed in ("o'neil", "a\\b", "x&y", "!z", "w:*", "(q", "'", '"', "\\'"):
        assert {hit.kind for hit in find(office, typed)} <= {"customer"}, typed
    assert find(office, "o'neil")[0].title == "O'Neil & Sons"
    assert find(office, "a\\b")[0].title == "a\\b | x&y"


def test_a_word_longer_than_any_index_takes_is_kept_and_found(office: Office) -> None:
    endless = "w" + "ab" * 4000
    with office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Endless", note=endless))
    assert [hit.title for hit in find(office, "wabab")] == ["Endless"]
    assert [hit.title for hit in find(office, endless[:150])] == ["Endless"]
