"""A guided list as a graph of checks, the content by id, and what can be reached in a list."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from desk.base.errors import ContentError, InputError
from desk.base.texts import message
from desk.trade.content.model import Cause, Caution, Check, Exact, Opens, Repair, Text
from desk.trade.reference.complaints import OTHER


@dataclass(frozen=True, kw_only=True)  # no slots: what follows from the fields is kept beside them
class Checklist(Exact):
    """A guided list: its checks in the order of the files, and the causes and cautions it uses.

    Attributes:
        complaints: ids of the complaints that it is worked for; a planned service is "".
        weights: how often a cause is met where this list is worked, for the causes where that is
            another weight than the catalogue's; above 0.
        binding: what readies a check binds every way in; it does not in lists kept from before.
    """

    id: str
    title: Text
    start: str
    basis: Text
    checks: Mapping[str, Check]
    causes: Mapping[str, Cause]
    cautions: Mapping[str, Caution]
    complaints: tuple[str, ...] = ()
    weights: Mapping[str, float] = field(default_factory=dict)
    binding: bool = False

    def opened_by(self, check: Check, causes: Collection[str]) -> tuple[Opens, ...]:
        """Return what a check opens; for a repair with known causes, what mending those opens."""
        repairs = self.repairs_at(check, causes)
        if repairs is None:
            return check.opens
        return tuple(one for one in check.opens if any(one in each.opens for each in repairs))

    def repairs_at(self, check: Check, causes: Collection[str]) -> tuple[Repair, ...] | None:
        """Return what each cause calls for at its repair; None where all of the check holds."""
        found = tuple(self.causes[cause].repair for cause in causes if cause in self.causes)
        known = tuple(one for one in found if one is not None)
        return known if check.mends and known and len(known) == len(found) else None

    @cached_property
    def readied_by(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """For each check the readying ones before it, with the answers that allow it.

        In the order in which they are asked, the deepest first; none in a list that is not binding.
        """
        return {check.id: self._readied_by(check) for check in self.checks.values()}

    def _readied_by(self, check: Check) -> Mapping[str, tuple[str, ...]]:
        wanted: dict[str, tuple[str, ...]] = {}
        if not self.binding or (check.mends and "cabinet" not in check.opens):
            return wanted
        for earlier, said in check.after.items():
            before = self.checks[earlier]
            if before.readies:
                for one, allowed in (*self._readied_by(before).items(), (earlier, said)):
                    both = wanted.get(one, allowed)
                    wanted[one] = tuple(answer for answer in allowed if answer in both)
        return wanted

    @cached_property
    def readying(self) -> frozenset[str]:
        """The checks that ready others; none in a list that is not binding."""
        return frozenset(one for before in self.readied_by.values() for one in before)

    @cached_property
    def alike(self) -> Mapping[tuple[str, str], str]:
        """For each answer of a readying check the first that allows and leads to the same.

        Whoever goes through all of a list needs to tell only those apart.
        """
        found: dict[tuple[str, str], str] = {}
        for check_id in self.readying:
            allowed = [before.get(check_id, ()) for before in self.readied_by.values()]
            first: dict[object, str] = {}
            for way in self.checks[check_id].ways():
                leads = tuple(sorted(way.next.items())), way.ending
                key = leads, tuple(way.said in answers for answers in allowed)
                found[check_id, way.said] = first.setdefault(key, way.said)
        return found

    @property
    def cause_weights(self) -> dict[str, float]:
        """How often each cause is met, relative to the others, where this list is worked."""
        return {key: self.weights.get(key, cause.weight) for key, cause in self.causes.items()}

    @cached_property
    def _next_from(self) -> dict[tuple[str, str], tuple[tuple[str, str], ...]]:
        return {}

    def next_from(self, check_id: str, kind: str) -> tuple[tuple[str, str], ...]:
        """Return each check that some way leads to from here, with the kind known there."""
        known = self._next_from.get((check_id, kind))
        if known is None:
            found: dict[tuple[str, str], None] = {}
            for way in self.checks[check_id].ways():
                then = way.kind_after(kind)
                following = way.leads_to(then)
                if following is not None:
                    found[following, then] = None
            known = self._next_from[check_id, kind] = tuple(found)
        return known

    @cached_property
    def edition_text(self) -> str:
        """The list with its causes and cautions as canonical JSON, for keeping as used."""
        kept = dataclasses.asdict(self)
        for name in ("checks", "causes", "cautions"):
            kept[name] = list(kept[name].values())
        for check in kept["checks"]:  # lists from before there were shorts keep their edition
            for short, one in (("short_how", check), *(("short", one) for one in check["answers"])):
                if not one[short]:
                    del one[short]
        for caution in kept["cautions"]:
            if not caution["short"]:
                del caution["short"]
        return json.dumps(kept, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @cached_property
    def edition(self) -> str:
        """The SHA-256 of :attr:`edition_text`: two lists with one edition ask the same."""
        return hashlib.sha256(self.edition_text.encode()).hexdigest()

    def check(self, check_id: str) -> Check:
        """Return the check with this id.

        Raises:
            InputError: the checklist has no such check.
        """
        if check_id not in self.checks:
            raise InputError(
                message(
                    "Checklist {checklist} has no check {check}.",
                    checklist=self.id,
                    check=check_id,
                ),
                field="check",
                check=check_id,
            )
        return self.checks[check_id]


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Everything that ``shared/`` says about the work, by id."""

    causes: Mapping[str, Cause]
    cautions: Mapping[str, Caution]
    checklists: Mapping[str, Checklist]

    def checklist_for(self, complaint: str) -> Checklist:
        """Return the list that is worked for a complaint.

        Args:
            complaint: an id; one that no list names goes by the list for :data:`OTHER`.

        Raises:
            ContentError: no list names the complaint, nor :data:`OTHER`.
        """
        for wanted in (complaint, OTHER):
            for checklist in self.checklists.values():
                if wanted in checklist.complaints:
                    return checklist
        raise ContentError(message("No checklist is worked for complaints of any other kind."))


