"""The shop's own page: what it says of itself, and the values it goes by."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from desk.base.errors import InputError
from desk.base.texts import message
from desk.records.actions.shop import (
    AddContainer,
    MendContainer,
    MendShop,
    PutLogo,
    SeeShop,
    TakeLogoOff,
    WithdrawContainer,
)
from desk.records.documents.report_snapshot import report_of
from desk.records.measured import readings
from desk.records.office.office import Office
from desk.records.shop.charging_settings import read_tax, tax_typed
from desk.records.tables import Appliance, Visit
from desk.records.views.measured import FlowSetup
from tests.conftest import StillClock
from tests.records.jobs import Job, begin_job


@pytest.fixture
def job(office: Office, clock: StillClock) -> Job:
    return begin_job(office, clock)


def picture(size: tuple[int, int] = (1200, 300), kind: str = "PNG") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "navy").save(out, kind)
    return out.getvalue()


def test_what_the_shop_says_of_itself_is_kept_as_typed(office: Office) -> None:
    office.carry_out(
        MendShop(
            {
                "name": "Quarry Lane Heating ",
                "street": "14 Quarry Lane",
                "licence": "TS-0099",
                "currency": "CAD",
                "tax_name": "HST",
                "tax": "13%",
                "paper": "a4",
                "usual_activation": "0.6 gpm",
                "ceiling": "115F",
            }
        )
    )
    seen = office.answer(SeeShop())
    assert (seen.name, seen.street, seen.licence) == (
        "Quarry Lane Heating",
        "14 Quarry Lane",
        "TS-0099",
    )
    assert (seen.currency, seen.tax_name, seen.tax, seen.paper) == ("CAD", "HST", "13 %", "a4")
    assert (seen.usual_activation, seen.timing, seen.ceiling) == ("0.6 gpm", "", "115F")


def test_how_the_shop_charges_is_off_until_it_says_so(office: Office) -> None:
    seen = office.answer(SeeShop())
    assert (seen.charges, seen.hourly, seen.step, seen.call_out) == ("off", "", "1", "")
    typed = {
        "charges": "on",
        "hourly": "96",
        "step": "15 min",
        "call_out": "$49.00",
        "tax_name": "GST",
        "tax": "5",
        "second_tax_name": "QST",
        "second_tax": "9,975 %",
        "prices_with_tax": "with",
        "labour_taxed": "no",
        "tax_on_each_line": "line",
    }
    office.carry_out(MendShop(typed))
    kept = typed | {"hourly": "96.00", "step": "15", "call_out": "49.00", "tax": "5 %"}
    kept |= {"second_tax": "9.975 %"}
    seen = office.answer(SeeShop())
    assert {key: getattr(seen, key) for key in kept} == kept


def test_charges_need_a_currency_that_has_hundredths(office: Office) -> None:
    office.carry_out(MendShop({"currency": "JPY"}))
    with pytest.raises(InputError, match="JPY") as refused:
        office.carry_out(MendShop({"charges": "on"}))
    assert refused.value.field == "charges"
    office.carry_out(MendShop({"currency": "USD", "charges": "on"}))
    with pytest.raises(InputError, match="KWD") as refused:
        office.carry_out(MendShop({"currency": "KWD"}))
    assert refused.value.field == "currency"


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("name", "  "),
        ("system", "metric"),
        ("paper", "a3"),
        ("currency", "dollars"),
        ("zone", "Moon/Base"),
        ("tax", "a lot"),
        ("tax", "-1"),
        ("tax", "100"),
        ("tax", "nan"),
        ("tax", "8.87512"),
        ("second_tax", "some"),
        ("hourly", "a lot"),
        ("call_out", "-1"),
        ("step", "0"),
        ("step", "241"),
        ("step", "a quarter"),
        ("charges", "maybe"),
        ("labour_taxed", ""),
        ("usual_activation", "0 gpm"),
        ("usual_activation", "5 gal"),
        ("timing", "-1 s"),
        ("ceiling", "180 F"),
        ("ceiling", "20 C"),
        ("owner", "me"),
    ],
)
def test_what_cannot_be_meant_is_refused_where_it_was_typed(
    office: Office, field: str, typed: str
) -> None:
    before = office.answer(SeeShop())
    with pytest.raises(InputError) as refused:
        office.carry_out(MendShop({"phone": "555-0100", field: typed}))
    assert refused.value.field == field
    assert office.answer(SeeShop()) == before


@given(millionths=st.integers(0, 999_999))
def test_a_tax_reads_back_as_it_was_typed(millionths: int) -> None:
    assert read_tax(tax_typed(millionths), "tax") == millionths


def test_the_logo_is_made_small_and_told_on_the_letterhead(office: Office, job: Job) -> None:
    office.carry_out(PutLogo(picture(kind="JPEG")))
    office.carry_out(PutLogo(picture()))
    kept = office.answer(SeeShop()).logo
    assert Image.open(io.BytesIO(kept)).size == (900, 225)
    with office.read() as session:
        assert report_of(session, session.get_one(Visit, job.visit)).letterhead.logo == kept
    office.carry_out(TakeLogoOff())
    assert office.answer(SeeShop()).logo == b""


def test_the_office_goes_by_its_new_zone_at_once(office: Office) -> None:
    assert office.zone == "America/New_York"
    office.carry_out(MendShop({"zone": "America/Denver"}))
    assert office.zone == "America/Denver"


def test_where_a_picture_was_taken_is_not_kept(office: Office) -> None:
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "42.0 north"
    Image.new("RGB", (40, 20), "navy").save(out, "JPEG", exif=exif)
    office.carry_out(PutLogo(out.getvalue()))
    kept = office.answer(SeeShop()).logo
    assert b"42.0 north" in out.getvalue()
    assert b"42.0 north" not in kept
    assert not Image.open(io.BytesIO(kept)).getexif()


@pytest.mark.parametrize("content", [b"", b"no picture", picture()[:60], picture(kind="GIF")])
def test_what_is_no_picture_is_refused(office: Office, content: bytes) -> None:
    with pytest.raises(InputError) as refused:
        office.carry_out(PutLogo(content))
    assert refused.value.field == "logo"


def test_containers_are_entered_mended_and_withdrawn(office: Office) -> None:
    bucket = office.carry_out(AddContainer("Blue bucket", "5 gal", "0.5 gal"))
    office.carry_out(AddContainer("Jug", "2 L"))
    office.carry_out(MendContainer(bucket, "Blue bucket", "4.9 gal", ""))
    cards = office.answer(SeeShop()).containers
    assert [(one.name, one.volume, one.graduation) for one in cards] == [
        ("Blue bucket", "4.9 gal", ""),
        ("Jug", "2 L", ""),
    ]
    office.carry_out(WithdrawContainer(bucket))
    assert [one.name for one in office.answer(SeeShop()).containers] == ["Jug"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (("", "5 gal", ""), "name"),
        (("Bucket", "", ""), "volume"),
        (("Bucket", "five", ""), "volume"),
        (("Bucket", "0 gal", ""), "volume"),
        (("Bucket", "5 gal", "5 gal"), "graduation"),
        (("Bucket", "5 gal", "wide"), "graduation"),
    ],
)
def test_a_container_that_measures_nothing_is_refused(
    office: Office, typed: tuple[str, str, str], field: str
) -> None:
    with pytest.raises(InputError) as refused:
        office.carry_out(AddContainer(*typed))
    assert refused.value.field == field


def test_a_flow_goes_by_what_the_shop_goes_by(office: Office, job: Job) -> None:
    office.carry_out(MendShop({"usual_activation": "0.6 gpm", "timing": "0.5 s"}))
    with office.unit_of_work(message("Flow begun")) as session:
        assert session.get_one(Appliance, job.appliance).activation_typed
        session.get_one(Appliance, job.appliance).activation_typed = ""
        reading = readings.start_flow(session, job.visit, "found", FlowSetup(container="5 gal"))
        readings.add_fill(session, reading, "38.2 s")
        (flow,) = report_of(session, session.get_one(Visit, job.visit)).flows
    assert (flow.activation_typed, flow.timing_typed) == ("0.6 gpm", "0.5 s")


def test_the_tap_is_judged_by_the_ceiling_of_the_shop(office: Office, job: Job) -> None:
    with office.unit_of_work(message("Tap read")) as session:
        readings.take_reading(session, job.visit, "tap_temperature", "115 F", moment="left")
    assert _tap(office, job) == "yes"
    office.carry_out(MendShop({"ceiling": "105 F"}))
    assert _tap(office, job) == "no"


def _tap(office: Office, job: Job) -> str:
    with office.read() as session:
        (line,) = report_of(session, session.get_one(Visit, job.visit)).readings
    return line.safe
