"""A visit from the call to its ending: one function an act, each within a transaction given."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import datetime

from sqlalchemy.orm import Session

from desk.base.errors import InputError, RuleError
from desk.base.texts import message
from desk.records.fields.call_fields import CallDetails
from desk.records.journal.field_values import change, details_of, enter
from desk.records.journal.journal import keep, unit_of_work
from desk.records.journal.row_access import (
    change_fields,
    open_visit,
    row_of,
    sensible_time,
    standing,
)
from desk.records.learning.content_in_use import in_use
from desk.records.planning.reported_danger import is_open, refuse_while_open
from desk.records.planning.visit_lengths import length_to_book
from desk.records.tables import Acknowledgement, Appliance, Customer, Person, Premises, Visit
from desk.records.tables.visits import ENDINGS, LEFT_STATES
from desk.records.views.day import WAITING
from desk.records.views.visit_sheet import WRITTEN_DOWN
from desk.records.visits.editions import acknowledged, checklist_of, keep_edition
from desk.trade.reference.complaints import COMPLAINTS, PLANNED_SERVICE

LONGEST_TEXT = 20_000


def take_call(session: Session, call: CallDetails) -> uuid.UUID:
    """Write down a new call and give it the number it keeps for ever.

    Raises:
        InputError: the complaint is not a kind we know, or something named is not there.
    """
    call = _of_what_stands(session, call)
    work = unit_of_work(session)
    work.device.visits_made += 1
    number = f"{work.device.prefix}-{work.device.visits_made:05d}"
    return enter(session, Visit, call, number=number, received_at=work.now()).id


def change_call(session: Session, visit_id: uuid.UUID, call: CallDetails) -> None:
    """Change what was heard on the phone, as long as nobody has set out.

    Args:
        session: of a unit of work.
        visit_id: a visit that has not begun.
        call: what was heard; all of it is replaced.

    Raises:
        InputError: as :func:`take_call`, or there is no such visit.
        RuleError: the visit has begun already, or is called off; or a danger that is open would
            be unsaid.
    """
    visit = _not_begun(session, visit_id)
    if is_open(visit) and not call.danger_reported:
        refuse_while_open(visit)
    change(session, CallDetails, visit, _of_what_stands(session, call))


def call_of(session: Session, visit_id: uuid.UUID) -> CallDetails:
    """Return what was heard on the phone.

    Raises:
        InputError: there is no such visit.
    """
    return details_of(CallDetails, row_of(session, Visit, visit_id))


def _not_begun(session: Session, visit_id: uuid.UUID) -> Visit:
    """Return a visit for which nobody has set out."""
    visit = open_visit(session, visit_id)
    if visit.state not in WAITING:
        raise RuleError(message("Visit {number} has begun already.", number=visit.number))
    return visit


def _of_what_stands(session: Session, call: CallDetails) -> CallDetails:
    """Return a call that names rows in use; what was joined meanwhile leads to what stays."""
    if call.complaint not in COMPLAINTS:
        raise InputError(
            message("{complaint} is no kind of complaint.", complaint=call.complaint),
            field="complaint",
        )
    customer = standing(session, Customer, call.customer_id) if call.customer_id else None
    premises = standing(session, Premises, call.premises_id) if call.premises_id else None
    appliance = standing(session, Appliance, call.appliance_id) if call.appliance_id else None
    if call.continues_id:
        row_of(session, Visit, call.continues_id)
    if premises and appliance and appliance.premises_id != premises.id:
        raise InputError(
            message("Appliance {number} is not at these premises.", number=appliance.number),
            field="appliance",
        )
    return replace(
        call,
        customer_id=customer.id if customer else None,
        premises_id=premises.id if premises else None,
        appliance_id=appliance.id if appliance else None,
    )


def book(
    session: Session,
    visit_id: uuid.UUID,
    *,
    start: datetime,
    technician_id: uuid.UUID,
    minutes: int | None = None,
) -> None:
    """Give a visit its time and its technician, or move it.

    Args:
        session: of a unit of work.
        visit_id: a visit that has not begun.
        start: aware.
        technician_id: who goes.
        minutes: how long, 5 to 1,440; None keeps the length that it has, or gives the usual one.

    Raises:
        InputError: time or length cannot be meant, or the person is no technician.
        RuleError: the visit has begun already, or is sealed or called off; or a danger is open.
    """
    visit = _not_begun(session, visit_id)
    refuse_while_open(visit)
    person = row_of(session, Person, technician_id)
    if not person.is_technician:
        raise InputError(message("{name} is no technician.", name=person.name), field="technician")
    if minutes is None:
        minutes = length_to_book(session, visit)
    if not 5 <= minutes <= 24 * 60:  # noqa: PLR2004 - said in the sentence
        raise InputError(message("Type a length from 5 minutes to a day."), field="minutes")
    visit.booked_for = sensible_time(start, unit_of_work(session).now(), field="start")
    visit.booked_minutes = minutes
    visit.technician_id = technician_id
    visit.state = "booked"


def call_off(session: Session, visit_id: uuid.UUID, reason: str) -> None:
    """Call a visit off before it has begun.

    Args:
        session: of a unit of work.
        visit_id: a visit that has not begun.
        reason: in words.

    Raises:
        InputError: no reason was given.
        RuleError: the visit has begun already, or a danger is open.
    """
    visit = _not_begun(session, visit_id)
    refuse_while_open(visit)
    if not reason.strip():
        raise InputError(message("Say why the visit is called off."), field="reason")
    visit.state = "called_off"
    visit.called_off_reason = reason.strip()


def arrive(
    session: Session,
    visit_id: uuid.UUID,
    *,
    technician_id: uuid.UUID | None = None,
    checklist_id: str = "",
) -> None:
    """Begin the work: the visit is under way and keeps the edition of the checklist it uses.

    Where the shop charges on reports, it is charged by the rule of today.

    Args:
        session: of a unit of work.
        visit_id: a visit that has not begun.
        technician_id: who does the work, where that was not settled when it was booked.
        checklist_id: the list to work by; the one for the visit's complaint unless given.

    Raises:
        InputError: there is no such checklist or technician.
        RuleError: the visit has begun already, is sealed or called off, or has no technician; or
            a danger is open.
    """
    visit = _not_begun(session, visit_id)
    refuse_while_open(visit)
    if technician_id is not None:
        visit.technician_id = row_of(session, Person, technician_id).id
    if visit.technician_id is None:
        raise RuleError(message("Say which technician is on visit {number}.", number=visit.number))
    used = in_use(session)
    checklist_id = checklist_id or used.content.checklist_for(visit.complaint).id
    if checklist_id not in used.content.checklists:
        raise InputError(
            message("There is no checklist {checklist}.", checklist=checklist_id),
            field="checklist",
        )
    visit.checklist = checklist_id
    visit.edition_id = keep_edition(
        session, used.content.checklists[checklist_id], used.edition(checklist_id)
    )
    visit.started_at = unit_of_work(session).now()
    visit.owes_proof = visit.complaint != PLANNED_SERVICE
    visit.state = "under_way"
    from desk.records.shop.visit_charges import begin_charging  # the counter stands without it

    begin_charging(session, visit)


def is_waiting(session: Session, visit_id: uuid.UUID) -> bool:
    """Return whether a visit has not begun yet.

    Raises:
        InputError, RuleError: there is no such visit, or it cannot be worked on.
    """
    return open_visit(session, visit_id).state in WAITING


def acknowledge(
    session: Session, visit_id: uuid.UUID, caution: str, *, person_id: uuid.UUID | None = None
) -> None:
    """Record that somebody read a caution, once a visit; its wording is kept from then on.

    Args:
        session: of a unit of work.
        visit_id: a visit that may still be changed.
        caution: its id.
        person_id: who read it; the visit's technician unless given.

    Raises:
        InputError: the visit's checklist has no such caution.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    checklist = checklist_of(session, visit)
    if caution not in checklist.cautions:
        raise InputError(message("There is no caution {caution}.", caution=caution))
    if caution in acknowledged(session, visit.id):
        return
    if visit.state == "under_way" and not checklist.binding:
        visit.edition_id = keep_edition(session, checklist, checklist.edition)
    keep(
        session,
        Acknowledgement(
            visit_id=visit.id,
            caution=caution,
            person_id=person_id or visit.technician_id,
            at=unit_of_work(session).now(),
        ),
    )