def read_edition(text: str) -> Checklist:
    """Return the checklist of a kept :attr:`Checklist.edition_text`: an old visit walks as it did.

    Raises:
        ContentError: the text is no edition of a checklist.
    """
    from pydantic import TypeAdapter, ValidationError  # only here: start-up counts

    try:
        kept = json.loads(text)
        for name in ("checks", "causes", "cautions"):
            kept[name] = {item["id"]: item for item in kept[name]}
        return TypeAdapter(Checklist).validate_python(kept)
    except (ValueError, TypeError, KeyError, ValidationError) as error:
        raise ContentError(
            message("A kept checklist cannot be read; restore it from a safety copy.")
        ) from error


def reachable(
    checklist: Checklist, *sensing_kinds: str, kind_is_sure: bool = False, without: str = ""
) -> set[str]:
    """Return the ids of the checks that an appliance of one of these sensing kinds can lead to.

    Args:
        checklist: a checklist whose ways all lead somewhere.
        sensing_kinds: what may be known at the start.
        kind_is_sure: leave out the answers that would find another kind on site.
        without: a check that no way is followed through; it is not among those that are reached.
    """
    todo = {(checklist.start, kind) for kind in sensing_kinds if checklist.start != without}
    seen: set[tuple[str, str]] = set()
    while todo:
        state = todo.pop()
        seen.add(state)
        for then in checklist.next_from(*state):
            leaves_it = then[0] == without or (kind_is_sure and then[1] != state[1])
            if not leaves_it and then not in seen:
                todo.add(then)
    return {check for check, _ in seen}


def count_paths(checklist: Checklist, sensing_kind: str) -> int:
    """Count the different ways through a checklist, "could not check" counted as an answer."""

    @cache
    def count(check: str, kind: str) -> int:
        total = 0
        for way in checklist.checks[check].ways():
            kind_then = way.kind_after(kind)
            following = way.leads_to(kind_then)
            total += count(following, kind_then) if following else 1
        return total

    return count(checklist.start, sensing_kind)
