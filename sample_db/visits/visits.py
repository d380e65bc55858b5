"""The life of one visit: called, booked, begun, checked, finished; or called off."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from desk.base.texts import message
from desk.records.tables import Appliance, Base, Visit
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from sample_db.kit.chance import happens
from sample_db.kit.diary import DiaryEntry
from sample_db.kit.store import Row
from sample_db.town import makers, workdays
from sample_db.town.estate import Unit
from sample_db.town.founding import Colleague
from sample_db.town.workdays import in_hours, local_day
from sample_db.visits import phrases
from sample_db.visits.findings import Findings
from sample_db.visits.scene import Scene
from sample_db.visits.troubles import GAS_WORK, Trouble
from sample_db.visits.walks import NO_FAULT, Aim
from sample_db.visits.writing_up import WritingUp

BOOKED_MINUTES = 90
PACE = (35.0, 105.0)
"""Shortest and longest minutes that the checks of a visit take."""
_CALLED_OFF_SHARE = 0.04
_CALLED_TWICE_SHARE = 0.02
_LONGEST_ORDER = 14
_OLD_DAYS = 11 * 365
_PAST_REPAIR = frozenset(
    {"exchanger_blocked", "exchanger_scaled", "control_input_dead", "dip_tube_broken"}
)


class Life:
    """One visit; its rows are held together until it is over, and put as one."""

    def __init__(
        self,
        scene: Scene,
        unit: Unit,
        trouble: Trouble,
        *,
        continues: Row | None = None,
        pace: tuple[float, float] = PACE,
    ) -> None:
        self._scene = scene
        self._unit = unit
        self._trouble = trouble
        self._pace = pace
        self._held: list[tuple[type[Base], Row]] = []
        self._technician: Colleague | None = None
        self._findings: Findings | None = None
        self.row = self._call(continues)
        unit.open_jobs += 1
        scene.calls.made += 1
        scene.under_hand[self.row["id"]] = self

    def _call(self, continues: Row | None) -> Row:
        scene, home = self._scene, self._unit.household
        rng = scene.rng
        what = message("Visit continued") if continues else message("Call taken")
        entry = scene.diary.entry(what, rng.choice(scene.office).key)
        complaint = self._trouble.complaint
        said = phrases.SAID[complaint]
        if complaint and self._unit.troubles and happens(rng, 0.5):
            said = rng.choice(phrases.SAID_AGAIN)
        return entry.new(
            Visit,
            number=f"A-{scene.calls.made + 1:05d}",
            customer_id=home.customer_id,
            premises_id=home.premises_id,
            appliance_id=self._unit.key,
            continues_id=continues["id"] if continues else None,
            caller_name=home.caller_name,
            caller_phone=home.caller_phone,
            complaint=complaint,
            complaint_words=said if continues is None else phrases.ORDERED,
            danger_reported=self._trouble.ending == "left" and happens(rng, 0.4),
            received_at=scene.diary.now,
        )

    def book(self, day: date) -> None:
        """Book the visit for the next free time from a day on."""
        found, minute, technician = self._scene.rota.find(day, BOOKED_MINUTES)
        self.book_for(workdays.at(found, minute), technician)

    def book_for(self, start: datetime, technician: Colleague) -> None:
        """Book the visit for a time and a technician, and see to what comes of it."""
        scene, rng = self._scene, self._scene.rng
        self._technician = technician
        entry = scene.diary.entry(message("Visit booked"), rng.choice(scene.office).key)
        self._alter(
            entry,
            booked_for=start,
            booked_minutes=BOOKED_MINUTES,
            technician_id=technician.key,
            state="booked",
        )
        wait = start - scene.diary.now
        before = max(scene.diary.now, in_hours(start - wait * rng.uniform(0.1, 0.6), start))
        if not self._trouble.certain and not self.row["continues_id"]:
            if happens(rng, _CALLED_OFF_SHARE):
                scene.agenda.at(before, self._call_off)
                return
            if happens(rng, _CALLED_TWICE_SHARE):
                scene.agenda.at(before, self._called_again)
        scene.agenda.at(start + timedelta(minutes=rng.randint(0, 12)), self._arrive)

    def _called_again(self) -> None:
        """Take a second call about the same, received before the first one is finished."""
        scene = self._scene
        if not scene.calls.promise():
            return
        second = Life(scene, self._unit, self._trouble.but(cause=NO_FAULT, ending=NO_FAULT))
        if happens(scene.rng, 0.5):
            second._call_off(phrases.CALLED_TWICE)
        else:
            second.book(local_day(self.row["booked_for"]) + timedelta(days=1))

    def _call_off(self, reason: str = "") -> None:
        scene = self._scene
        entry = scene.diary.entry(message("Visit called off"), scene.rng.choice(scene.office).key)
        self._alter(
            entry,
            state="called_off",
            called_off_reason=reason or scene.rng.choice(phrases.CALLED_OFF),
        )
        self._over()

    def _arrive(self) -> None:
        """Begin the work: draw what will be found, and when."""
        scene, unit, trouble = self._scene, self._unit, self._trouble
        technician = self._booked()
        if (
            trouble.cause in GAS_WORK
            and trouble.ending == "mended"
            and not (technician.staff.may_gas)
        ):
            trouble = trouble.but(ending="referred", returns_in=None)
        today = local_day(scene.diary.now)
        trouble = self._trouble = scene.stories.told(unit, trouble, today)
        if self._is_past_repair(today):
            trouble = self._trouble = trouble.but(replaces=True, returns_in=None)
        worked = scene.lists.worked_for(trouble.complaint)
        entry = scene.diary.entry(message("Work begun"), technician.key)
        self._alter(
            entry,
            checklist=worked.checklist.id,
            edition_id=worked.edition_id,
            started_at=scene.diary.now,
            owes_proof=bool(trouble.complaint),
            state="under_way",
        )
        aim = Aim(trouble.cause, trouble.ending, unit.known_sensing, unit.model.sensing_kind)
        walked = worked.walks.draw(aim)
        self._findings = Findings(worked.walks.rng, walked, scene.diary.now, pace=self._pace)
        scene.agenda.at(self._findings.half_time, self._check)
        scene.agenda.at(self._findings.over, self._finish)

    def _is_past_repair(self, today: date) -> bool:
        trouble, unit = self._trouble, self._unit
        return (
            trouble.cause in _PAST_REPAIR
            and trouble.ending == "mended"
            and bool(trouble.complaint)
            and (today - unit.installed).days > _OLD_DAYS
            and happens(self._scene.rng, 0.5)
        )

    def _check(self) -> None:
        """Write down the first half of the checks, and what was measured as found."""
        entry = self._scene.diary.entry(message("Checks answered"), self._booked().key)
        self._write(entry, first_half=True)

    def _finish(self) -> None:
        """Write down the rest, end the visit, and see to what follows from it."""
        scene, trouble, unit = self._scene, self._trouble, self._unit
        technician = self._booked()
        last = self._findings.last_answer if self._findings is not None else ""
        up = WritingUp(scene, unit, trouble, self.row, technician, last_answer=last)
        up.get_parts()
        entry = scene.diary.entry(message("Visit finished"), technician.key)
        self._write(entry, first_half=False)
        self._held += up.rows(entry)
        self._alter(entry, **up.fields())
        if trouble.replaces:
            self._replace(entry)
        self._over()
        self._follow_up()

    def _write(self, entry: DiaryEntry, *, first_half: bool) -> None:
        findings, unit = self._findings, self._unit
        if findings is None:
            raise AssertionError("checked before begun")
        visit_id, technician_id = self.row["id"], self._booked().key
        self._held += findings.answers(entry, visit_id, technician_id, first_half=first_half)
        if self._trouble.ending != "left":
            moment = "found" if first_half else "left"
            self._held += findings.readings(entry, visit_id, unit, self._trouble, moment)
        sensing = findings.sensing_found(first_half=first_half)
        if sensing and unit.known_sensing == NOT_KNOWN:
            entry.note("appliance", unit.key, "sensing_kind", NOT_KNOWN, sensing)
            self._scene.diary.store.change(Appliance, unit.key, {"sensing_kind": sensing})
            unit.known_sensing = sensing

    def _replace(self, entry: DiaryEntry) -> None:
        scene, old = self._scene, self._unit
        same_kind = [model for model in makers.MODELS if model.kind == old.model.kind]
        new = scene.newcomers.install(
            entry,
            old.household,
            scene.rng.choice(same_kind),
            local_day(scene.diary.now),
            new=True,
        )
        entry.note("appliance", old.key, "replaced_by_id", None, new.key)
        scene.diary.store.change(Appliance, old.key, {"replaced_by_id": new.key})
        scene.estate.replace(old, new)

    def _follow_up(self) -> None:
        """Expect what will come back, or book the visit that finishes this one."""
        scene, trouble, unit = self._scene, self._trouble, self._unit
        if trouble.cause:
            unit.count(trouble.cause)
        unit.has_screen = unit.has_screen or trouble.fits_screen
        today = local_day(scene.diary.now)
        if trouble.ending == "to_continue" and scene.calls.promise_to_finish(
            is_certain=trouble.certain
        ):
            mended = trouble.but(ending="mended")
            onward = Life(scene, unit, mended, continues=self.row)
            days = _LONGEST_ORDER if trouble.certain else scene.rng.randint(3, _LONGEST_ORDER)
            onward.book(today + timedelta(days=days))
        elif trouble.returns_in is not None and trouble.complaint:
            day = today + timedelta(days=trouble.returns_in)
            scene.calls.expect(day, unit, self._what_returns())

    def _what_returns(self) -> Trouble:
        trouble, scene = self._trouble, self._scene
        if trouble.next is not None:
            return trouble.next
        if trouble.certain:
            return trouble.but(returns_in=None, fits_screen=False)
        again = trouble.cause != NO_FAULT and happens(scene.rng, 0.85)
        cause = trouble.cause if again else ""
        return scene.troubles.draw(self._unit, cause, trouble.complaint)

    def _booked(self) -> Colleague:
        if self._technician is None:
            raise AssertionError("begun before booked")
        return self._technician

    def _alter(self, entry: DiaryEntry, **changes: object) -> None:
        entry.alter("visit", self.row, **changes)

    def _over(self) -> None:
        self._unit.open_jobs -= 1
        del self._scene.under_hand[self.row["id"]]
        self.put()

    def put(self) -> None:
        """Hand all rows of the visit to the store."""
        store = self._scene.diary.store
        store.put(Visit, self.row)
        for table, row in self._held:
            store.put(table, row)
