"""The sample office of the catalogue: invented visits, and one row of each sort that has a name."""

from __future__ import annotations

import json
import uuid
from datetime import timedelta
from pathlib import Path

from desk.base.pictures import photograph_of
from desk.records.actions import (
    belonging,
    closing,
    counter,
    entering,
    measuring,
    photographs,
    shop,
    stock,
)
from desk.records.actions import visit as on_visit
from desk.records.exchange.parts import import_parts
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.views.drafts import on_call
from desk.records.views.measured import FlowSetup
from desk.trade.diagnosis.walk import Given
from sample_db.build import build
from tests.conftest import StillClock
from tests.photographs import photograph_file
from tests.real.examples import BUILT_AT, DAY
from tests.records.jobs import REASONS

VISITS = 15
PNG = b"\x89PNG\r\n\x1a\n" + b"strokes"


def make_sample_office(place: Path) -> Path:
    """Build it in a new file, and return the file beside it that tells its keys by their words."""
    build(place, visits=VISITS, as_of=DAY)
    clock = StillClock(BUILT_AT)
    with Office.open(place, now=clock) as office:
        keys = _Names(office, clock).all_of_them()
        parts = place.with_suffix(".csv")
        parts.write_text("Number;Name;Price\nI-1;Imported seal;1.20\nI-2;Imported valve;9.80\n")
        assert import_parts(office, parts).came_in == 2
    told = place.with_suffix(".json")
    told.write_text(json.dumps({name: str(key) for name, key in keys.items()}))
    return told