def write_down(session: Session, visit_id: uuid.UUID, **texts: str) -> None:
    """Write what was done, advised, left or still has to be done.

    Args:
        session: of a unit of work.
        visit_id: the visit.
        texts: any of :data:`WRITTEN_DOWN`.

    Raises:
        InputError: a field is not one of them, a text is far too long, or ``left_state`` is not
            one of ``on``, ``off`` and ``tagged``.
    """
    visit = open_visit(session, visit_id)
    for name, text in texts.items():
        if len(text) > LONGEST_TEXT:
            raise InputError(
                message("At most {most} characters fit here.", most=LONGEST_TEXT), field=name
            )
    if texts.get("left_state", "") not in LEFT_STATES:
        raise InputError(
            message("Say whether the appliance was left on, off or tagged."), field="left_state"
        )
    change_fields(visit, texts, allowed=WRITTEN_DOWN)


def set_cause(
    session: Session,
    visit_id: uuid.UUID,
    *,
    cause: str = "",
    words: str = "",
    second_cause: str = "",
    second_words: str = "",
) -> None:
    """Say what was wrong: a cause of the catalogue, the technician's own words, or two faults.

    Args:
        session: of a unit of work.
        visit_id: a visit that may still be changed.
        cause: its id; "" for none of the catalogue.
        words: the technician's own.
        second_cause: id of a second fault; "" for none of the catalogue.
        second_words: the technician's own for that.

    Raises:
        InputError: a cause is not in the catalogue of the visit's checklist.
        RuleError: the visit is sealed or called off.
    """
    visit = open_visit(session, visit_id)
    known = checklist_of(session, visit).causes
    for name, given in (("cause", cause), ("second_cause", second_cause)):
        if given and given not in known:
            raise InputError(message("There is no cause {cause}.", cause=given), field=name)
    visit.cause = cause
    visit.cause_words = words.strip()
    visit.second_cause = second_cause
    visit.second_cause_words = second_words.strip()


