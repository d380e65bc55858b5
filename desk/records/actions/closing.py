"""What the visit sheet hands in to close a visit: cause, work, charges, signing and sealing."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence

from sqlalchemy.orm import Session

from desk.base.texts import message
from desk.records.actions.visit import visit_command
from desk.records.documents import sealing
from desk.records.journal import drafts
from desk.records.journal.row_access import open_visit
from desk.records.measured import readings
from desk.records.shop import visit_charges
from desk.records.stock import orders, parts
from desk.records.views.drafts import SIGNATURE, SMALL_JOB, on_visit
from desk.records.views.measured import FlowSetup
from desk.records.visits import checks, lifecycle
from desk.records.visits.follow_up import ask_for_second_look


def _write_down(session: Session, visit_id: uuid.UUID, texts: Mapping[str, str]) -> None:
    """Write fields of the visit: any of `desk.records.views.visit_sheet.WRITTEN_DOWN`."""
    lifecycle.write_down(session, visit_id, **texts)


def _order(
    session: Session, visit_id: uuid.UUID, *, number: str = "", name: str = "", pieces: int = 1
) -> None:
    """Ask for a part that the visit has to wait for."""
    visit_id = open_visit(session, visit_id).id
    orders.ask_for_part(session, number=number, name=name, pieces=pieces, visit_id=visit_id)


def _finish(session: Session, visit_id: uuid.UUID, ending: str) -> None:
    """End the work on site; from stop and leave another command leads."""
    checks.refuse_while_stopped(session, open_visit(session, visit_id))
    lifecycle.finish(session, visit_id, ending)


def _sign(
    session: Session,
    visit_id: uuid.UUID,
    *,
    name: str = "",
    picture: bytes = b"",
    absent_reason: str = "",
) -> None:
    """Take the customer's signature, or why there is none."""
    sealing.sign(session, visit_id, name=name, picture=picture, absent_reason=absent_reason)
    drafts.settle(session, on_visit(visit_id), SIGNATURE)


def _small_job(
    session: Session,
    visit_id: uuid.UUID,
    *,
    cause: str,
    words: str,
    work_done: str,
    left_state: str,
    ending: str,
    setup: FlowSetup | None = None,
    fills: Sequence[str] = (),
    technician_id: uuid.UUID | None = None,
    proof: Mapping[str, str] | None = None,
    reasons: Mapping[str, str] | None = None,
) -> None:
    """Do it the one-minute way: cause, work, the flow after, its proof and the ending at once.

    ``setup`` and ``fills`` are empty where no flow was measured. ``proof`` holds readings by kind,
    ``reasons`` why something is not proven, by the visit's column; empty ones are left out.
    """
    if lifecycle.is_waiting(session, visit_id):
        lifecycle.arrive(session, visit_id, technician_id=technician_id)
    checks.refuse_while_stopped(session, open_visit(session, visit_id))
    lifecycle.set_cause(session, visit_id, cause=cause, words=words)
    lifecycle.write_down(
        session, visit_id, work_done=work_done, left_state=left_state, **(reasons or {})
    )
    for kind, typed in (proof or {}).items():
        if typed.strip():
            readings.take_reading(session, visit_id, kind, typed, moment="left")
    if setup is not None and fills:
        reading = readings.start_flow(session, visit_id, "left", setup)
        for typed in fills:
            readings.add_fill(session, reading, typed)
    session.flush()  # what was read just now proves it
    lifecycle.finish(session, visit_id, ending)
    drafts.settle(session, on_visit(visit_id), SMALL_JOB)


SetCause = visit_command(message("Cause written"), lifecycle.set_cause)
WriteDown = visit_command(message("Visit written"), _write_down)
OrderForVisit = visit_command(message("Part asked for by the visit"), _order)
UsePart = visit_command(message("Part fitted"), parts.use_part)
TakePartOut = visit_command(message("Part taken off the record"), parts.withdraw_used)
Finish = visit_command(message("Visit finished"), _finish)
TakeUpAgain = visit_command(message("Visit taken up again"), lifecycle.take_up_again)
AskForSecondLook = visit_command(message("Second look asked for"), ask_for_second_look)
Sign = visit_command(message("Signed"), _sign)
Seal = visit_command(message("Report sealed"), sealing.seal)
Amend = visit_command(message("Amendment begun"), sealing.amend)
SmallJob = visit_command(message("Small job written"), _small_job)
ChargeVisit = visit_command(message("Charging changed"), visit_charges.charge)
ChangeCharging = visit_command(message("Charging changed"), visit_charges.change_charging)
PricePart = visit_command(message("Part priced"), visit_charges.price_part)
AddCharge = visit_command(message("Charge added"), visit_charges.add_further)
TakeChargeOff = visit_command(message("Charge taken off"), visit_charges.withdraw_further)