class _Names:
    """Enters one row of each sort, and keeps what the office calls it."""

    def __init__(self, office: Office, clock: StillClock) -> None:
        self._office = office
        self._clock = clock
        self._keys: dict[str, uuid.UUID | str] = {}

    def all_of_them(self) -> dict[str, uuid.UUID | str]:
        for enter in (
            self._shop_and_shelf,
            self._people_and_places,
            self._entered_twice,
            self._visits_waiting,
            self._visit_under_way,
            self._visits_done,
            self._orders,
            self._dangers,
        ):
            enter()
            self._clock.pass_minutes(1)
        return self._keys

    def _shop_and_shelf(self) -> None:
        do, keys = self._office.carry_out, self._keys
        do(shop.MendShop({"charges": "on", "hourly": "96.00", "call_out": "40.00"}))
        do(shop.PutLogo(photograph_file(4, (90, 30))))
        keys["container"] = do(shop.AddContainer("Bucket", "5 gal", "1 gal"))
        keys["part"] = do(entering.AddPart(PartDetails("Z-1003", "Inlet screen", 1235), 20))

    def _people_and_places(self) -> None:
        do, keys = self._office.carry_out, self._keys
        keys["technician"] = do(
            entering.AddPerson(
                PersonDetails("Ann Poole", is_technician=True, may_gas=True, may_electrical=True)
            )
        )
        at = ("9 Weir Street", "Larkmoor", "NY")
        who = CustomerDetails("Mara Quill", *at)
        keys["customer"] = do(entering.AddCustomer(who, phones=("(212) 555-0142",)))
        keys["premises"] = do(entering.AddPremises(keys["customer"], PremisesDetails(*at)))
        keys["appliance"] = do(entering.AddAppliance(keys["premises"], _unit("K24-0311")))
        keys["second_appliance"] = do(entering.AddAppliance(keys["premises"], _unit("K24-0312")))
        opened = self._office.answer(counter.SeeOpened(keys["customer"], keys["premises"]))
        keys["tie"] = opened.ties[0].tie_id

    def _entered_twice(self) -> None:
        do, keys = self._office.carry_out, self._keys
        keys["twin"] = do(
            entering.AddCustomer(CustomerDetails("M. Quill"), phones=("(212) 555-0143",))
        )
        keys["twin_premises"] = do(
            entering.AddPremises(keys["twin"], PremisesDetails("9 Weir St", "Larkmoor", "NY"))
        )
        keys["nobody"] = do(entering.AddCustomer(CustomerDetails("Nobody Yet")))
        joined = do(entering.AddCustomer(CustomerDetails("Marra Quill")))
        do(belonging.JoinCustomers(joined, keys["customer"]))
        self._clock.pass_minutes(1)
        do(belonging.WithdrawCustomer(do(entering.AddCustomer(CustomerDetails("Gone Away")))))
        keys["withdrawing"] = self._office.answer(belonging.SeeWithdrawn())[0].set_id

    def _visits_waiting(self) -> None:
        self._keys["called"] = self._call("slow_to_arrive")
        self._office.set_aside(on_call(self._keys["called"]), {"words": "It takes two minutes"})
        self._keys["booked"] = self._booked("comes_and_goes")

    def _visit_under_way(self) -> None:
        do, keys = self._office.carry_out, self._keys
        keys["begun"] = self._begun("too_little_flow")
        visit = keys["on_site"] = self._begun("no_response")
        for check, answer in {"danger": "none", "flooding": "dry", "allowed": "yes"}.items():
            self._answer(visit, check, answer)
        setup = FlowSetup(container="5 gal", graduation="1 gal")
        do(measuring.FirstFill(visit, "found", setup, "38 s"))
        do(measuring.TakeReading(visit, "fault_code", "4"))
        do(measuring.EnterOnCard(visit, "pressure", "found", {"static": "60 psi"}))
        pictures = tuple(photograph_of(photograph_file(number, (120, 90))) for number in (1, 2))
        do(photographs.AddPhotographs(visit, pictures))
        do(closing.UsePart(visit, number="Z-1003", pieces=2))
        do(closing.AddCharge(visit, "Disposal", "5.00"))
        do(closing.SetCause(visit, cause="sensor_dead"))
        do(closing.WriteDown(visit, REASONS | {"work_done": "Cleaned the screen."}))
        sheet = self._office.answer(on_visit.SeeVisit(visit))
        keys |= {
            "number": sheet.report.number,
            "flow": sheet.flow_ids[0],
            "reading": sheet.reading_ids[0],
            "part_used": sheet.part_ids[0],
            "photograph": sheet.photograph_ids[0],
            "picture": sheet.report.photographs[0].sha256,
            "charge": sheet.charging.further_ids[0],
        }

    def _visits_done(self) -> None:
        do, keys = self._office.carry_out, self._keys
        taken_back = keys["taken_back"] = self._begun("too_cool")
        do(closing.WriteDown(taken_back, {"work_done": "Nothing yet."}))
        do(on_visit.Undo(taken_back))
        for name in ("finished", "signed", "sealed"):
            visit = keys[name] = self._begun("noticed_no_heat")
            do(closing.SetCause(visit, cause="sensor_dead"))
            self._clock.pass_minutes(20)
            do(closing.WriteDown(visit, REASONS))
            do(closing.Finish(visit, "mended"))
        do(closing.Sign(keys["signed"], name="M. Quill", picture=PNG))
        do(closing.Sign(keys["sealed"], absent_reason="Nobody in"))
        do(closing.Seal(keys["sealed"]))
        keys["no_fault"] = self._begun("other")
        do(closing.Finish(keys["no_fault"], "no_fault_found"))

    def _orders(self) -> None:
        do, keys = self._office.carry_out, self._keys
        keys["asked_for"] = do(stock.AskForPart(number="Z-1003", pieces=5))
        keys["ordered"] = do(stock.AskForPart(number="Z-1003", pieces=6))
        lines = self._office.answer(stock.SeeOrders())
        do(stock.OrderPart(next(one for one in lines if one.order_id == keys["ordered"])))

    def _dangers(self) -> None:
        do, keys = self._office.carry_out, self._keys
        keys["in_danger"] = do(
            entering.TakeCall(
                CallDetails("other", "It smells.", caller_name="I. Marsh", danger_reported=True)
            )
        ).visit_id
        for name in ("stopped", "out"):
            visit = keys[name] = self._begun("other")
            self._answer(visit, "danger", "danger")
        do(on_visit.WeAreOut(keys["out"]))

    def _call(self, complaint: str) -> uuid.UUID:
        return self._office.carry_out(
            entering.TakeCall(
                CallDetails(
                    complaint,
                    "Something is wrong.",
                    caller_name="Mara Quill",
                    customer_id=self._keys["customer"],
                    premises_id=self._keys["premises"],
                    appliance_id=self._keys["appliance"],
                )
            )
        ).visit_id

    def _booked(self, complaint: str) -> uuid.UUID:
        visit = self._call(complaint)
        start = self._clock() + timedelta(hours=3)
        self._office.carry_out(counter.Book(visit, start, self._keys["technician"], 60))
        return visit

    def _begun(self, complaint: str) -> uuid.UUID:
        visit = self._booked(complaint)
        self._office.carry_out(on_visit.Arrive(visit))
        return visit

    def _answer(self, visit: uuid.UUID, check: str, answer: str) -> None:
        checklist = self._office.answer(on_visit.SeeVisit(visit)).checklist
        cautions = checklist.check(check).cautions
        self._office.carry_out(
            on_visit.AnswerCheck(visit, check, Given(answer), note="", cautions=cautions)
        )


def _unit(serial: str) -> ApplianceDetails:
    return ApplianceDetails(
        "combination_boiler",
        sensing_kind="reed_float",
        maker="Invented",
        model="Kestle 24",
        serial=serial,
        activation="0.5 gpm",
    )
