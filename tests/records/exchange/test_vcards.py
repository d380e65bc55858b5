"""Customers from vCards in the dialects that programs write.

The files in ``vcards/`` were written by csv2vcard 0.6.0 (MIT) and by ical.js 2.2.1 (MPL 2.0), from
people of our own invention; the cards below by hand after RFC 2426, RFC 6350 and, for 2.1, from
memory of what old telephones write.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import sqlalchemy as sa
from hypothesis import given
from hypothesis import strategies as st
from icalendar.parser import Contentlines

from desk.base.texts import say
from desk.records.exchange.customer_fields import HEADINGS
from desk.records.exchange.customers import (
    export_customers,
    import_customers,
    read_customers,
)
from desk.records.exchange.vcards import are_vcards, sheet_of_vcards
from desk.records.exchange_kit.csv_read import Sheet
from desk.records.office.office import Office
from desk.records.tables import Customer

WRITTEN = Path(__file__).parent / "vcards"
NOTE = (
    "Ring twice, then wait; the dog is loud — très loud. This note is long enough that it has to"
    " be folded over several lines by every writer of cards"
)
FIELDS = {heading: field for field, heading in HEADINGS.items()}


def _unwatched(_count: int, _total: int) -> None:
    pass


def _read(text: str) -> Sheet:
    return sheet_of_vcards(text, _unwatched)


def _people(sheet: Sheet) -> list[dict[str, list[str]]]:
    """Return what stands in each field of each row, without what is empty."""
    people = []
    for row in sheet.rows:
        person: dict[str, list[str]] = {}
        for heading, cell in zip(sheet.headings, row.cells, strict=True):
            if cell:
                person.setdefault(FIELDS[heading], []).append(cell)
        people.append(person)
    return people


def _card(*lines: str, end: str = "\r\n") -> str:
    return end.join(("BEGIN:VCARD", *lines, "END:VCARD", ""))


@pytest.mark.parametrize("version", ["2.1", "3.0", "4.0"])
def test_cards_of_each_version_are_read_as_they_were_written(version: str) -> None:
    sheet = read_customers(WRITTEN / f"written-by-csv2vcard-{version}.vcf")
    assert sheet.refused == ()
    asa, bo = _people(sheet)
    firm = asa["note"][0].removeprefix(f"{NOTE}\n")
    assert firm == "Mill, Lane & Co; Heating"
    assert asa | {"note": []} == {
        "name": ["Åsa Ängström"],
        "phone": ["(212) 555-0142"],
        "email": ["asa@example.com"],
        "street": ['12 "Mill" Lane; rear'],
        "locality": ["Fairhaven"],
        "postcode": ["00001"],
        "country": ["US"],
        "note": [],
    }
    assert bo["phone"][0].replace("-", " ") == "+1 212 555 0143"


def test_groups_several_numbers_and_what_is_wanted_most() -> None:
    asa, bo = _people(read_customers(WRITTEN / "written-by-ical.js.vcf"))
    assert asa["phone"] == ["(212) 555-0143", "+1-212-555-0142 ext. 7"]
    assert asa["email"] == ["office@example.com", "asa@example.com"]
    assert asa["street"] == ['12 "Mill" Lane; rear, Top floor']
    assert (asa["region"], asa["postcode"]) == (["Ellermark"], ["00001"])
    *_note, firm, other = asa["note"][0].split("\n")
    assert (firm, other) == ("Mill, Lane & Co, Heating", "9 Weir Street, Fairhaven, 00009, US")
    assert (bo["phone"], bo["street"]) == (["555-0101"], ["3 Quay, Shed"])


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_encoding_and_line_ends_are_found_out(tmp_path: Path, encoding: str, end: str) -> None:
    path = tmp_path / "cards.vcf"
    text = _card("VERSION:3.0", "FN:Åsa Änd", " erson", "N:Änderson;Åsa;;;", end=end)
    path.write_bytes(text.encode(encoding))
    assert [person["name"] for person in _people(read_customers(path))] == [["Åsa Änderson"]]


def test_quoted_printable_in_a_charset_of_its_own() -> None:
    (person,) = _people(
        _read(
            _card(
                "VERSION:2.1",
                "N;ENCODING=QUOTED-PRINTABLE;CHARSET=ISO-8859-1:M=FCller;J=F6rg",
                "TEL;PREF;CELL:555-0102",
                "TEL;HOME:555-0101",
                "ADR;HOME;CHARSET=UTF-8;ENCODING=QUOTED-PRINTABLE:;;12 M=C3=BChl=",
                "weg;Fairhaven;;00001;",
                "NOTE;ENCODING=QUOTED-PRINTABLE:first=0D=0A=",
                "second",
            )
        )
    )
    assert person["name"] == ["Jörg Müller"]
    assert person["phone"] == ["555-0102", "555-0101"]
    assert person["street"] == ["12 Mühlweg"]
    assert person["note"] == ["first\nsecond"]


def test_a_firm_without_a_person_is_the_customer() -> None:
    (person,) = _people(_read(_card("VERSION:3.0", "N:;;;;", "FN:", "ORG:Moss Mills;Boilers")))
    assert person == {"name": ["Moss Mills, Boilers"]}


def test_a_card_that_cannot_be_read_is_refused_with_its_line() -> None:
    good = _card("VERSION:3.0", "FN:Bo", "N:Bo;;;;")
    torn = _card("VERSION:3.0", "FN:Ann", "no property at all")
    sheet = _read(good + torn + "\r\n" + good + "BEGIN:VCARD\r\nFN:Cy\r\n")
    assert [row.line for row in sheet.rows] == [1, 12]
    assert [(each.line, say(each.why)) for each in sheet.refused] == [
        (6, "the card that begins here cannot be read"),
        (17, "the card that begins here has no end"),
    ]


def test_vcards_are_known_by_what_stands_in_them(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "customers.csv"  # whatever it is called
    path.write_bytes((WRITTEN / "written-by-ical.js.vcf").read_bytes())
    assert import_customers(office, path).came_in == 2
    assert import_customers(office, path).already_there == 2
    with office.read() as session:
        assert session.scalars(sa.select(Customer.name).order_by(Customer.id)).all() == [
            "Åsa Ängström",
            "Bo Reed",
        ]


def test_a_card_without_a_name_does_not_come_in(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "cards.vcf"
    path.write_text(_card("VERSION:3.0", "TEL:555-0101"))
    done = import_customers(office, path)
    assert [(each.line, say(each.why)) for each in done.refused] == [(1, "it has no name")]


def test_cards_go_out_and_are_then_already_there(office: Office, tmp_path: Path) -> None:
    path, out = tmp_path / "in.csv", tmp_path / "out.vcf"
    path.write_text(
        "Name,Phone,Phone 2,E-mail,Street,City,ZIP,Note\n"
        '"Ängström; Å, & Söhne",555-0101,(212) 555-0142,a@example.com,"12 Weir, rear; 2\\3",'
        'Larkmoor,00001,"first, then\nsecond; a note that is long enough to be folded somewhere"\n'
        "Bo,,,,,,,\n",
        encoding="utf-8",
    )
    import_customers(office, path)
    assert export_customers(office, out) == 2
    again = import_customers(office, out)
    assert (again.came_in, again.already_there, again.refused) == (0, 2, ())


def test_cards_that_go_out_are_read_by_another_library(office: Office, tmp_path: Path) -> None:
    """icalendar (BSD) reads the same content lines (RFC 5545, 3.1; RFC 6350, 3.3)."""
    path, out = tmp_path / "in.csv", tmp_path / "out.vcf"
    note = "a long, long note; with all that has to be escaped in it, and folded as well: äöü"
    path.write_text(f'Name,Phone,Note\n"Moss, Bo",555-0101,"{note}"\n', encoding="utf-8")
    import_customers(office, path)
    export_customers(office, out)
    assert max(map(len, out.read_bytes().split(b"\r\n"))) <= 75
    lines = Contentlines.from_ical(out.read_bytes())
    read = {line.parts()[0]: line.parts()[2] for line in lines if line}
    assert (read["FN"], read["TEL"], read["NOTE"]) == ("Moss, Bo", "555-0101", note)


@given(
    lines=st.lists(
        st.one_of(
            st.sampled_from(
                ["BEGIN:VCARD", "END:VCARD", "ADR:;", "N;ENCODING=QUOTED-PRINTABLE:=C3", "a.TEL:1",
                 "FN;CHARSET=no-such:=E9", "PHOTO;ENCODING=b:###", " folded", "ORG:;;",
                 "TEL;PREF=x:"]
            ),
            st.text(max_size=30),
        ),
        max_size=12,
    )
)  # fmt: skip
def test_whatever_stands_in_a_file_every_card_is_read_or_refused(lines: list[str]) -> None:
    text = "\r\n".join(("BEGIN:VCARD", *lines))
    assert are_vcards(text)
    sheet = _read(text)
    assert sheet.rows or sheet.refused
    assert all(len(row.cells) == len(sheet.headings) for row in sheet.rows)
