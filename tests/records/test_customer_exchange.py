"""Customers in from other programs' CSV files, and out again."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
import sqlalchemy as sa

from desk.errors import InputError
from desk.records.deeds.undoing import TakeBack
from desk.records.exchange.customers import export_customers, import_customers
from desk.records.office import Office
from desk.records.tables import Customer, CustomerPhone
from desk.wording import say

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
    with office.look() as session:
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
    with office.look() as session:
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
