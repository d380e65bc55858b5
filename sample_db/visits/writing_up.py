"""What is written when a visit ends: cause, work, parts, advice, signature."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

from desk.records.tables import Base, PartUsed, Signature, StockMovement
from sample_db.kit.chance import happens
from sample_db.kit.diary import DiaryEntry
from sample_db.kit.store import Row
from sample_db.town.estate import Unit
from sample_db.town.founding import Colleague
from sample_db.town.stockroom import INLET_SCREEN, part_for
from sample_db.town.workdays import local_day
from sample_db.visits import phrases
from sample_db.visits.scene import Scene
from sample_db.visits.troubles import GAS_WORK, Trouble
from sample_db.visits.walks import NO_FAULT

_CLEANED_AS_WELL = frozenset(
    {"supply_strainer_blocked", "inlet_screen_blocked", "element_stuck", "outlet_restricted"}
)
"""Causes that are mostly mended by cleaning, now and then with a part."""
_LEFT_STATES = {
    "mended": ("on",),
    "no_fault_found": ("on",),
    "to_continue": ("off",),  # something may drip there
    "referred": ("off", "tagged"),
    "left": ("tagged", ""),
}


class WritingUp:
    """The end of one visit."""

    def __init__(
        self,
        scene: Scene,
        unit: Unit,
        trouble: Trouble,
        visit: Row,
        technician: Colleague,
        *,
        last_answer: str = "",
    ) -> None:
        self._scene = scene
        self._unit = unit
        self._trouble = trouble
        self._visit = visit
        self._technician = technician
        self._last_answer = last_answer
        self._parts = self._chosen_parts()

    def _chosen_parts(self) -> list[str]:
        trouble = self._trouble
        if trouble.ending != "mended" or trouble.replaces:
            return []
        usual = trouble.part or part_for(trouble.cause, self._unit.model.sensing_kind)
        if trouble.cause in _CLEANED_AS_WELL and happens(self._scene.rng, 0.6):
            usual = ""
        return [part for part in (usual, INLET_SCREEN if trouble.fits_screen else "") if part]

    def get_parts(self) -> None:
        """See that the parts are in the van, before the visit is written up."""
        for number in self._parts:
            self._scene.stock.make_ready(number, self._technician.key)

    def rows(self, entry: DiaryEntry) -> Iterator[tuple[type[Base], Row]]:
        """Give the rows of parts fitted and of the signature."""
        visit_id: uuid.UUID = self._visit["id"]
        for number in self._parts:
            stock = self._scene.stock
            part_id, name = stock.part(number)
            yield StockMovement, stock.use(entry, number, self._technician.key, visit_id)
            yield (
                PartUsed,
                entry.new(
                    PartUsed,
                    visit_id=visit_id,
                    part_id=part_id,
                    number=number,
                    name=name,
                    reason=self._trouble.cause.replace("_", " "),
                    kept_for_claim=self._in_warranty() and happens(self._scene.rng, 0.5),
                ),
            )
        yield Signature, self._signature(entry, visit_id)

    def _signature(self, entry: DiaryEntry, visit_id: uuid.UUID) -> Row:
        rng, now = self._scene.rng, self._scene.diary.now
        left = self._trouble.ending == "left"
        if left or happens(rng, 0.12):
            absent = phrases.ABSENT_IN_DANGER if left else rng.choice(phrases.ABSENT)
            return entry.new(Signature, visit_id=visit_id, absent_reason=absent, signed_at=now)
        name = self._unit.household.caller_name
        return entry.new(Signature, visit_id=visit_id, name=name, signed_at=now)

    def _in_warranty(self) -> bool:
        return (local_day(self._scene.diary.now) - self._unit.installed).days < 5 * 365

    def fields(self) -> Row:
        """Return the visit's fields as they stand at its end."""
        scene, trouble, rng = self._scene, self._trouble, self._scene.rng
        ending = trouble.ending
        zone = scene.troubles.zone_of(trouble.cause)
        mended_gas = ending == "mended" and trouble.cause in GAS_WORK
        return {
            "state": "finished",
            "ending": ending,
            "finished_at": scene.diary.now,
            "allowed_by": "" if ending == "left" else self._unit.household.caller_name,
            "cause": "" if self._serviced else trouble.cause,
            "second_cause": self._second_cause(),
            "work_done": self._work_done(),
            "advice": self._advice(zone),
            "advice_refused": phrases.REFUSED if happens(rng, 0.02) else "",
            "next_step": self._next_step(),
            "referred_to": rng.choice(phrases.REFERRED_TO) if ending == "referred" else "",
            "left_state": rng.choice(_LEFT_STATES[ending]),
            "permit": f"EP-{rng.randrange(1000, 10000)}" if mended_gas else "",
            "internal_note": "Charge as agreed." if happens(rng, 0.1) else "",
        }

    @property
    def _serviced(self) -> bool:
        """Whether this is a planned service on which nothing was worn: it needs no cause."""
        return not self._trouble.complaint and self._trouble.cause == NO_FAULT

    def _second_cause(self) -> str:
        trouble = self._trouble
        twofold = trouble.cause == "element_stuck" and trouble.ending == "mended"
        return "inlet_screen_blocked" if twofold and happens(self._scene.rng, 0.2) else ""

    def _work_done(self) -> str:
        trouble, rng = self._trouble, self._scene.rng
        if trouble.ending == "left":
            return rng.choice(phrases.LEFT[self._last_answer])
        done = phrases.WORK_DONE[trouble.cause]
        if trouble.ending in {"to_continue", "referred"}:
            first = phrases.TO_CONTINUE if trouble.ending == "to_continue" else phrases.REFERRED
            return first + phrases.SUSPECTED.format(cause=trouble.cause.replace("_", " "))
        if trouble.replaces:
            return phrases.REPLACED.strip()
        if not trouble.complaint:
            return phrases.SERVICE + ("Nothing worn." if self._serviced else done)
        screen = phrases.SCREEN_FITTED if trouble.fits_screen else ""
        return rng.choice(phrases.OPENINGS) + done + screen + rng.choice(phrases.CLOSINGS)

    def _advice(self, zone: str) -> str:
        if self._trouble.ending == "left":
            return ""
        usual = phrases.ADVICE[zone]
        return f"{usual} {phrases.ADVICE_SCALD}" if happens(self._scene.rng, 0.3) else usual

    def _next_step(self) -> str:
        return {
            "to_continue": phrases.ORDERED,
            "no_fault_found": phrases.SECOND_LOOK if self._trouble.complaint else "",
            "left": phrases.AFTER_LEAVING,
        }.get(self._trouble.ending, "")