def finish(session: Session, visit_id: uuid.UUID, ending: str) -> None:
    """End the work on site.

    With a clock that was set back since the arrival it ends at the time of that.

    Args:
        session: of a unit of work.
        visit_id: the visit, under way.
        ending: ``mended``, ``to_continue``, ``no_fault_found``, ``referred`` or ``left``.

    Raises:
        InputError: the ending is none of these, or a referral does not say to whom.
        RuleError: the visit is not under way, was mended without a cause or without its proof, or
            leaves something dangerous standing (:mod:`desk.records.visits.proof`); a planned
            service may have found nothing to mend.
    """
    visit = open_visit(session, visit_id)
    if ending not in ENDINGS or not ending:
        raise InputError(message("{ending} is no ending.", ending=ending), field="ending")
    if visit.state != "under_way":
        raise RuleError(message("Visit {number} is not under way.", number=visit.number))
    planned = visit.complaint == PLANNED_SERVICE
    if ending == "mended" and not planned and not (visit.cause or visit.cause_words):
        raise RuleError(
            message("Say what was wrong before visit {number} ends.", number=visit.number)
        )
    from desk.records.visits.proof import (
        need_safe_end,  # it reads the checks, which stand on visits
    )

    need_safe_end(session, visit, ending)
    if ending == "referred" and not visit.referred_to:
        raise InputError(message("Say to whom the work is referred."), field="referred_to")
    visit.ending = ending
    now = unit_of_work(session).now()
    visit.finished_at = max(now, visit.started_at or now)  # its times never run backwards
    visit.state = "finished"


def take_up_again(session: Session, visit_id: uuid.UUID) -> None:
    """Go on with a visit that was finished too soon and is not sealed.

    Raises:
        RuleError: the visit is not finished.
    """
    visit = open_visit(session, visit_id)
    if visit.state != "finished":
        raise RuleError(message("Visit {number} is not finished.", number=visit.number))
    visit.state = "under_way"
    visit.ending = ""
    visit.finished_at = None
