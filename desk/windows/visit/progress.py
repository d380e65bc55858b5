"""How far each stage is, read from the sheet: a word with a shape, never a colour alone."""

from __future__ import annotations

from enum import StrEnum

from desk.base.texts import Message, _, message, say
from desk.paper.kit.id_words import STAGES as STAGE_WORDS
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import AFTER_THE_WORK, BEFORE_THE_REPAIR

STAGES: tuple[tuple[str, Message], ...] = tuple(STAGE_WORDS.items())


class Progress(StrEnum):
    """How far a stage is."""

    EMPTY = "empty"
    BEGUN = "begun"
    DONE = "done"


SHAPES = {Progress.EMPTY: "○", Progress.BEGUN: "◐", Progress.DONE: "●"}
WORDS = {
    Progress.EMPTY: message("not begun"),
    Progress.BEGUN: message("begun"),
    Progress.DONE: message("done"),
}


def words_of(sheet: VisitSheet, far: dict[str, Progress]) -> dict[str, str]:
    """Return in a word what is in each stage of a visit.

    Args:
        sheet: the visit.
        far: how far each stage of it is (:func:`progress_of`).
    """
    words = {name: say(WORDS[one]) for name, one in far.items()}
    if far["arrive"] is Progress.BEGUN:
        words["arrive"] = _("at the door")
    goes_on = sheet.walk is not None and far["check"] is not Progress.DONE
    if goes_on and sheet.report.state == "under_way":
        words["check"] = _("{minutes} min left", minutes=f"{sheet.minutes_to_end:.0f}")
    if sheet.report.state in {"finished", "sealed"}:
        words["sign"] = _("sealed") if sheet.report.state == "sealed" else _("finished")
    return words


def progress_of(sheet: VisitSheet) -> dict[str, Progress]:
    """Return how far each stage of a visit is."""
    return {
        "arrive": _arrive(sheet),
        "check": _check(sheet),
        "measure": _measure(sheet),
        "repair": _repair(sheet),
        "prove": _prove(sheet),
        "sign": _sign(sheet),
    }


def _arrive(sheet: VisitSheet) -> Progress:
    if sheet.walk is None or sheet.checklist is None:
        return Progress.EMPTY
    following = sheet.walk.next
    waits = following is not None and sheet.checklist.check(following).stage == "arrive"
    return Progress.BEGUN if waits else Progress.DONE


def _check(sheet: VisitSheet) -> Progress:
    if sheet.walk is None or sheet.checklist is None:
        return Progress.EMPTY
    list_ = sheet.checklist
    answered = [
        step for step in sheet.walk.path if list_.check(step.check).stage in BEFORE_THE_REPAIR
    ]
    following = sheet.walk.next
    if following is None or list_.check(following).stage in AFTER_THE_WORK:
        return Progress.DONE
    return Progress.BEGUN if answered or sheet.walk.ahead else Progress.EMPTY


def _measure(sheet: VisitSheet) -> Progress:
    flows = [flow for flow in sheet.report.flows if flow.when == "found"]
    readings = [reading for reading in sheet.report.readings if reading.when == "found"]
    if flows and all(flow.flow_m3_per_s is not None for flow in flows):
        return Progress.DONE
    return Progress.BEGUN if flows or readings else Progress.EMPTY


def _repair(sheet: VisitSheet) -> Progress:
    report = sheet.report
    if report.cause and report.work_done:
        return Progress.DONE
    begun = report.cause or report.work_done or report.parts or report.referred_to
    return Progress.BEGUN if begun else Progress.EMPTY


def _prove(sheet: VisitSheet) -> Progress:
    report = sheet.report
    flow = any(one.when == "left" and one.flow_m3_per_s is not None for one in report.flows)
    heat = any(
        one.when == "left" and one.kind in ("tap_temperature", "outlet_temperature")
        for one in report.readings
    )
    ended = sheet.walk is not None and sheet.walk.ending is not None
    if (flow and heat) or (ended and sheet.walk is not None and len(sheet.walk.path) > 1):
        return Progress.DONE
    begun = flow or heat or any(check.stage == "prove" for check in report.checks)
    return Progress.BEGUN if begun else Progress.EMPTY


def _sign(sheet: VisitSheet) -> Progress:
    if sheet.report.state == "sealed":
        return Progress.DONE
    begun = sheet.report.signature is not None or sheet.report.state == "finished"
    return Progress.BEGUN if begun else Progress.EMPTY
