"""An example of every look of the door."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from tests.real.examples import DAY, NOW, Keys, look

if TYPE_CHECKING:
    from desk.records.office.office import Office


def _watch(_done: int, _of: int) -> None:
    """Stand for what a window shows of a long look."""


def _phone_of_twin(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import MendCustomer

    return MendCustomer(keys["twin"], add_phone="(212) 555-0177")


@look("belonging.SeeJoin", _phone_of_twin, both=True)
def _see_join(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.belonging import SeeJoin

    return SeeJoin(keys["twin"])


@look("belonging.SeeWithdrawn", "belonging.WithdrawCustomer")
def _see_withdrawn(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.belonging import SeeWithdrawn

    return SeeWithdrawn()


@look("calling.SeeLikely", "entering.AddCustomer", both=True)
def _see_likely(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.calling import SeeLikely
    from desk.records.fields.address_fields import Address
    from desk.records.views.call import CallerDetails

    return SeeLikely(
        CallerDetails("(212) 555-0142", Address("9 Weir Street", "Larkmoor", "NY"), "K24-0311")
    )


@look("calling.SeePlace", "entering.AddAppliance")
def _see_place(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.calling import SeePlace

    return SeePlace(keys["premises"])


@look("calling.SeeJobBefore", "closing.Finish")
def _see_job_before(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.calling import SeeJobBefore

    return SeeJobBefore(keys["appliance"], "no_response", NOW)


@look("counter.Find", "entering.MendCustomer", both=True)
def _find(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.counter import Find

    return Find("Quill Weir")


@look("counter.SeeDay", "counter.Book")
def _see_day(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.counter import SeeDay

    return SeeDay(NOW, is_week=True)


@look("counter.SeeRecord", "entering.MendCustomer")
def _see_record(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import SeeRecord

    return SeeRecord(keys["customer"], keys["premises"])


@look("counter.SeeOpened", "entering.AddAppliance")
def _see_opened(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import SeeOpened

    return SeeOpened(keys["customer"], keys["premises"])


@look("counter.SeeVisits", "entering.TakeCall")
def _see_visits(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import SeeVisits

    return SeeVisits(keys["customer"], keys["premises"], 0)


@look("counter.SeeBooking", "counter.Book")
def _see_booking(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.counter import SeeBooking

    return SeeBooking(NOW + timedelta(hours=1), keys["technician"], 60, complaint="no_response")


@look("documents.SeeApplianceHistory", "entering.MendAppliance", both=True)
def _see_appliance_history(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.documents import SeeApplianceHistory

    return SeeApplianceHistory(keys["appliance"])


@look("documents.SeePartsUsed", "closing.UsePart")
def _see_parts_used(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.documents import SeePartsUsed

    return SeePartsUsed(DAY - timedelta(days=60), DAY)


@look("documents.SeeOfficeCopy", "closing.WriteDown")
def _see_office_copy(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.documents import SeeOfficeCopy

    return SeeOfficeCopy(keys["on_site"])


@look("entering.SeeCall", "entering.MendCall")
def _see_call(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.entering import SeeCall

    return SeeCall(keys["called"])


@look("drafts.SeeHalfTyped", "entering.MendCall")
def _see_half_typed(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.drafts import SeeHalfTyped

    return SeeHalfTyped(f"call/{keys['called']}")


@look("drafts.SeeDrafts", "entering.MendCall")
def _see_drafts(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.drafts import SeeDrafts

    return SeeDrafts(f"call/{keys['called']}")


@look("shop.SeePeople", "entering.AddPerson")
def _see_people(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import SeePeople

    return SeePeople()


@look("stock.SeeParts", "entering.MoveStock")
def _see_parts(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.stock import SeeParts

    return SeeParts()


@look("recurrence.SeeRepeats", "closing.Finish", both=True)
def _see_repeats(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeRepeats

    return SeeRepeats(watch=_watch)


@look("recurrence.SeeVisitsBehind", "closing.Finish")
def _see_visits_behind(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeVisitsBehind
    from desk.records.views.recurrence import RepeatChoice

    return SeeVisitsBehind(RepeatChoice(), watch=_watch)


@look("recurrence.SeeWorthALook", "closing.Finish", both=True, shows=False)
def _see_worth_a_look(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeWorthALook
    from desk.records.views.recurrence import RepeatChoice

    return SeeWorthALook(RepeatChoice(), watch=_watch)


@look("belonging.SeeModel", "entering.MendAppliance")
def _see_model(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.belonging import SeeModel

    return SeeModel("Invented", "Kestle 24")


@look("documents.SeeLabels", "entering.AddAppliance")
def _see_labels(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.documents import SeeLabels

    return SeeLabels(keys["premises"])


@look("documents.SeeDaySheet", "counter.Book")
def _see_day_sheet(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.documents import SeeDaySheet

    return SeeDaySheet(DAY)


@look("stock.SeeOrders", "stock.AskForPart")
def _see_orders(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.stock import SeeOrders

    return SeeOrders()


@look("shop.SeeInUse", "visit.Arrive", shows=False)
def _see_in_use(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import SeeInUse

    return SeeInUse()


@look("shop.SeeTrouble", "visit.Arrive", shows=False)
def _see_trouble(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import SeeTrouble

    return SeeTrouble()


@look("shop.SeeChecklist", "visit.Arrive", shows=False)
def _see_checklist(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import SeeChecklist

    return SeeChecklist("no_response")


@look("photographs.SeePictures", "photographs.TakePhotographOut", both=True, shows=False)
def _see_pictures(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.photographs import SeePictures
    from desk.records.views.report import PhotographLine

    line = PhotographLine(keys.text("picture"), "photograph", "", "", "", NOW)
    return SeePictures((line,))


@look("photographs.SeeSmall", "photographs.TakePhotographOut", shows=False)
def _see_small(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.photographs import SeeSmall

    return SeeSmall((keys.text("picture"),), 80)


@look("documents.SeeReportBatch", "closing.Finish")
def _see_report_batch(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.documents import SeeReportBatch

    return SeeReportBatch(DAY, DAY)


@look("documents.PrintEach", "closing.Finish", shows=False)
def _print_each(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.documents import PrintEach

    printed: list[object] = []
    return PrintEach((keys["sealed"], keys["finished"]), printed.append, _watch)


@look("recurrence.SeeAges", "closing.Finish", shows=False)
def _see_ages(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeAges
    from desk.records.views.recurrence import RepeatChoice

    return SeeAges(RepeatChoice(by="model"), watch=_watch)


@look("recurrence.SeeLives", "closing.Finish", both=True)
def _see_lives(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeLives
    from desk.records.views.recurrence import RepeatChoice

    return SeeLives(RepeatChoice(by="part"), watch=_watch)


@look("recurrence.SeeRepeatsToPrint", "closing.Finish")
def _see_repeats_to_print(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeRepeatsToPrint
    from desk.records.views.recurrence import RepeatChoice

    return SeeRepeatsToPrint(RepeatChoice())


@look("recurrence.SeeMonth", "closing.Finish", shows=False)
def _see_month(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.recurrence import SeeMonth

    return SeeMonth(DAY, watch=_watch)


@look("recurrence.FindVisit", "entering.TakeCall", shows=False)
def _find_visit(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.recurrence import FindVisit

    return FindVisit(keys.text("number"))


@look("shop.SeeShop", "shop.MendShop")
def _see_shop(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.shop import SeeShop

    return SeeShop()


@look("undoing.SeeSteps", "counter.Book", both=True)
def _see_steps(_office: Office, _keys: Keys) -> Any:
    from desk.records.actions.undoing import SeeSteps

    return SeeSteps()


@look("visit.SeeVisit", "visit.AnswerCheck")
def _see_visit(_office: Office, keys: Keys) -> Any:
    from desk.records.actions.visit import SeeVisit

    return SeeVisit(keys["on_site"])
