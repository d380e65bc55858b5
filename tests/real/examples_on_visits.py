"""An example of every command that a visit's sheet hands in."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from tests.real.examples import DAY, Keys, on_visit

if TYPE_CHECKING:
    from desk.records.office.office import Office


@on_visit("visit.Arrive", "booked")
def _arrive(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import Arrive

    return Arrive(visit, technician_id=keys["technician"])


@on_visit("visit.Acknowledge", "begun")
def _acknowledge(office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import Acknowledge, SeeVisit

    checklist = office.answer(SeeVisit(visit)).checklist
    assert checklist is not None
    return Acknowledge(visit, tuple(checklist.cautions)[:2])


@on_visit("visit.ReadOfRules", "begun", back=False)
def _read_of_rules(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import ReadOfRules

    return ReadOfRules(visit)


@on_visit("visit.AnswerCheck", both=True)
def _answer_check(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import AnswerCheck
    from desk.trade.diagnosis.walk import Given

    return AnswerCheck(
        visit,
        "old_materials",
        Given("none"),
        note="Nothing lagged.",
        cautions=("old_installation",),
    )


@on_visit("visit.NoteCheck")
def _note_check(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import NoteCheck

    return NoteCheck(visit, "flooding", "Dry behind the cabinet too.")


@on_visit("measuring.SayCircumstances")
def _say_circumstances(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import SayCircumstances

    return SayCircumstances(visit, keys["flow"], frozenset({"full_hot"}))


@on_visit("measuring.KeepFill")
def _keep_fill(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import KeepFill

    return KeepFill(visit, keys["flow"], "39 s")


@on_visit("measuring.FirstFill")
def _first_fill(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import FirstFill
    from desk.records.views.measured import FlowSetup

    return FirstFill(visit, "left", FlowSetup(container="5 gal", graduation="1 gal"), "37 s")


@on_visit("measuring.StrikeFill")
def _strike_fill(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import StrikeFill

    return StrikeFill(visit, keys["flow"], 1, "The bucket slipped.")


@on_visit("measuring.TakeReading")
def _take_reading(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import TakeReading

    return TakeReading(visit, "fault_code", "7", moment="left", instrument="Display")


@on_visit("measuring.EnterOnCard")
def _enter_on_card(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import EnterOnCard

    return EnterOnCard(visit, "pressure", "left", {"static": "58 psi", "running": "52 psi"})


@on_visit("measuring.DescribeReading")
def _describe_reading(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import DescribeReading
    from desk.records.views.measured import TakenWith

    return DescribeReading(visit, keys["reading"], TakenWith("Gauge 4", DAY, "Read twice"))


@on_visit("measuring.WithdrawReading")
def _withdraw_reading(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.measuring import WithdrawReading

    return WithdrawReading(visit, keys["reading"])


@on_visit("closing.SetCause")
def _set_cause(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import SetCause

    return SetCause(visit, cause="element_stuck", words="The float hung.")


@on_visit("closing.WriteDown")
def _write_down(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import WriteDown

    return WriteDown(visit, {"work_done": "Cleaned the screen twice.", "left_state": "on"})


@on_visit("closing.OrderForVisit")
def _order_for_visit(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import OrderForVisit

    return OrderForVisit(visit, number="Z-1003", pieces=2)


@on_visit("closing.UsePart")
def _use_part(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import UsePart

    return UsePart(visit, number="Z-1003", pieces=1, new_serial="S-2", reason="worn")


@on_visit("closing.TakePartOut")
def _take_part_out(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import TakePartOut

    return TakePartOut(visit, keys["part_used"])


@on_visit("closing.Finish")
def _finish(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import Finish

    return Finish(visit, "mended")


@on_visit("closing.TakeUpAgain", "finished")
def _take_up_again(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import TakeUpAgain

    return TakeUpAgain(visit)


@on_visit("closing.AskForSecondLook", "no_fault", back=False)
def _ask_for_second_look(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import AskForSecondLook

    return AskForSecondLook(visit)


@on_visit("closing.Sign", "finished")
def _sign(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import Sign

    return Sign(visit, name="M. Quill", picture=b"\x89PNG\r\n\x1a\n" + b"strokes")


@on_visit("closing.Seal", "signed", both=True, back=False)
def _seal(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import Seal

    return Seal(visit)


@on_visit("closing.Amend", "sealed", back=False)
def _amend(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import Amend

    return Amend(visit, "A reading was left out.")


@on_visit("visit.Undo", both=True, back=False)
def _undo(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import Undo

    return Undo(visit)


@on_visit("visit.Redo", "taken_back")
def _redo(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import Redo

    return Redo(visit)


@on_visit("closing.SmallJob", "booked")
def _small_job(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import SmallJob
    from desk.records.views.measured import FlowSetup

    return SmallJob(
        visit,
        cause="element_stuck",
        words="The float hung.",
        work_done="Cleaned the screen.",
        left_state="on",
        ending="mended",
        setup=FlowSetup(container="5 gal", graduation="1 gal"),
        fills=("38 s", "39 s"),
        technician_id=keys["technician"],
        proof={"tap_temperature": "117 F", "leak_test": "dry"},
        reasons={"unproven_co_in_room": "electric", "unproven_relief_valve": "out of reach"},
    )


@on_visit("closing.ChargeVisit")
def _charge_visit(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import ChargeVisit

    return ChargeVisit(visit, is_charged=False)


@on_visit("closing.ChangeCharging")
def _change_charging(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import ChangeCharging

    return ChangeCharging(visit, {"minutes": "45", "call_out": "yes"})


@on_visit("closing.PricePart")
def _price_part(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import PricePart

    return PricePart(visit, keys["part_used"], "14.00")


@on_visit("closing.AddCharge")
def _add_charge(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import AddCharge

    return AddCharge(visit, "Parking", "3.00", is_taxed=False)


@on_visit("closing.TakeChargeOff")
def _take_charge_off(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.closing import TakeChargeOff

    return TakeChargeOff(visit, keys["charge"])


@on_visit("photographs.AddPhotographs", both=True)
def _add_photographs(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.base.pictures import photograph_of
    from desk.records.actions.photographs import AddPhotographs
    from desk.records.views.visit_sheet import Shows
    from tests.photographs import photograph_file

    taken = photograph_of(photograph_file(3, (120, 90)))
    return AddPhotographs(visit, (taken,), Shows("nameplate"))


@on_visit("photographs.DescribePhotograph")
def _describe_photograph(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.photographs import DescribePhotograph
    from desk.records.views.visit_sheet import Shows

    return DescribePhotograph(visit, keys["photograph"], Shows("found"), "The screen")


@on_visit("photographs.MovePhotograph")
def _move_photograph(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.photographs import MovePhotograph

    return MovePhotograph(visit, keys["photograph"], 1)


@on_visit("photographs.TakePhotographOut")
def _take_photograph_out(_office: Office, keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.photographs import TakePhotographOut

    return TakePhotographOut(visit, keys["photograph"])


@on_visit("visit.WeAreOut", "stopped")
def _we_are_out(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import WeAreOut

    return WeAreOut(visit)


@on_visit("visit.PressedByMistake", "stopped")
def _pressed_by_mistake(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import PressedByMistake

    return PressedByMistake(visit, "Leant on the keys.")


@on_visit("visit.SayDangerFound", "out")
def _say_danger_found(_office: Office, _keys: Keys, visit: uuid.UUID) -> Any:
    from desk.records.actions.visit import SayDangerFound

    return SayDangerFound(visit, "gas")
