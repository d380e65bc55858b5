"""An example of every command that the counter and the lists beside it hand in."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.real.examples import DAY, NOW, Keys, at_counter

if TYPE_CHECKING:
    from desk.records.office.office import Office


@at_counter("counter.Book", "counter.SeeDay", both=True)
def _book(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import Book

    return Book(keys["called"], NOW + timedelta(hours=1), keys["technician"], 45)


@at_counter("entering.TakeCall", "counter.SeeDay", both=True)
def _take_call(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import TakeCall
    from desk.records.fields.call_fields import CallDetails

    return TakeCall(
        CallDetails(
            "too_cool",
            "Lukewarm since Monday.",
            customer_id=keys["customer"],
            premises_id=keys["premises"],
            appliance_id=keys["appliance"],
        )
    )


@at_counter("entering.MendCall", "counter.SeeDay")
def _mend_call(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import Slot
    from desk.records.actions.entering import MendCall
    from desk.records.fields.call_fields import CallDetails

    return MendCall(
        keys["called"],
        CallDetails("slow_to_arrive", "Slow now.", caller_name="Mara Quill"),
        slot=Slot(NOW + timedelta(hours=2), keys["technician"]),
        is_all=True,
    )


@at_counter("entering.CallOff", "counter.SeeDay")
def _call_off(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import CallOff

    return CallOff(keys["called"], "It works again.")


@at_counter("entering.WriteDangerOutcome", "counter.SeeDay")
def _write_danger_outcome(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import WriteDangerOutcome

    return WriteDangerOutcome(keys["in_danger"], "A loose cap, closed by the supplier.", "Ann")


def _found(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.counter import Find

    return Find("Wend")


@at_counter("entering.AddCustomer", _found)
def _add_customer(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.entering import AddCustomer
    from desk.records.fields.customer_fields import CustomerDetails

    details = CustomerDetails("Ivo Wend", "2 Sluice Row", "Larkmoor")
    return AddCustomer(details, phones=("(212) 555-0142",), emails=("ivo@example.com",))


@at_counter("entering.MendCustomer", "counter.SeeRecord", both=True)
def _mend_customer(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendCustomer

    return MendCustomer(
        keys["customer"],
        {"name": "Mara Quill-Weir"},
        MendCustomer(keys["customer"], {"name": "Mara Quill"}),
        "(212) 555-0155",
        "mara@example.com",
    )


@at_counter("entering.AddPremises", "counter.SeeRecord")
def _add_premises(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import AddPremises
    from desk.records.fields.premises_fields import PremisesDetails

    return AddPremises(keys["customer"], PremisesDetails("3 Mill Lane", "Larkmoor", "NY"))


@at_counter("entering.MendPremises", "counter.SeeRecord")
def _mend_premises(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendPremises

    return MendPremises(keys["premises"], {"access_note": "Ring twice.", "hardness": "14 gpg"})


@at_counter("entering.AddAppliance", "counter.SeeRecord")
def _add_appliance(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import AddAppliance
    from desk.records.fields.appliance_fields import ApplianceDetails

    return AddAppliance(keys["premises"], ApplianceDetails("storage_heater", maker="Invented"))


@at_counter("entering.MendAppliance", "counter.SeeRecord")
def _mend_appliance(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendAppliance
    from desk.records.fields.appliance_fields import ApplianceDetails

    return MendAppliance(
        keys["appliance"],
        ApplianceDetails(
            "combination_boiler",
            sensing_kind="reed_float",
            maker="Invented",
            model="Kestle 24",
            serial="K24-0311",
            activation="0.6 gpm",
            rated_input="80000 BTU/h",
        ),
    )


@at_counter("entering.AddPerson", "shop.SeePeople")
def _add_person(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.entering import AddPerson
    from desk.records.fields.person_fields import PersonDetails

    return AddPerson(PersonDetails("Ola Reed", is_technician=True))


@at_counter("entering.MendPerson", "shop.SeePeople")
def _mend_person(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendPerson
    from desk.records.fields.person_fields import PersonDetails

    return MendPerson(keys["technician"], PersonDetails("Ann Poole-Reed", is_technician=True))


@at_counter("entering.AddPart", "stock.SeeParts")
def _add_part(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.entering import AddPart
    from desk.records.fields.part_fields import PartDetails

    return AddPart(PartDetails("Z-2000", "Reed switch", 4210), 3)


@at_counter("entering.MendPart", "stock.SeeParts")
def _mend_part(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendPart
    from desk.records.fields.part_fields import PartDetails

    return MendPart(keys["part"], PartDetails("", "Inlet screen, fine", 1300, 2))


@at_counter("entering.MoveStock", "stock.SeeParts")
def _move_stock(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MoveStock

    return MoveStock(keys["part"], 2, keys["technician"])


@at_counter("belonging.JoinCustomers", "counter.SeeRecord", both=True)
def _join_customers(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import JoinCustomers

    return JoinCustomers(keys["twin"], keys["customer"])


@at_counter("belonging.JoinPremises", "counter.SeeRecord")
def _join_premises(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import JoinPremises

    return JoinPremises(keys["twin_premises"], keys["premises"])


@at_counter("belonging.JoinAppliances", "counter.SeeRecord")
def _join_appliances(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import JoinAppliances

    return JoinAppliances(keys["second_appliance"], keys["appliance"])


@at_counter("belonging.WithdrawCustomer", "belonging.SeeWithdrawn")
def _withdraw_customer(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import WithdrawCustomer

    return WithdrawCustomer(keys["nobody"])


@at_counter("belonging.WithdrawPremises", "belonging.SeeWithdrawn")
def _withdraw_premises(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import WithdrawPremises

    return WithdrawPremises(keys["twin_premises"])


@at_counter("belonging.WithdrawAppliance", "belonging.SeeWithdrawn")
def _withdraw_appliance(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import WithdrawAppliance

    return WithdrawAppliance(keys["second_appliance"])


@at_counter("belonging.BringBack", "belonging.SeeWithdrawn", both=True, back="undoing.DoAgain")
def _bring_back(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import BringBack

    return BringBack(keys["withdrawing"])  # a step back already, so that it is done again


@at_counter("belonging.ChangeHands", "counter.SeeOpened")
def _change_hands(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import ChangeHands

    return ChangeHands(
        keys["premises"], "occupant", DAY, None, name="Lea Tarn", phone="(212) 555-0161"
    )


@at_counter("belonging.EndTie", "counter.SeeOpened")
def _end_tie(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import EndTie

    return EndTie(keys["tie"], DAY)


@at_counter("belonging.ReplaceAppliance", "counter.SeeOpened")
def _replace_appliance(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import ReplaceAppliance

    return ReplaceAppliance(keys["second_appliance"], keys["premises"], DAY)


@at_counter("stock.AskForPart", "stock.SeeOrders")
def _ask_for_part(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.stock import AskForPart

    return AskForPart(number="Z-1003", pieces=4)


@at_counter("stock.OrderPart", "stock.SeeOrders")
def _order_part(office: Office, keys: Keys) -> Any:
    from desk.records.actions.stock import OrderPart, SeeOrders

    lines = office.answer(SeeOrders())
    return OrderPart(next(line for line in lines if line.order_id == keys["asked_for"]))


@at_counter("stock.PartCame", "stock.SeeOrders")
def _part_came(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.stock import PartCame

    return PartCame(keys["ordered"])


@at_counter("stock.WithdrawOrder", "stock.SeeOrders")
def _withdraw_order(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.stock import WithdrawOrder

    return WithdrawOrder(keys["asked_for"])


@at_counter("shop.MendShop", "shop.SeeShop")
def _mend_shop(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import MendShop

    return MendShop({"phone": "(212) 555-0199"})


@at_counter("shop.PutLogo", "shop.SeeShop")
def _put_logo(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import PutLogo
    from tests.photographs import photograph_file

    return PutLogo(photograph_file(5, (120, 40)))


@at_counter("shop.TakeLogoOff", "shop.SeeShop")
def _take_logo_off(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import TakeLogoOff

    return TakeLogoOff()


@at_counter("shop.AddContainer", "shop.SeeShop")
def _add_container(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import AddContainer

    return AddContainer("Blue pail", "3 gal", "0.5 gal")


@at_counter("shop.MendContainer", "shop.SeeShop")
def _mend_container(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.shop import MendContainer

    return MendContainer(keys["container"], "Old bucket", "5 gal", "0.5 gal")


@at_counter("shop.WithdrawContainer", "shop.SeeShop")
def _withdraw_container(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.shop import WithdrawContainer

    return WithdrawContainer(keys["container"])


@at_counter("undoing.TakeBack", "stock.SeeParts", both=True, back="undoing.DoAgain")
def _take_back(_office: Office, _keys: Keys) -> Any:
    """Take back the parts that a file brought in: the last that was done in the sample office."""
    from desk.records.actions.undoing import TakeBack

    return TakeBack()


def _first_taken_back(office: Office, _keys: Keys) -> Any:
    from desk.records.actions.stock import SeeParts
    from desk.records.actions.undoing import TakeBack

    office.carry_out(TakeBack())
    return SeeParts()


@at_counter("undoing.DoAgain", _first_taken_back)
def _do_again(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.undoing import DoAgain

    return DoAgain()
