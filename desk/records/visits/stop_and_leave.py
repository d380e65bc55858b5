"""Stop and leave on a visit: it holds until everybody is out, or it was pressed by mistake."""

from __future__ import annotations

import uuid

from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message, say
from desk.records.journal.row_access import open_visit
from desk.records.shop.settings import the_shop
from desk.records.tables import Visit
from desk.records.views.visit_sheet import Stop
from desk.records.visits.checks import Answered, mark_superseded, stopped_at
from desk.records.visits.editions import checklist_of
from desk.records.visits.lifecycle import finish
from desk.trade.diagnosis.stop_and_leave import FINDINGS, finding_of, kind_of
from desk.trade.diagnosis.walk import Walk


def stop_of(session: Session, visit: Visit, walked: Walk | None) -> Stop | None:
    """Return what holds where the list of a visit ended with stop and leave; None elsewhere.

    Args:
        session: reading.
        visit: the visit.
        walked: where it stands in its list; None where it has none.
    """
    if walked is None or walked.ending != "left":
        return None
    check, answer = walked.path[-1].check, walked.path[-1].answer
    asked = checklist_of(session, visit).check(check)
    shop = the_shop(session)
    return Stop(
        holds=visit.state == "under_way",
        kind=kind_of(asked),
        found=visit.danger_found or finding_of(asked, answer),
        emergency=shop.emergency_phone,
        gas_supplier=shop.gas_supplier_phone,
        shop=shop.phone,
    )


def found_words(stop: Stop) -> str:
    """Return what made everybody leave, in the shop's language."""
    return say(FINDINGS[stop.found])


def stopped_for(stop: Stop) -> str:
    """Return "flooding" where water alone made everybody leave; "" where more did."""
    is_water = stop.found == "water" or (stop.found, stop.kind) == ("not_sure", "flooding")
    return "flooding" if is_water else ""


def we_are_out(session: Session, visit_id: uuid.UUID) -> None:
    """End a visit as stop and leave: everybody is outside.

    Raises:
        RuleError: nothing on the visit says stop and leave.
    """
    visit = open_visit(session, visit_id)
    _holding(session, visit)
    finish(session, visit_id, "left")


def pressed_by_mistake(session: Session, visit_id: uuid.UUID, reason: str) -> None:
    """Go back from stop and leave: the answer that ended the list was a slip of the hand.

    The answer stays, with the reason beside it, and stands on the report; the check is open again.

    Args:
        session: of a unit of work.
        visit_id: a visit whose list ended with stop and leave.
        reason: in words; it stands on the report.

    Raises:
        InputError: no reason was given.
        RuleError: nothing on the visit says stop and leave, or it is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    answered = _holding(session, visit)
    if not reason.strip():
        raise InputError(message("Write why it was pressed by mistake."), field="mistake")
    answered.standing[len(answered.walk.path) - 1].mistake = reason.strip()
    session.flush()  # what stands now is read back
    mark_superseded(session, visit)


def say_found(session: Session, visit_id: uuid.UUID, found: str) -> None:
    """Say what made everybody leave, once they are out.

    Args:
        session: of a unit of work.
        visit_id: a visit that may still be changed.
        found: one of :data:`FINDINGS`; it replaces what was said before.

    Raises:
        InputError: it is not one of `desk.trade.diagnosis.stop_and_leave.FINDINGS`.
        RuleError: the visit is sealed or called off.
    """
    if found not in FINDINGS:
        raise InputError(message("Choose what was found."), field="danger_found")
    open_visit(session, visit_id).danger_found = found


def _holding(session: Session, visit: Visit) -> Answered:
    answered = stopped_at(session, visit)
    if answered is None:
        raise RuleError(
            message("Nothing on visit {number} says stop and leave.", number=visit.number)
        )
    return answered
