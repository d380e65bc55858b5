"""What is found on a visit: answers along the walk with their times, cautions and readings."""

from __future__ import annotations

import random
import uuid
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from desk.records.tables import Acknowledgement, Base, CheckResult, Reading
from desk.trade.content.model import COULD_NOT, Answer
from desk.trade.readings.reading_kinds import FLOW
from sample_db.kit.chance import happens
from sample_db.kit.diary import DiaryEntry
from sample_db.kit.store import Row
from sample_db.town.estate import Unit
from sample_db.visits import measures, phrases
from sample_db.visits.measures import Measured
from sample_db.visits.troubles import Trouble
from sample_db.visits.walks import NO_FAULT, Taken

_SLIP_SHARE = 0.05
_BY_SUGGESTION_SHARE = 0.1
_MOST_READINGS = 4
_RESTRICTED = frozenset(
    {
        "outlet_restricted",
        "low_demand",
        "service_valve_closed",
        "supply_strainer_blocked",
        "inlet_screen_blocked",
        "supply_pressure_low",
        "treatment_blocked",
        "check_valve_stuck",
        "flow_control_stuck",
        "well_supply_fault",
        "exchanger_blocked",
        "set_too_hot_mixing",
    }
)
"""Causes that make the flow at a tap small."""
_USUAL_ACTIVATION = "0.5 gpm"


