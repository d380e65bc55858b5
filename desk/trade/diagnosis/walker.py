"""Follows the answers of a visit through its checklist, from the start to what is to be done."""

from __future__ import annotations

from typing import NamedTuple

from desk.trade.content.checklist import Checklist
from desk.trade.content.model import BEFORE_THE_REPAIR, Answer, Check, Ending, Way
from desk.trade.content.prerequisites import NO_PREREQUISITES, Prerequisites, prerequisites_of
from desk.trade.diagnosis.rounds import BEFORE_ALL, Done, Rounds


class _Place(NamedTuple):
    """A check that the list comes to, and the place of the answer that led there."""

    check: str
    since: int


class Walker:
    """Follows the answers of one visit.

    Attributes:
        path: what was done, each check with which time it was, and what stands for that time.
        in_vain: causes that were mended and whose retest says that it did not help, as far as it
            is known what was mended.
    """

    def __init__(self, checklist: Checklist, rounds: Rounds, sensing_kind: str) -> None:
        self._checks, self._checklist = checklist.checks, checklist
        self._rounds, self.sensing_kind = rounds, sensing_kind
        self._is_repeated = any(check.undoes for check in self._checks.values())
        self._undone_repairs = [one for one in rounds.undone if self._checks[one].mends]
        self.path: dict[tuple[str, int], Done] = {}
        self.found: dict[str, None] = {}
        self.in_vain: dict[str, None] = {}
        self.to_mend: tuple[str, ...] = ()
        self.ending: Ending | None = None
        self.towards: str | None = None
        self._stood: _Place | None = None
        self._mended_at_once: tuple[str, ...] = ()
        self._passed: dict[str, set[int]] = {}
        self._at_last: str | None = None

    def to_the_end(self) -> str | None:
        """Follow the answers, and return the check to do now; None where the list has ended."""
        at: _Place | str | None = _Place(self._checklist.start, BEFORE_ALL)
        while isinstance(at, _Place):
            at = self._step(at)
        return at

    def _step(self, at: _Place) -> _Place | str | None:
        """Return where the list goes on; the name alone of a check that is to be done now."""
        time = self._rounds.after(at.check, at.since)
        done = self._rounds.at(at.check, time)
        if self._is_repeated and time in self._passed.get(at.check, ()):
            return self._look_on(at.since, self._at_last)  # it leads to what did not help
        tried = self._mended_in_vain(at.check, done) if self._undone_repairs else None
        if tried is not None:
            self._stood = at
            return tried
        before = self._ready(at.check, time, done)
        asked = next(iter(before.missing), None)
        if asked is None and before.refused_by is not None:
            self._passed.setdefault(at.check, set()).add(time)
            return self._pass_by(at, before.refused_by, done)
        if asked is None and done is not None:
            self._passed.setdefault(at.check, set()).add(time)
            return self._follow(at.check, time, done)
        ahead = self._mended_ahead(at.check)
        if ahead is None:
            self.towards = at.check
            return asked or at.check
        self._stood = at
        return ahead

    def _ready(self, check_id: str, time: int, done: Done | None) -> Prerequisites:
        """Put what readies a check on the path, and return what of it is still to be done."""
        self.ending = None
        if not self._checks[check_id].after:
            return NO_PREREQUISITES
        place = None if done is None else done.begun
        said = self._rounds.said_before(place)
        before = prerequisites_of(self._checklist, check_id, said, causes=self.to_mend)
        for one in before.all:
            if before.missing and one == before.missing[0]:
                break
            time_before = self._rounds.before(one, place)
            readied = self._rounds.at(one, time_before)
            if readied is not None:
                self._take(one, time_before, readied)
        self.ending = None
        is_over = self._checks[check_id].mends and time < self._rounds.before(check_id, None)
        return NO_PREREQUISITES if is_over else before  # what was done is not forbidden later

    def _pass_by(self, at: _Place, refused_by: str, done: Done | None) -> _Place | None:
        """Return where the list goes on when a check may not be done, as told by another."""
        place = None if done is None else done.begun
        refusal = self._rounds.at(refused_by, self._rounds.before(refused_by, place))
        way: Way = self._checks[at.check].could_not
        since = at.since
        if refusal is not None:
            since = max(since, refusal.begun)
            said = self._checks[refused_by].way(refusal.given.answer)
            way = way if said.ending is None else said  # one that ends the work, ends it here too
        self.ending = way.ending
        return _place(way.leads_to(self.sensing_kind), since)

    def _take(self, check_id: str, time: int, done: Done) -> Way:
        """Put what was done on the path, and return its way on."""
        way = self._checks[check_id].way(done.given.answer)
        self.sensing_kind = way.kind_after(self.sensing_kind)
        if isinstance(way, Answer) and way.finds and (check_id, time) not in self.path:
            self._find(way.finds)
        self.path[check_id, time] = done
        self.ending = way.ending
        return way

    def _follow(self, check_id: str, time: int, done: Done) -> _Place | None:
        """Return where the answer to a check leads."""
        way = self._take(check_id, time, done)
        following = way.leads_to(self.sensing_kind)
        if isinstance(way, Answer) and way.goes_on:
            if self._stood is not None:
                stood, self._stood = self._stood, None
                self.in_vain |= dict.fromkeys(self._mended_at_once)
                return stood
            self.in_vain |= dict.fromkeys(self.to_mend)
            if self._checks[check_id].undoes:
                return self._look_on(done.begun, following)
        return _place(following, done.begun)

    def _find(self, causes: tuple[str, ...]) -> None:
        for cause in causes:
            self.found.pop(cause, None)
            self.found[cause] = None
        self.to_mend = causes

    def _look_on(self, since: int, following: str | None) -> _Place | None:
        """Return where the list goes on after a repair that did not help.

        That is where the retest leads, if there is something new to look at; otherwise where the
        last check that can lead on to a check that was not done would, had it found nothing.
        """
        self._at_last, self.ending = following, None
        if following is not None and self._is_fresh(following):
            return _Place(following, since)
        for check_id, _time in reversed(self.path):
            other = self._other_way(self._checks[check_id])
            if other is not None:
                return _Place(other, since)
        if following is None or following in self._passed:
            self.ending = "to_continue"
            return None
        return _Place(following, since)

    def _is_fresh(self, check_id: str) -> bool:
        before_the_repair = self._checks[check_id].stage in BEFORE_THE_REPAIR
        return before_the_repair and check_id not in self._passed

    def _other_way(self, check: Check) -> str | None:
        """Return where a check leads on that found nothing, to what was not looked at yet."""
        if check.stage not in BEFORE_THE_REPAIR or not check.likelihood:
            return None
        nothing = (one for one in check.answers if not one.finds and not one.sets_sensing)
        leads = (way.leads_to(self.sensing_kind) for way in (*nothing, check.could_not))
        return next((one for one in leads if one is not None and self._is_fresh(one)), None)

    def _mended_in_vain(self, check_id: str, done: Done | None) -> _Place | None:
        """Return a repair ahead of the list, undone since, that comes before an answer."""
        if self._checks[check_id].stage not in BEFORE_THE_REPAIR:
            return None
        tried = [
            (one.begun, repair)
            for repair in self._undone_repairs
            for time, one in enumerate(
                self._rounds.done[repair][: self._rounds.before(repair, None)]
            )
            if one.given.by_suggestion
            and (repair, time) not in self.path
            and (done is None or one.begun < done.begun)
        ]
        if not tried:
            return None
        place, repair = min(tried)
        self._mended_at_once = self._last_mended_at_once(place)
        return _Place(repair, place - 1)

    def _last_mended_at_once(self, begun: int) -> tuple[str, ...]:
        """Return what a repair at once mended; nothing where another came later.

        A visit knows only what its latest one is about.
        """
        at_once = [
            one
            for repair, times in self._rounds.done.items()
            if self._checks[repair].mends
            for one in times
            if one.given.by_suggestion
        ]
        latest = max(at_once, key=lambda one: one.begun)
        cause = latest.given.cause
        return (cause,) if latest.begun == begun and cause in self._checklist.causes else ()

    def _mended_ahead(self, check_id: str) -> _Place | None:
        """Return a repair that was done at once, ahead of what the list asks at this check."""
        if self._checks[check_id].stage not in BEFORE_THE_REPAIR:
            return None
        for repair in self._checks:  # in their order, whenever they were answered
            if not self._checks[repair].mends or not self._rounds.holds(repair):
                continue
            time = self._rounds.before(repair, None)
            done = self._rounds.at(repair, time)
            if done is None or not done.given.by_suggestion or (repair, time) in self.path:
                continue
            causes = (done.given.cause,) if done.given.cause in self._checklist.causes else ()
            before = prerequisites_of(self._checklist, repair, self._rounds.standing, causes=causes)
            if before.refused_by is None:
                self._find(causes)
                self._mended_at_once = causes
                return _Place(repair, done.begun - 1)
        return None


def _place(check_id: str | None, since: int) -> _Place | None:
    return None if check_id is None else _Place(check_id, since)
