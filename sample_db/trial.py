"""One whole visit, from the call to the sealed report, played through the record functions.

The windows call the same functions. The people and the fault are invented.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.base.errors import InputError
from desk.base.texts import Message, _, message, say
from desk.records.documents import sealing
from desk.records.fields.call_fields import CallDetails
from desk.records.measured import computed, readings
from desk.records.measured.flow_lines import flow_line
from desk.records.measured.taken import taken
from desk.records.office.office import Office
from desk.records.shop.snapshot_lines import letterhead_of
from desk.records.stock import parts
from desk.records.tables import Appliance, Customer, Person, Premises, PremisesLink, Reading, Visit
from desk.records.views.measured import FlowLine, FlowSetup
from desk.records.views.report import SealedReport
from desk.records.visits import checks, editions, lifecycle
from desk.trade.content.model import Check, in_language
from desk.trade.diagnosis.walk import Given
from desk.trade.quantities.typed_quantity import QuantityKind, System, show

ANSWERS = {"draw_one": "not_noticed", "draw_two": "still_not", "element_out": "stuck"}
"""What the technician finds: water enough, and a float that does not lift; all else is well."""

FILLS_FOUND = ("2:04.6", "2:05.3", "2:03.9", "2:05.0")
FILLS_LEFT = ("1:51.2", "1:50.9", "1:51.5", "1:51.1")
CARDS_FOUND: dict[str, dict[str, str]] = {
    "pressure": {"static": "58 psi", "running": "52 psi"},
    "water": {"hardness": "14 gpg"},
}
CARDS_LEFT: dict[str, dict[str, str]] = {
    "pressure": {"static": "58 psi", "running": "53 psi"},
    "heat": {"rated_output": "82000 BTU/h", "smallest_input": "11000 BTU/h"},
}
"""What is entered on the cards; flow and temperatures are taken from what was measured."""

MINUTES_A_CHECK = 2


def answer_to(check: Check, found: Mapping[str, str]) -> str:
    """Return what is answered to a check, which need not be known beforehand.

    Args:
        check: whatever the list asks.
        found: answers by check; every other check gets its first one, where nothing is wrong.
    """
    return found.get(check.id, check.answers[0].id)


class TrialClock:
    """A clock that the played visit moves on."""

    def __init__(self, start: datetime) -> None:
        self.time = start

    def __call__(self) -> datetime:
        """Return the time that was come to."""
        return self.time

    def pass_minutes(self, minutes: float) -> None:
        """Move on."""
        self.time += timedelta(minutes=minutes)


@dataclass(frozen=True, slots=True)
class _Where:
    """Whose appliance the visit is about, and who goes there."""

    appliance: uuid.UUID
    premises: uuid.UUID
    customer: uuid.UUID
    technician: uuid.UUID


def play(office: Office, clock: TrialClock, tell: Callable[[str], None]) -> SealedReport:
    """Play the visit in a sample office and return its sealed report.

    Args:
        office: a sample office, opened with ``clock``.
        clock: moved on as the work goes.
        tell: given one line a step.

    Raises:
        InputError: the office has no appliance with a reed switch and a float.
    """
    with office.read() as session:
        where = _where(session)
        caller = session.get_one(Customer, where.customer).name
    with office.unit_of_work(message("Call taken")) as session:
        visit = lifecycle.take_call(
            session,
            CallDetails(
                "no_response",
                "No hot water at any tap since last night; the heater does nothing.",
                caller_name=caller,
                customer_id=where.customer,
                premises_id=where.premises,
                appliance_id=where.appliance,
            ),
        )
        number = session.get_one(Visit, visit).number
    tell(_("{number}: {caller} calls about no hot water; no danger reported.",
           number=number, caller=caller))  # fmt: skip
    clock.pass_minutes(3)
    with office.unit_of_work(message("Visit booked")) as session:
        lifecycle.book(session, visit, start=clock() + timedelta(minutes=20),
                    technician_id=where.technician)  # fmt: skip
        technician = session.get_one(Person, where.technician).name
    tell(_("{number}: booked for {technician}.", number=number, technician=technician))
    clock.pass_minutes(20)
    with office.unit_of_work(message("Arrived"), person_id=where.technician) as session:
        lifecycle.arrive(session, visit)
        lifecycle.write_down(session, visit, allowed_by=caller)
    tell(_("{number}: {technician} arrives and works through the checklist.",
           number=number, technician=technician))  # fmt: skip
    _Work(office, clock, tell, visit, where.technician).from_first_check_to_last()
    return _close(office, clock, tell, visit, where)


def _where(session: Session) -> _Where:
    """Find an appliance with a float, whose place has an owner or occupant, and a technician."""
    found = session.execute(
        sa.select(Appliance.id, Premises.id, PremisesLink.customer_id)
        .join(Premises, Premises.id == Appliance.premises_id)
        .join(PremisesLink, PremisesLink.premises_id == Premises.id)
        .where(
            Appliance.kind == "combination_boiler",
            Appliance.sensing_kind == "reed_float",
            Appliance.replaced_by_id.is_(None),
            Appliance.withdrawn_at.is_(None),
            PremisesLink.until.is_(None),
        )
        .order_by(Appliance.number, PremisesLink.id)
    ).first()
    technician = session.scalars(
        sa.select(Person.id)
        .where(Person.is_technician, Person.may_gas, Person.may_electrical)
        .order_by(Person.id)
    ).first()
    if found is None or technician is None:
        raise InputError(message("This office is too small to play a visit in."))
    return _Where(found[0], found[1], found[2], technician)


@dataclass(frozen=True, slots=True)
class _Work:
    """The work on site, check by check."""

    office: Office
    clock: TrialClock
    tell: Callable[[str], None]
    visit: uuid.UUID
    technician: uuid.UUID

    def from_first_check_to_last(self) -> None:
        """Answer every check that the list comes to, and measure where it asks for it."""
        with self.office.read() as session:
            row = session.get_one(Visit, self.visit)
            checklist = editions.checklist_of(session, row)
            walked = checks.standing(session, row)
        while walked.next is not None:
            check = checklist.check(walked.next)
            if check.id == "timed_flow":
                self._measure("found", FILLS_FOUND)
                self._enter("found", CARDS_FOUND)
            if check.id == "prove_flow":
                self._repair()
                self._measure("left", FILLS_LEFT)
                self._enter("left", CARDS_LEFT)
            self.clock.pass_minutes(MINUTES_A_CHECK)
            answer = answer_to(check, ANSWERS)
            with self.office.unit_of_work(
                message("Check answered"), person_id=self.technician
            ) as session:
                for caution in check.cautions:
                    lifecycle.acknowledge(session, self.visit, caution)
                walked = checks.record_answer(session, self.visit, check.id, Given(answer)).walk
            self.tell(f"  {in_language(check.title)} {in_language(check.answer(answer).text)}.")

    def _measure(self, moment: str, fills: tuple[str, ...]) -> None:
        """Time a bucket at the kitchen tap."""
        with self.office.unit_of_work(
            message("Flow measured"), person_id=self.technician
        ) as session:
            reading = readings.start_flow(
                session,
                self.visit,
                moment,
                FlowSetup(
                    container="2 gal",
                    graduation="0.1 gal",
                    outlet=say(message("Kitchen tap, full hot")),
                    full_hot=True,
                    no_mixing_valve=True,
                    crossing_passed=True,
                    others_shut=True,
                ),
                check_id="timed_flow" if moment == "found" else "prove_flow",
            )
            for typed in fills:
                readings.add_fill(session, reading, typed)
            line = flow_line(
                taken(session, session.get_one(Reading, reading)), letterhead_of(session).system
            )
        self.tell("  " + _flow_sentence(line))

    def _enter(self, moment: str, cards: Mapping[str, Mapping[str, str]]) -> None:
        """Enter what is read for the computed measurements."""
        for kind, typed in cards.items():
            with self.office.unit_of_work(
                message("Reading kept"), person_id=self.technician
            ) as session:
                computed.enter(session, self.visit, kind, moment, typed)

    def _repair(self) -> None:
        """Write down the cause, the work, a part and the temperatures."""
        with self.office.unit_of_work(
            message("Repair recorded"), person_id=self.technician
        ) as session:
            lifecycle.set_cause(session, self.visit, cause="element_stuck")
            lifecycle.write_down(session, self.visit, work_done=say(_WORK), advice=say(_ADVICE),
                              left_state="on")  # fmt: skip
            parts.use_part(session, self.visit, name=say(message("Inlet screen")),
                           reason=say(message("the old one was torn")))  # fmt: skip
            for kind, typed in (("inlet_temperature", "52 F"), ("outlet_temperature", "119 F"),
                                ("tap_temperature", "117 F"), ("co_in_room", "0 ppm")):  # fmt: skip
                readings.take_reading(session, self.visit, kind, typed, moment="left")
        self.tell("  " + say(_WORK))


_WORK: Message = message(
    "Took the float out, cleaned it and its seat, fitted a new inlet screen, refitted the clip."
)
_ADVICE: Message = message(
    "Scale and grit held the float. Have the inlet screen looked at once a year."
)


def _flow_sentence(line: FlowLine) -> str:
    """Say a flow, its limits and its verdict."""
    flow, wide = line.flow_m3_per_s or 0.0, line.expanded_uncertainty_m3_per_s or 0.0
    return _(
        "{fills} fills: {flow}, between {low} and {high}. {verdict}",
        fills=len(line.fills),
        flow=show(flow, QuantityKind.VOLUME_RATE, System.US),
        low=show(flow - wide, QuantityKind.VOLUME_RATE, System.US),
        high=show(flow + wide, QuantityKind.VOLUME_RATE, System.US),
        verdict=line.verdict_text or "",
    )


def _close(
    office: Office,
    clock: TrialClock,
    tell: Callable[[str], None],
    visit: uuid.UUID,
    where: _Where,
) -> SealedReport:
    """Finish, have it signed, and seal it."""
    clock.pass_minutes(4)
    with office.unit_of_work(message("Visit finished"), person_id=where.technician) as session:
        lifecycle.finish(session, visit, "mended")
        name = session.get_one(Customer, where.customer).name
        sealing.sign(session, visit, name=name)
    tell(_("Finished, mended; {name} signs.", name=name))
    with office.unit_of_work(message("Report sealed"), person_id=where.technician) as session:
        sealed = sealing.seal(session, visit, person_id=where.technician)
    tell(
        _(
            "Sealed as revision {revision}; record fingerprint {fingerprint}…",
            revision=sealed.report.revision,
            fingerprint=sealed.fingerprint[:16],
        )
    )
    return sealed