class Findings:
    """A walk with the time of each answer; the first half is written down before the second."""

    def __init__(
        self, rng: random.Random, walked: list[Taken], start: datetime, *, pace: tuple[float, float]
    ) -> None:
        self._rng = rng
        self._walked = walked
        takes = [taken.check.minutes * rng.uniform(0.5, 0.9) for taken in walked]
        minutes = sum(takes) or 1.0
        scale = min(max(minutes, pace[0]), pace[1]) / minutes
        self._times = [
            start + timedelta(seconds=round(60 * scale * sum(takes[: n + 1])))
            for n in range(len(takes))
        ]
        self._half = (len(walked) + 1) // 2
        self.last_answer = walked[-1].answer if walked else ""
        self._acknowledged: set[str] = set()
        last = self._times[-1] if self._times else start
        self.half_time = self._times[self._half - 1] if self._times else start
        self.over = last + timedelta(minutes=rng.randint(3, 9))

    def _part(self, *, first_half: bool) -> list[tuple[Taken, datetime]]:
        whole = list(zip(self._walked, self._times, strict=True))
        return whole[: self._half] if first_half else whole[self._half :]

    def answers(
        self, entry: DiaryEntry, visit_id: uuid.UUID, technician_id: uuid.UUID, *, first_half: bool
    ) -> Iterator[tuple[type[Base], Row]]:
        """Give the rows of one half's answers, each after the serious cautions of its check."""
        rng = self._rng
        part = self._part(first_half=first_half)
        slip = rng.randrange(len(part)) if part and happens(rng, _SLIP_SHARE) else -1
        for n, (taken, when) in enumerate(part):
            for caution in self._cautions(taken):
                yield (
                    Acknowledgement,
                    entry.new(
                        Acknowledgement,
                        visit_id=visit_id,
                        caution=caution,
                        person_id=technician_id,
                        at=when,
                    ),
                )
            if n == slip and len(taken.check.answers) > 1:
                other = [each.id for each in taken.check.answers if each.id != taken.answer]
                wrong = self._answer(entry, visit_id, Taken(taken.check, other[0]), when)
                entry.alter("check_result", wrong, superseded=True)
                yield CheckResult, wrong
            yield CheckResult, self._answer(entry, visit_id, taken, when)

    def _cautions(self, taken: Taken) -> Iterator[str]:
        for caution in taken.cautions:
            if caution not in self._acknowledged:
                self._acknowledged.add(caution)
                yield caution

    def _answer(self, entry: DiaryEntry, visit_id: uuid.UUID, taken: Taken, when: datetime) -> Row:
        rng = self._rng
        could_not = taken.answer == COULD_NOT
        return entry.new(
            CheckResult,
            visit_id=visit_id,
            check_id=taken.check.id,
            answer=taken.answer,
            reason=rng.choice(phrases.NOT_CHECKED) if could_not else "",
            note="" if could_not else rng.choice(phrases.NOTES),
            by_suggestion=happens(rng, _BY_SUGGESTION_SHARE),
            answered_at=when,
        )

    def sensing_found(self, *, first_half: bool) -> str | None:
        """Return the sensing kind that one half of the walk found, if it did."""
        for taken, _ in self._part(first_half=first_half):
            way = taken.check.way(taken.answer)
            if isinstance(way, Answer) and way.sets_sensing:
                return way.sets_sensing
        return None

    def readings(
        self, entry: DiaryEntry, visit_id: uuid.UUID, unit: Unit, trouble: Trouble, moment: str
    ) -> Iterator[tuple[type[Base], Row]]:
        """Give the rows of what was measured: as found in the first half, as left in the second."""
        rng = self._rng
        first_half = moment == "found"
        if not first_half and trouble.ending != "mended":
            return
        part = self._part(first_half=first_half)
        walked = [taken for taken, _ in part]
        when = part[-1][1] if part else self.half_time
        timed = [taken.check.id for taken in walked if "flow" in taken.check.records]
        if timed:
            yield from measures.flow_rows(
                rng,
                entry,
                Measured(visit_id, moment, timed[-1], when),
                true_gpm=self._true_gpm(unit, trouble, moment),
                activation=unit.model.activation or _USUAL_ACTIVATION,
                crossing_passed=self._crossing_passed(),
            )
        asked = list(measures.kinds_asked(walked).items())
        taken = rng.sample(asked, min(len(asked), _MOST_READINGS))
        if not first_half and trouble.complaint:
            taken += self._proof(unit, dict(asked), {kind for kind, _check in taken})
        for kind, check_id in taken:
            where = Measured(visit_id, moment, check_id, when)
            text = self._troubled(kind, trouble, moment)
            if kind == "hardness":
                text = unit.household.hardness
            yield Reading, measures.reading_row(rng, entry, where, kind, text)
        known = {kind for kind, _check in taken} | ({FLOW} if timed else set())
        for card in measures.cards_from(known):
            where = Measured(visit_id, moment, "", when)
            yield Reading, measures.card_row(entry, where, card)

    def _proof(
        self, unit: Unit, asked: Mapping[str, str], taken: set[str]
    ) -> Iterator[tuple[str, str]]:
        """Give what a mended appliance owes besides, with the check that asks for it."""
        said = self._proven_by_answers()
        owed = {
            "tap_temperature": not taken & {"tap_temperature", "outlet_temperature"},
            "co_in_room": unit.model.gas or "co_in_room" not in said,
            "leak_test": True,
            "relief_valve": True,
        }
        for kind, is_owed in owed.items():
            if is_owed and kind not in taken:
                yield kind, asked.get(kind, "")

    def _proven_by_answers(self) -> set[str]:
        ways = [one.check.way(one.answer) for one in self._walked]
        return {proof for way in ways if isinstance(way, Answer) for proof in way.proves}

    def _true_gpm(self, unit: Unit, trouble: Trouble, moment: str) -> float:
        activation = float((unit.model.activation or _USUAL_ACTIVATION).split()[0])
        if moment == "found" and trouble.cause in _RESTRICTED:
            return activation * self._rng.uniform(0.35, 0.97)
        return self._rng.uniform(1.2, 2.6)

    def _crossing_passed(self) -> bool | None:
        for taken in self._walked:
            if taken.check.id == "crossing_test":
                return {"stops": True, "keeps_running": False}.get(taken.answer)
        return None

    def _troubled(self, kind: str, trouble: Trouble, moment: str) -> str:
        """Return what is read while the trouble lasts, or "" where it shows nothing of it."""
        if moment == "left" or trouble.cause == NO_FAULT:
            return ""
        if kind in {"outlet_temperature", "tap_temperature"}:
            return f"{self._rng.randint(66, 92)} F"
        if kind == "contact_resistance" and trouble.cause == "sensor_dead":
            return "900 kohm"
        return ""
