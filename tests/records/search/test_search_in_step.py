"""What is searched stays what the rows say, whatever is done, taken back and done again."""

from __future__ import annotations

import contextlib
import shutil
from pathlib import Path

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from desk.base.errors import DeskError
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.journal.field_values import change
from desk.records.journal.journal import withdraw
from desk.records.office.office import Office
from desk.records.parties import customers
from desk.records.tables import ChangeSet, Customer, CustomerPhone, Visit
from desk.records.undo.undo import take_back
from tests.conftest import StillClock
from tests.every_day import share_of_examples
from tests.records.jobs import ACT, Job, begin_job
from tests.records.search.test_search import computed_anew, searched

WORDS = st.sampled_from(["Moss", "Tarn Éva", "9 Weir Street", "ﬁlter"])
ACTS = st.sampled_from(["add", "rename", "phone", "note", "withdraw", "bring", "undo"])

_INDEXES_AGREE = (
    "INSERT INTO search_word(search_word, rank) VALUES ('integrity-check', 1)",
    "INSERT INTO search_part(search_part, rank) VALUES ('integrity-check', 1)",
)
"""FTS5's own comparison of an index with the rows that it is of (sqlite.org/fts5.html, 6.4)."""


@settings(
    max_examples=share_of_examples(0.3),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(commands=st.lists(st.tuples(ACTS, WORDS), min_size=3, max_size=12))
def test_after_any_commands_the_searched_words_are_those_computed_anew(
    commands: list[tuple[str, str]], empty_office: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    place = tmp_path_factory.mktemp("search") / "office.drawoff"
    shutil.copyfile(empty_office, place)
    clock = StillClock()
    with Office.open(place, now=clock) as office:
        job = begin_job(office, clock)
        for act, words in commands:
            clock.pass_minutes(1)
            with contextlib.suppress(DeskError), office.unit_of_work(ACT) as session:
                _do(session, act, words, job)
        with office.read() as session:
            for check in _INDEXES_AGREE:
                session.execute(sa.text(check))
        kept = searched(office)
        assert kept == computed_anew(office)


def _do(session: Session, act: str, words: str, job: Job) -> None:
    customer = session.get_one(Customer, job.customer)
    if act == "add":
        customers.add_customer(session, CustomerDetails(words), phones=["(212) 555-0150"])
    elif act == "rename":
        change(session, CustomerDetails, customer, {"name": words})
    elif act == "phone":
        phone = session.scalars(sa.select(CustomerPhone)).first()
        assert phone is not None
        phone.typed = f"555-0199 {words}"
    elif act == "note":
        session.get_one(Visit, job.visit).internal_note = words
    elif act == "withdraw":
        withdraw(session, customer)
    elif act == "bring":
        customer.withdrawn_at = None
    else:
        last = session.scalars(
            sa.select(ChangeSet).order_by(ChangeSet.number.desc()).offset(1).limit(1)
        ).one()
        if last.number > 1:  # the office itself is not taken back
            take_back(session, last)
