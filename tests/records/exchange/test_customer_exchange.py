"""Customers in from other programs' CSV files, and out again."""

from __future__ import annotations

import csv
import io
from collections import Counter
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.base.errors import InputError, RuleError
from desk.base.texts import message, say
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.database.keys import KeyMaker
from desk.records.exchange.customer_fields import check_rows, matched
from desk.records.exchange.customer_staging import Staged
from desk.records.exchange.customers import (
    StageCustomers,
    TakeCustomersOver,
    export_customers,
    import_customers,
    read_customers,
)
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.journal.field_values import change
from desk.records.journal.journal import as_json, withdraw
from desk.records.office.office import Office
from desk.records.parties import places
from desk.records.tables import Change, ChangeSet, Customer, CustomerPhone
from desk.records.views.changes import Extent
from desk.records.whole_office.dump import export_everything
from tests.conftest import StillClock
from tests.records.search.test_search import computed_anew, searched

HEADINGS = ("Name", "Phone", "E-mail", "Street", "City", "ZIP")
ROWS = (
    ("Ängström, Åsa", "(555) 555-0142", "asa@example.com", '12 "Mill" Lane', "Fairhaven", "00001"),
    ("Bo; Tab\tCo", "ask for Bo", "", "3 Quay\nTop floor", "Fairhaven", "00002"),
)


def _written(
    path: Path, *, delimiter: str = ",", encoding: str = "utf-8", end: str = "\r\n"
) -> Path:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=end).writerows((HEADINGS, *ROWS))
    path.write_bytes(text.getvalue().encode(encoding))
    return path


def _names(office: Office) -> list[str]:
    with office.read() as session:
        found = session.scalars(
            sa.select(Customer.name).where(Customer.withdrawn_at.is_(None)).order_by(Customer.id)
        )
        return list(found)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize(("delimiter", "end"), [(",", "\r\n"), (";", "\n"), ("\t", "\r\n")])
def test_delimiter_and_encoding_are_found_out(
    office: Office, tmp_path: Path, encoding: str, delimiter: str, end: str
) -> None:
    before = _names(office)
    path = _written(tmp_path / "in.csv", delimiter=delimiter, encoding=encoding, end=end)
    done = import_customers(office, path)
    assert (done.came_in, done.already_there, done.refused, done.unused) == (2, 0, (), ())
    assert _names(office) == [*before, *(row[0] for row in ROWS)]


def test_what_is_there_does_not_come_in_twice(office: Office, tmp_path: Path) -> None:
    path = _written(tmp_path / "in.csv")
    import_customers(office, path)
    again = import_customers(office, path)
    assert (again.came_in, again.already_there) == (0, 2)


def test_an_odd_number_is_kept_as_typed(office: Office, tmp_path: Path) -> None:
    import_customers(office, _written(tmp_path / "in.csv"))
    with office.read() as session:
        assert "ask for Bo" in session.scalars(sa.select(CustomerPhone.typed)).all()


def test_a_dry_run_changes_nothing(office: Office, tmp_path: Path) -> None:
    before = _names(office)
    done = import_customers(office, _written(tmp_path / "in.csv"), dry_run=True)
    assert done.came_in == 2
    assert _names(office) == before


