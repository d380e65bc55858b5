"""Appliances, parts and finished visits in from CSV files, and out again."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from desk.base.errors import InputError
from desk.base.texts import say
from desk.records.actions.undoing import DoAgain, TakeBack
from desk.records.documents.report_snapshot import report_of
from desk.records.exchange.appliances import COLUMNS as APPLIANCES
from desk.records.exchange.appliances import export_appliances, import_appliances
from desk.records.exchange.customers import export_customers
from desk.records.exchange.parts import COLUMNS as PARTS
from desk.records.exchange.parts import export_parts, import_parts
from desk.records.exchange.published_columns import metadata, published_metadata
from desk.records.exchange.visits import COLUMNS as VISITS
from desk.records.exchange.visits import import_visits
from desk.records.exchange.visits_out import export_visits
from desk.records.exchange_kit.columns import Columns
from desk.records.exchange_kit.intake import Imported
from desk.records.fields import appliance_fields, person_fields
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.histories import record
from desk.records.learning.lesson_cache import lessons_of
from desk.records.learning.lesson_counts import count_lessons
from desk.records.office.office import Office
from desk.records.parties import customers, merge_duplicates, places
from desk.records.stock import orders, parts
from desk.records.tables import Appliance, Part, PartUsed, Person, Premises, Visit
from desk.records.views.changes import Extent
from desk.records.visits import lifecycle
from tests.conftest import StillClock
from tests.records.jobs import ACT, Job, take_job
from tests.records.search.test_search import computed_anew, searched

type Take = Callable[[str], Imported]


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    """Mara Quill, with the appliance A-H0001 at 9 Weir Street, and Ann Poole of the shop."""
    return take_job(office, clock)


def _taking(office: Office, tmp_path: Path, take_in: Callable[..., Imported]) -> Take:
    def take(text: str) -> Imported:
        path = tmp_path / "in.csv"
        path.write_text(text, encoding="utf-8")
        return take_in(office, path)

    return take


@pytest.fixture
def appliances(office: Office, job: Job, tmp_path: Path) -> Take:
    return _taking(office, tmp_path, import_appliances)


@pytest.fixture
def catalogue(office: Office, tmp_path: Path) -> Take:
    return _taking(office, tmp_path, import_parts)


@pytest.fixture
def history(office: Office, job: Job, tmp_path: Path) -> Take:
    return _taking(office, tmp_path, import_visits)


def _why(done: Imported) -> list[tuple[int, str]]:
    return [(refusal.line, say(refusal.why)) for refusal in done.refused]


def _counts(done: Imported) -> tuple[int, int, int]:
    return done.came_in, done.already_there, len(done.refused)


def _in_use[T](office: Office, column: sa.orm.InstrumentedAttribute[T]) -> list[T]:
    with office.read() as session:
        return list(
            session.scalars(
                sa.select(column).where(column.class_.withdrawn_at.is_(None)).order_by(column)
            )
        )


# Appliances


def test_an_appliance_comes_to_the_premises_of_its_customer(
    office: Office, appliances: Take, job: Job
) -> None:
    done = appliances(
        "Owner;Address;Type;Make;Model;Serial number;Rated input\n"
        "Mara Quill;9 Weir St.;Storage heater;Invented;Tarn 50;T50-1;40000 BTU/h\n"
        "mara quill;;instantaneous_heater;Invented;Beck;B-2;\n"
        "Mara Quill;3 Mill Lane;other;;;;\n"
    )
    assert (_counts(done), done.unused) == ((3, 0, 0), ())
    with office.read() as session:
        rows = session.scalars(sa.select(Appliance).order_by(Appliance.number)).all()
        assert [row.number for row in rows] == [f"A-H000{n}" for n in (1, 2, 3, 4)]
        assert [row.premises_id == job.premises for row in rows] == [True, True, True, False]
        assert rows[1].rated_input_w == pytest.approx(11_723, rel=1e-4)
        view = record.record_of(session, job.customer)
        assert sorted(len(each.appliances) for each in view.premises) == [1, 3]
    assert searched(office) == computed_anew(office)


def test_whether_a_cover_seals_comes_in_and_goes_out(
    office: Office, appliances: Take, tmp_path: Path
) -> None:
    done = appliances(
        "Customer,Street,Serial,Cover\n"
        "Mara Quill,9 Weir Street,T-1,Seals\n"
        "Mara Quill,9 Weir Street,T-2,does not seal\n"
        "Mara Quill,9 Weir Street,T-3,\n"
        "Mara Quill,9 Weir Street,T-4,perhaps\n"
    )
    assert _why(done) == [(5, "Cover “perhaps” is none of seals, does_not_seal")]
    out = tmp_path / "out.csv"
    export_appliances(office, out)
    with out.open(encoding="utf-8-sig", newline="") as lines:
        kept = {line["Serial"]: line["Cover"] for line in csv.DictReader(lines)}
    assert kept == {"K24-0311": "", "T-1": "seals", "T-2": "does_not_seal", "T-3": ""}


def test_what_is_said_of_an_appliance_again_is_already_there(appliances: Take) -> None:
    text = (
        "Number,Customer,Street,Maker,Serial\n"
        "A-H0001,Mara Quill,9 Weir Street,Invented,K24-0311\n"
        ",Mara Quill,9 Weir Street,,k24 0311\n"
        ",Mara Quill,9 Weir Street,Other,\n"
    )
    assert _counts(appliances(text.replace("k24 0311", "K24-0311"))) == (1, 2, 0)
    assert _counts(appliances(text.replace("k24 0311", "K24-0311"))) == (0, 3, 0)


def test_an_appliance_that_cannot_come_in_is_told_with_its_line_and_the_mend(
    appliances: Take,
) -> None:
    done = appliances(
        "Number,Customer,Street,Kind,Installed,Activation flow,Note\n"
        "A-H0001,,9 Weir Street,,,,Another note\n"
        ",Nobody,1 Far Road,,,,\n"
        ",,,other,,,\n"
        ",Mara Quill,,kettle,,,\n"
        ",Mara Quill,,,04/30/2019,,\n"
        ",Mara Quill,,,2031-01-01,,\n"
        ",Mara Quill,,,,5 furlongs,\n"
        ",Mara Quill,,,,,,too many\n"
    )
    assert done.came_in == 0
    told = _why(done)
    assert told[0] == (2, "Appliance A-H0001 is in the office already with another Note; "
                          "mend it there or here")  # fmt: skip
    assert told[1] == (3, "there is no customer Nobody here; take in the customers first")
    assert told[2] == (4, "it says neither street nor customer")
    assert told[3][1].startswith("Kind “kettle” is none of combination_boiler,")
    assert told[4] == (6, "“04/30/2019” is no day; write one such as 2019-04-30")
    assert told[5][1].startswith("2031-01-01 cannot be meant here")
    assert told[6][0] == 8
    assert "furlongs" in told[6][1]
    assert told[7] == (9, "it has more cells than there are headings")
    assert not any(why.endswith(".") for _line, why in told)


def test_two_customers_of_one_name_are_told_apart_by_their_street(
    office: Office, appliances: Take
) -> None:
    with office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Mara Quill", "4 Ferry Row"))
    done = appliances("Customer,Street\nMara Quill,\nMara Quill,4 Ferry Row\nMara Quill,8 Elm Ct\n")
    assert done.came_in == 1
    assert _why(done) == [
        (2, "several customers are called Mara Quill; give the street"),
        (4, "several customers have this name, and none this street"),
    ]


def test_homes_of_two_customers_in_one_house_stay_apart(office: Office, appliances: Take) -> None:
    with office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Bo Reed"))
    assert appliances("Customer,Street\nBo Reed,9 Weir Street\n").came_in == 1
    assert len(_in_use(office, Premises.id)) == 2


def test_numbers_that_a_file_brings_are_not_given_out_again(
    office: Office, appliances: Take
) -> None:
    done = appliances(
        "Number,Customer,Model\nA-H0007,Mara Quill,One\nx-9,Mara Quill,Two\n,Mara Quill,Three\n"
    )
    assert done.came_in == 3
    assert _in_use(office, Appliance.number) == ["A-H0001", "A-H0007", "A-H0008", "X-9"]


def test_appliances_go_out_and_come_into_another_office(
    office: Office, appliances: Take, tmp_path: Path, other_office: Office
) -> None:
    appliances("Customer,Street,City,Model,Note\nMara Quill,3 Mill Lane,Larkmoor,Beck,=1+1\n")
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    assert export_appliances(office, first) == 2
    assert _counts(import_appliances(office, first)) == (0, 2, 0)
    with other_office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Mara Quill"))
    assert _counts(import_appliances(other_office, first)) == (2, 0, 0)
    assert export_appliances(other_office, second) == 2
    assert second.read_text(encoding="utf-8") == first.read_text(encoding="utf-8")


@pytest.fixture
def other_office(
    tmp_path_factory: pytest.TempPathFactory, empty_office: Path, clock: StillClock
) -> Office:
    import shutil

    path = tmp_path_factory.mktemp("other") / "other.drawoff"
    shutil.copyfile(empty_office, path)
    return Office.open(path, now=clock)


def test_an_import_of_appliances_is_undone_as_one_but_for_those_in_use(
    office: Office, appliances: Take, job: Job
) -> None:
    text = "Number,Customer,Street\nB-1,Mara Quill,3 Mill Lane\nB-2,Mara Quill,5 Mill Lane\n"
    appliances(text)
    office.carry_out(TakeBack())
    assert _in_use(office, Appliance.number) == ["A-H0001"]
    assert _in_use(office, Premises.street) == ["9 Weir Street"]
    assert appliances(text).came_in == 2  # mended, it comes again
    with office.unit_of_work(ACT) as session:
        used = session.scalars(sa.select(Appliance.id).where(Appliance.number == "B-1")).one()
        lifecycle.take_call(session, CallDetails("no_response", appliance_id=used))
    taken_back = office.carry_out(TakeBack())
    assert _in_use(office, Appliance.number) == ["A-H0001", "B-1"]
    assert _in_use(office, Premises.street) == ["3 Mill Lane", "9 Weir Street"]
    assert (taken_back.redo, taken_back.redo_extent) == ("Appliances imported", Extent(1, 1))
    office.carry_out(DoAgain())
    assert _in_use(office, Appliance.number) == ["A-H0001", "B-1", "B-2"]
    assert searched(office) == computed_anew(office)


def test_what_somebody_withdrew_is_not_brought_back_by_a_file(
    office: Office, appliances: Take
) -> None:
    from desk.records.journal.journal import withdraw

    with office.unit_of_work(ACT) as session:
        withdraw(session, session.scalars(sa.select(Appliance)).one())
    done = appliances("Number,Customer\nA-H0001,Mara Quill\n")
    assert _why(done) == [(2, "appliance A-H0001 was withdrawn here")]


# Parts


def test_parts_come_in_with_price_and_stock(office: Office, catalogue: Take) -> None:
    done = catalogue(
        "SKU,Description,Unit price,Reorder level,Qty,Bin\n"
        'W-1,Inlet screen,$9.5,2,3,B7\nW-2,Flow float,"1,020.00",,,B8\nW-1,Inlet screen,9.50,,3,\n'
    )
    assert (_counts(done), done.unused) == ((2, 1, 0), ("Bin",))
    with office.read() as session:
        rows = session.scalars(sa.select(Part).order_by(Part.number)).all()
        assert [(row.price_cents, row.keep_at_least) for row in rows] == [(950, 2), (102_000, 0)]
        assert parts.stock(session, rows[0].id) == 3
    assert _counts(catalogue("Number,Name\nW-1,Inlet screen\n")) == (0, 1, 0)


def test_a_part_that_cannot_come_in_is_told(catalogue: Take) -> None:
    catalogue("Number,Name\nW-1,Inlet screen\n")
    done = catalogue(
        "Number,Name,Price,Stock\nW-1,Inlet strainer,,\n,Float,,\nW-3,,,\nW-4,Float,a lot,\n"
        "W-5,Float,1.234.5,\nW-6,Float,,some\nW-7,Float,,-1\n"
    )
    assert _why(done) == [
        (2, "Part W-1 is in the office already with another Name; mend it there or here"),
        (3, "it has no number"),
        (4, "it has no name"),
        (5, "“a lot” is no price; write one such as 12.50"),
        (6, "“1.234.5” is no price; write one such as 12.50"),
        (7, "“some” is no number of pieces; write one from 0"),
        (8, "“-1” is no number of pieces; write one from 0"),
    ]


def test_parts_go_out_and_are_then_already_there(
    office: Office, catalogue: Take, tmp_path: Path
) -> None:
    catalogue("Number,Name,Price,Stock\nW-1,=Screen,0.05,3\nW-2,Float,,\n")
    path = tmp_path / "parts.csv"
    assert export_parts(office, path) == 2
    assert path.read_text(encoding="utf-8").splitlines()[1] == "W-1,'=Screen,0.05,0,3"
    assert _counts(import_parts(office, path)) == (0, 2, 0)


def test_an_import_of_parts_is_undone_with_its_stock(office: Office, catalogue: Take) -> None:
    catalogue("Number,Name,Stock\nW-1,Screen,3\nW-2,Float,4\n")
    with office.unit_of_work(ACT) as session:
        used = session.scalars(sa.select(Part).where(Part.number == "W-2")).one()
        orders.ask_for_part(session, number=used.number, pieces=1)
    office.carry_out(TakeBack())
    assert _in_use(office, Part.number) == ["W-2"]
    with office.read() as session:
        stock = {
            part.number: parts.stock(session, part.id) for part in session.scalars(sa.select(Part))
        }
    assert stock == {"W-1": 0, "W-2": 4}
    done = catalogue("Number,Name,Price,Stock\nW-1,Inlet screen,2,5\n")
    assert _counts(done) == (1, 0, 0)
    with office.read() as session:
        part = session.scalars(sa.select(Part).where(Part.number == "W-1")).one()
        assert (part.name, part.price_cents) == ("Inlet screen", 200)
        assert parts.stock(session, part.id) == 5


# Visits

HEAD = "number,ending,appliance,complaint,finished,cause,technician,continues\n"
TWO = (
    HEAD + "A-00009,mended,A-H0001,no_response,2025-03-04T15:00,element_stuck,ann poole,A-00007\n"
    "A-00007,to_continue,A-H0001,no_response,2025-03-03T15:00,,Ann Poole,\n"
)


def test_finished_visits_come_in_as_history(office: Office, history: Take, job: Job) -> None:
    assert _counts(history(TWO)) == (2, 0, 0)
    with office.read() as session:
        rows = session.scalars(sa.select(Visit).order_by(Visit.number)).all()
        first, second = rows[1:]
        assert second.continues_id == first.id
        assert (second.state, second.customer_id) == ("finished", job.customer)
        assert second.finished_at.isoformat() == "2025-03-04T20:00:00+00:00"  # type: ignore[union-attr]
        assert second.technician_id == job.technician
        assert record.record_of(session, job.customer).history[-1].number == "A-00007"
        assert report_of(session, second).number == "A-00009"
        assert not second.owes_proof, "it was finished long ago"
    with office.unit_of_work(ACT) as session:
        lifecycle.take_call(session, CallDetails("no_response"))
    assert _in_use(office, Visit.number)[-1] == "A-00010"
    assert searched(office) == computed_anew(office)


def test_what_visits_taught_is_counted_at_once_and_taken_back(
    office: Office, history: Take
) -> None:
    def learnt() -> int:
        with office.read() as session:
            kept = lessons_of(session)
            assert kept == count_lessons(session)
            return sum(kept.jobs.values())

    assert learnt() == 0
    history(TWO)
    assert learnt() == 1
    office.carry_out(TakeBack())
    assert learnt() == 0
    assert len(_in_use(office, Visit.id)) == 1
    office.carry_out(DoAgain())
    assert learnt() == 1
    office.carry_out(TakeBack())
    assert _counts(history(TWO)) == (2, 0, 0)
    assert learnt() == 1
    assert searched(office) == computed_anew(office)


def test_a_visit_that_was_worked_on_stays_when_the_import_is_taken_back(
    office: Office, history: Take
) -> None:
    history(TWO)
    with office.unit_of_work(ACT) as session:
        imported = session.scalars(sa.select(Visit).where(Visit.number == "A-00009")).one()
        lifecycle.take_up_again(session, imported.id)
    office.carry_out(TakeBack())
    assert _in_use(office, Visit.number) == ["A-00001", "A-00007", "A-00009"]


def test_visits_are_already_there_with_and_without_their_number(history: Take) -> None:
    history(TWO)
    assert _counts(history(TWO)) == (0, 2, 0)
    row = "ending,serial,complaint,finished,cause\nmended,{},{},2025-03-0{},element_stuck\n"
    assert _counts(history(row.format("K24-0311", "no_response", "4T15:00"))) == (0, 1, 0)
    assert _counts(history(row.format("k24 0311", "too_cool", "4T15:00"))) == (1, 0, 0)
    assert _counts(history(row.format("k24 0311", "too_cool", "4T15:00"))) == (0, 1, 0)


def test_a_visit_that_cannot_come_in_is_told_with_its_line_and_the_mend(history: Take) -> None:
    history(TWO)
    done = history(
        "number,state,ending,appliance,complaint,received,finished,cause,technician,continues\n"
        "A-00007,,left,A-H0001,no_response,,2025-03-03T15:00,,,\n"
        "B-1,booked,,A-H0001,no_response,,,,,\n"
        "B-2,,done,A-H0001,no_response,,2025-03-03,,,\n"
        "B-3,,left,A-H0099,no_response,,2025-03-03,,,\n"
        "B-4,,left,,no_response,,2025-03-03,,,\n"
        "B-5,,left,A-H0001,cold,,2025-03-03,,,\n"
        "B-6,,mended,A-H0001,no_response,,2025-03-03,gremlins,,\n"
        "B-7,,mended,A-H0001,no_response,,2025-03-03,,,\n"
        "B-8,,left,A-H0001,no_response,,2031-03-03,,,\n"
        "B-9,,left,A-H0001,no_response,,yesterday,,,\n"
        "B-10,,left,A-H0001,no_response,2025-03-04,2025-03-03,,,\n"
        "B-11,,left,A-H0001,no_response,,,,,\n"
        "B-12,,left,A-H0001,no_response,,2025-03-03,,Bo Nobody,\n"
        "B-13,,left,A-H0001,no_response,,2025-03-03,,,B-14\n"
        "B-14,,left,A-H0001,no_response,,2025-03-03,,,B-99\n"
    )
    told = [why for _line, why in _why(done)]
    assert [line for line, _why in _why(done)] == list(range(2, 17))
    assert told[0].startswith("Visit A-00007 is in the office already with another ending;")
    assert told[1:] == [
        "it is booked, and only finished visits are history",
        "ending “done” is none of mended, to_continue, no_fault_found, referred, left",
        "there is no appliance A-H0099 here; take in the appliances first",
        "it names no appliance",
        "complaint “cold” is none of no_response, noticed_no_heat, comes_and_goes, too_cool, "
        "too_little_flow, call_with_taps_shut, slow_to_arrive, other",
        "there is no cause “gremlins”; say it in cause_words",
        "it was mended, and no cause is named",
        "2031-03-03 is still to come",
        "“yesterday” is no time; write one such as 2025-04-30T14:05",
        "it was received, started and finished in another order",
        "it does not say when it was finished",
        "nobody of the shop is called Bo Nobody; enter them first",
        "the visit B-14 that it went on with is not here",
        "the visit B-99 that it went on with is not here",
    ]


def test_the_number_of_an_appliance_that_was_joined_leads_to_the_one_that_stays(
    office: Office, history: Take, job: Job
) -> None:
    with office.unit_of_work(ACT) as session:
        twice = places.add_appliance(
            session, job.premises, appliance_fields.ApplianceDetails("other")
        )
        session.flush()
        merge_duplicates.merge(session, "appliance", twice, job.appliance)
    assert _counts(history(TWO.replace("A-H0001", "A-H0002"))) == (2, 0, 0)
    with office.read() as session:
        found = session.scalars(sa.select(Visit.appliance_id).distinct()).all()
    assert found == [job.appliance]


def test_a_column_that_is_needed_and_not_there_is_told(history: Take) -> None:
    with pytest.raises(InputError, match="No heading stands for appliance, serial; say which"):
        history("number,ending,complaint,finished\n")
    with pytest.raises(InputError, match="No heading stands for ending"):
        history("serial,complaint,finished\n")


def test_visits_go_out_and_come_into_another_office(
    office: Office, history: Take, job: Job, tmp_path: Path, other_office: Office
) -> None:
    with office.unit_of_work(ACT) as session:
        parts.add_part(session, PartDetails("W-1", "Inlet screen"))
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([*HEAD.strip().split(","), "parts", "work_done", "complaint_words", "advice"])
    writer.writerow(
        ["A-00009", "mended", "A-H0001", "", "2025-03-04T15:00:00-05:00", "", "Ann Poole", "",
         "W-1; a hose", "Cleaned,\nand flushed", "=cold", "Yearly"]
    )  # fmt: skip
    assert _counts(history(text.getvalue())) == (1, 0, 0)
    where = {name: tmp_path / f"{name}.csv" for name in ("appliances", "visits", "again")}
    export_appliances(office, where["appliances"])
    export_visits(office, where["visits"])
    with other_office.unit_of_work(ACT) as session:
        customers.add_customer(session, CustomerDetails("Mara Quill"))
        customers.add_person(session, person_fields.PersonDetails("Ann Poole"))
        parts.add_part(session, PartDetails("W-1", "Inlet screen"))
    import_appliances(other_office, where["appliances"])
    done = import_visits(other_office, where["visits"])
    assert _why(done) == [(2, "it is new_call, and only finished visits are history")]
    export_visits(other_office, where["again"])
    lines = where["visits"].read_text(encoding="utf-8").splitlines()
    assert where["again"].read_text(encoding="utf-8").splitlines() == [lines[0], *lines[2:]]
    with other_office.read() as session:
        fitted = session.execute(sa.select(PartUsed.number, PartUsed.name).order_by(PartUsed.id))
        assert [tuple(row) for row in fitted] == [("W-1", "Inlet screen"), ("", "a hose")]
        part = session.scalars(sa.select(Part)).one()
        assert parts.stock(session, part.id) == 0  # it left the van long ago


@pytest.mark.parametrize(
    ("take_in", "text", "table"),
    [
        (import_appliances, "Customer,Model\nMara Quill,Beck\n", Appliance),
        (import_parts, "Number,Name\nW-1,Screen\n", Part),
        (import_visits, TWO, Visit),
    ],
)
@pytest.mark.usefixtures("job")
def test_a_dry_run_tells_the_same_and_changes_nothing(
    office: Office,
    tmp_path: Path,
    take_in: Callable[..., Imported],
    text: str,
    table: type[Appliance | Part | Visit],
) -> None:
    path = tmp_path / "in.csv"
    path.write_text(text)
    before = _in_use(office, table.id)
    told = take_in(office, path, dry_run=True)
    assert _in_use(office, table.id) == before
    assert take_in(office, path) == told


def test_headings_are_matched_by_hand(office: Office, job: Job, tmp_path: Path) -> None:
    path = tmp_path / "in.csv"
    path.write_text("Code,What\nW-1,Screen\n")
    assert import_parts(office, path, {"Code": "number", "What": "name"}).came_in == 1
    for matches, why in (
        ({"Nothing": "name"}, "no heading “Nothing”"),
        ({"Code": "shoe"}, "“shoe” is no field of parts"),
        ({"Code": "name", "What": "name"}, "Two columns stand for Name"),
    ):
        with pytest.raises(InputError, match=why):
            import_parts(office, path, matches)
    assert _in_use(office, Person.name) == ["Ann Poole"]


@pytest.mark.parametrize("kind", sorted(metadata()))
def test_the_published_columns_are_those_of_the_files(
    office: Office, tmp_path: Path, kind: str
) -> None:
    said = json.loads(published_metadata(kind).read_bytes())
    assert said == metadata()[kind], "run python -m desk.records.whole_office.json_schema"
    path = tmp_path / "out.csv"
    {
        "appliances": export_appliances,
        "customers": export_customers,
        "parts": export_parts,
        "visits": export_visits,
    }[kind](office, path)
    headings = next(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
    assert headings == [column["titles"][0] for column in said["tableSchema"]["columns"]]


@pytest.mark.parametrize("columns", [APPLIANCES, PARTS, VISITS], ids=lambda each: each.kind)
def test_no_heading_means_two_columns(columns: Columns) -> None:
    for column in columns.each:
        for heading in (column.field, column.heading, *column.also):
            assert [each.field for each in columns.each if each.is_meant_by(heading)] == [
                column.field
            ], heading


_CELLS = st.one_of(
    st.sampled_from(
        ["A-H0001", "K24-0311", "Mara Quill", "9 Weir Street", "mended", "no_response", "other",
         "2025-03-04T15:00", "2019-04-30", "element_stuck", "Ann Poole", "12.50", "5 gpm", "3"]
    ),
    st.text(max_size=12),
    st.text(alphabet="0123456789-:.,/+TZ ", max_size=12),
)  # fmt: skip


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_whatever_stands_in_a_file_comes_in_or_is_refused(
    office_path: Path, clock: StillClock, tmp_path: Path, data: st.DataObject
) -> None:
    with Office.open(office_path, now=clock) as office:
        if not _in_use(office, Appliance.id):
            take_job(office, clock)
        take_in, columns = data.draw(
            st.sampled_from(
                [(import_appliances, APPLIANCES), (import_parts, PARTS), (import_visits, VISITS)]
            )
        )
        headings = data.draw(st.permutations(columns.headings))
        row = st.lists(_CELLS, min_size=1, max_size=len(headings) + 1)
        rows = data.draw(st.lists(row, max_size=4))
        text = io.StringIO()
        csv.writer(text).writerows([headings, *rows])
        path = tmp_path / "any.csv"
        path.write_bytes(text.getvalue().encode("utf-8", "replace"))
        try:
            done = take_in(office, path)
        except InputError:
            return
        assert done.came_in + done.already_there + len(done.refused) <= len(rows)
        again = take_in(office, path)
        assert (again.came_in, len(again.refused)) == (0, len(done.refused))


def test_a_text_that_is_far_too_long_is_told(catalogue: Take) -> None:
    done = catalogue(f"Number,Name\n{'9' * 3000},Screen\n")
    assert _why(done) == [(2, "Number is longer than 200 characters")]