def test_rows_that_cannot_come_in_are_named_with_their_line(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Name,Phone,Shoe size\n,555-0101,41\nAnn Reed,555-0102,38\nBo,1,2,3\n")
    done = import_customers(office, path)
    assert [(each.line, say(each.why)) for each in done.refused] == [
        (2, "it has no name"),
        (4, "it has more cells than there are headings"),
    ]
    assert (done.came_in, done.unused) == (1, ("Shoe size",))


def test_a_heading_that_is_not_known_is_matched_by_hand(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Who,Phone\nAnn Reed,555-0102\n")
    with pytest.raises(InputError, match="No heading stands for the name"):
        import_customers(office, path)
    assert import_customers(office, path, {"Who": "name"}).came_in == 1
    assert "Ann Reed" in _names(office)


def test_an_import_is_undone_as_one(office: Office, tmp_path: Path) -> None:
    before = _names(office)
    import_customers(office, _written(tmp_path / "in.csv"))
    assert office.carry_out(TakeBack()).redo == "Customers imported"
    assert _names(office) == before


def test_customers_go_out_and_are_then_already_there(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_text(
        "Name,Phone,Phone 2,Note\n'=SUM(A1),+1 555 555 0103,555-0104,'' @noon\nAnn,,,=x\n"
    )
    import_customers(office, path)
    out = tmp_path / "out.csv"
    count = export_customers(office, out)
    assert count == len(_names(office))
    lines = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"), newline="")))
    assert {line["Name"] for line in lines} >= {"'=SUM(A1)", "Ann"}
    assert all(not value.startswith(("=", "+", "-", "@")) for v in lines for value in v.values())
    again = import_customers(office, out)
    assert (again.came_in, again.already_there, again.refused) == (0, count, ())


def test_what_an_import_brought_in_is_taken_back_and_done_again_as_a_set(
    office: Office, tmp_path: Path
) -> None:
    before = _names(office)
    import_customers(office, _written(tmp_path / "in.csv"))
    kept = searched(office)
    taken_back = office.carry_out(TakeBack())
    assert taken_back.redo_extent == Extent(2, stayed=0)
    assert searched(office) == computed_anew(office)
    done_again = office.carry_out(DoAgain())
    assert done_again.undo_extent == Extent(2, stayed=0)
    assert _names(office) == [*before, *(row[0] for row in ROWS)]
    assert searched(office) == kept == computed_anew(office)
    assert office.carry_out(TakeBack()).redo_extent == Extent(2, stayed=0)
    assert _names(office) == before


def test_the_journal_has_a_line_for_every_row_that_is_taken_back(
    office: Office, tmp_path: Path, clock: StillClock
) -> None:
    import_customers(office, _written(tmp_path / "in.csv"))
    clock.pass_minutes(1)
    office.carry_out(TakeBack())
    with office.read() as session:
        entry = session.scalars(sa.select(ChangeSet).order_by(ChangeSet.number.desc())).first()
        assert entry is not None
        lines = session.scalars(
            sa.select(Change).where(Change.change_set_id == entry.id).order_by(Change.position)
        ).all()
        assert [line.position for line in lines] == list(range(1, len(lines) + 1))
        assert Counter(line.table_name for line in lines) == {
            "customer": 2,
            "customer_phone": 2,
            "customer_email": 1,
        }
        then = as_json(clock())
        assert {(line.field, line.before, line.after) for line in lines} == {
            ("withdrawn_at", "null", then)
        }


def test_a_customer_that_something_hangs_on_stays_when_the_import_is_taken_back(
    office: Office, tmp_path: Path
) -> None:
    before = _names(office)
    import_customers(office, _written(tmp_path / "in.csv"))
    with office.unit_of_work(message("Told by another desk")) as session:
        used = session.scalars(sa.select(Customer).where(Customer.name == "Bo; Tab\tCo")).one()
        place = places.add_premises(session, PremisesDetails("9 Weir Street"))
        session.flush()
        places.link_customer(session, place, used.id, "owner")
    taken_back = office.carry_out(TakeBack())
    assert taken_back.redo_extent == Extent(1, stayed=1)
    assert _names(office) == [*before, "Bo; Tab\tCo"]
    assert searched(office) == computed_anew(office)


def test_what_was_changed_again_since_is_not_done_again(office: Office, tmp_path: Path) -> None:
    import_customers(office, _written(tmp_path / "in.csv"))
    office.carry_out(TakeBack())
    with office.unit_of_work(message("Brought back by another desk")) as session:
        session.scalars(sa.select(Customer)).first().withdrawn_at = None  # type: ignore[union-attr]
    with pytest.raises(RuleError, match="changed again since"):
        office.carry_out(DoAgain())


@pytest.mark.parametrize("what", ["entered", "renamed", "withdrawn"])
def test_what_somebody_does_between_matching_and_taking_over_counts(
    office: Office, tmp_path: Path, what: str
) -> None:
    """The match is looked up again in the command, for the names that were touched."""
    path = _written(tmp_path / "in.csv")
    office.carry_out(TakeCustomersOver(_staged(office, path)))
    other = ROWS[1] if what == "entered" else ROWS[0]
    with office.unit_of_work(message("Made room")) as session:
        bo = session.scalars(sa.select(Customer).where(Customer.name == ROWS[1][0])).one()
        withdraw(session, bo)
    staged = _staged(office, path)
    assert [dict(each.entry.values)["name"] for each in staged.ready] == [(ROWS[1][0],)]
    with office.unit_of_work(message("Done at another desk")) as session:
        found = session.scalars(sa.select(Customer).where(Customer.name == other[0])).one()
        if what == "entered":
            found.withdrawn_at = None
        elif what == "renamed":
            change(session, CustomerDetails, found, {"name": "Somebody else"})
        else:
            withdraw(session, found)
    done = office.carry_out(TakeCustomersOver(staged))
    assert (done.came_in, done.already_there) == ((0, 2) if what == "entered" else (2, 0))
    assert searched(office) == computed_anew(office)


def test_an_import_that_is_stopped_leaves_the_office_as_it_was(
    office: Office, tmp_path: Path
) -> None:
    path = _written(tmp_path / "in.csv")
    before = tmp_path / "before.jsonl"
    export_everything(office, before)
    for steps in range(20):
        try:
            import_customers(office, path, watch=_StopAfter(steps))
        except _StoppedHere:
            after = tmp_path / "after.jsonl"
            export_everything(office, after)
            assert after.read_bytes() == before.read_bytes()
            assert searched(office) == computed_anew(office)
        else:
            break
    assert steps > 4  # it was stopped while matching, and after each table


class _StoppedHere(Exception):
    pass


class _StopAfter:
    def __init__(self, steps: int) -> None:
        self._left = steps

    def __call__(self, _count: int, _total: int) -> None:
        self._left -= 1
        if self._left < 0:
            raise _StoppedHere


def _staged(office: Office, path: Path) -> Staged:
    sheet = read_customers(path)
    checked = check_rows(sheet, matched(sheet.headings, {}))
    return office.answer(StageCustomers(checked, KeyMaker(office.now)))


def test_first_and_last_names_in_columns_of_their_own_make_the_name(
    office: Office, tmp_path: Path
) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Last Name,First Name,Company\nReed,Ann,\nMoss,Bo,Moss & Sons\n")
    assert import_customers(office, path, {"Company": "note"}).came_in == 2
    assert {"Ann Reed", "Bo Moss"} <= set(_names(office))
