"""The content of the trade: causes, cautions and checklists, read from ``shared/``.

Texts are keyed by language; English is always there. What is handed out are frozen dataclasses;
pydantic checks the shape of the files against these very classes, and is imported only then.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import ClassVar, Literal

from desk.base import texts
from desk.base.errors import ContentError, InputError
from desk.base.texts import message
from desk.trade.reference.complaints import OTHER
from desk.trade.reference.proofs import Proof

type Text = Mapping[str, str]
type Texts = Mapping[str, tuple[str, ...]]
type Zone = Literal["water", "sensing", "response", "none"]
type Stage = Literal["arrive", "check", "measure", "repair", "prove"]
BEFORE_THE_REPAIR: tuple[Stage, ...] = ("check", "measure")
"""The stages whose answers tell what is wrong."""
AFTER_THE_WORK: tuple[Stage, ...] = ("repair", "prove")
"""The stages from which on a reading is one of what was left."""
type Needs = Literal["none", "plumbing", "electrical", "gas"]
type Opens = Literal["water", "cabinet", "gas"]
type Ending = Literal["mended", "to_continue", "no_fault_found", "referred", "left"]
type Guards = Literal["water", "cabinet", "gas", "chemicals", "heat", "bacteria", "fabric", "rules"]

COULD_NOT = "could_not_check"
DEFAULT = "default"


class _Exact:
    """Base of what a file may hold: a misspelt key is refused, not passed over."""

    __slots__ = ()
    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair(_Exact):
    """What putting a cause right opens and calls for, of what its repair check may call for.

    Attributes:
        opens: what is opened by it; nothing for advice and settings.
        needs: the licence that it is done with.
        cautions: those that are shown and acknowledged; the check's others do not concern it.
    """

    needs: Needs = "none"
    opens: tuple[Opens, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause(_Exact):
    """What can be behind "no hot water".

    Attributes:
        weight: how often it is met, relative to the others; above 0 (common practice, no source).
        failure_mode: how the failure shows itself (words after ISO 14224, EN 13306 and
            IEC 60050-192; so are the next three).
        failure_mechanism: the process that led to it.
        failure_cause: the circumstance that set the process going.
        corrective_maintenance: the work that puts it right.
        repair: what that opens and calls for; None where all of the repair check holds.
    """

    id: str
    zone: Zone
    name: Text
    explanation: Text
    remedy: Text
    weight: float
    failure_mode: Text
    failure_mechanism: Text
    failure_cause: Text
    corrective_maintenance: Text
    repair: Repair | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(_Exact):
    """A warning shown before a step; a serious one is acknowledged and recorded.

    Attributes:
        guards: what it protects from or belongs to.
        sources: where it comes from; "common practice, no source" where nothing is published.
        only_where_opened: only a check that opens what it guards shows it, so that it is
            acknowledged there and has not gone grey before.
    """

    id: str
    text: Text
    serious: bool
    guards: tuple[Guards, ...]
    sources: tuple[str, ...]
    only_where_opened: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Way(_Exact):
    """Where the list goes on: to a check, which may depend on the sensing kind, or to an ending."""

    next: Mapping[str, str] = field(default_factory=dict)
    ending: Ending | None = None

    def leads_to(self, sensing_kind: str) -> str | None:
        """Return the id of the next check for a sensing kind, or None where the list ends."""
        return self.next.get(sensing_kind, self.next.get(DEFAULT))

    @property
    def said(self) -> str:
        """The id of the answer that leads here; :data:`COULD_NOT` where none could be given."""
        return COULD_NOT

    def kind_after(self, sensing_kind: str) -> str:
        """Return the sensing kind that is known from here on, where one was known so far."""
        return sensing_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Way):
    """One answer to a check.

    Attributes:
        finds: causes that this answer points to as the working cause.
        sets_sensing: the sensing kind that was found on site, if this answer tells.
        goes_on: the repair did not help: where it was done ahead of the list, the list goes on
            from where it stood; otherwise where ``next`` leads, or, where that ends the looking,
            as if the check that found the cause had not. The work is then to be done again.
        proves: what is proven by what was seen here (:mod:`desk.trade.reference.proofs`).
        disproves: what was seen here to be dangerous, so that it is not mended.
    """

    id: str
    text: Text
    finds: tuple[str, ...] = ()
    sets_sensing: str | None = None
    goes_on: bool = False
    proves: tuple[Proof, ...] = ()
    disproves: tuple[Proof, ...] = ()

    @property
    def said(self) -> str:
        """Its id."""
        return self.id

    def kind_after(self, sensing_kind: str) -> str:
        """Return the sensing kind that this answer found on site, or the one known so far."""
        return self.sets_sensing or sensing_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(_Exact):
    """One thing to find out.

    Attributes:
        minutes: what it usually takes (common practice, no source).
        opens: what is opened by doing it; a caution that guards it is always shown.
        records: what is written down; some are kinds of reading.
        after: checks that must have one of these answers before this one may be suggested;
            :data:`COULD_NOT` among them where what could not be told forbids nothing. A check
            that readies the work binds every way in (:mod:`desk.trade.content.prerequisites`).
        likelihood: for "default" and for single causes the probability of each answer, in the
            order of ``answers``; empty where the answer says nothing about the cause.
        basis: where the probabilities come from; "" where the checklist's own basis holds.
        drawing: the name of a drawing in ``resources/drawings`` that shows it better than words;
            "" without one.
        shuts_off: it sees the appliance shut off and tagged.
        powered_open: the appliance is powered, and may fire, while its cabinet is open.
        undoes: checks that ready the work and no longer hold after this one, since it runs or
            switches on the appliance: what waits for them asks them anew.
        mends: the repair of a finding: what it opens and calls for depends on the cause.
    """

    id: str
    stage: Stage
    title: Text
    why: Text
    how: Texts
    minutes: float
    answers: tuple[Answer, ...]
    could_not: Way
    tools: Texts = field(default_factory=dict)
    needs: Needs = "none"
    opens: tuple[Opens, ...] = ()
    cautions: tuple[str, ...] = ()
    records: tuple[str, ...] = ()
    after: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    likelihood: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    basis: str = ""
    drawing: str = ""
    shuts_off: bool = False
    powered_open: bool = False
    undoes: tuple[str, ...] = ()
    mends: bool = False

    def chances(self, cause: str) -> Sequence[float]:
        """Return the probability of each answer given a cause; none where nothing is said of it."""
        return self.likelihood.get(cause) or self.likelihood.get(DEFAULT, ())

    def answer(self, answer_id: str) -> Answer:
        """Return the answer with this id.

        Raises:
            InputError: the check has no such answer.
        """
        for answer in self.answers:
            if answer.id == answer_id:
                return answer
        raise InputError(
            message(
                "Check {check} has no answer {answer}; it has {answers}.",
                check=self.id,
                answer=answer_id,
                answers=", ".join(answer.id for answer in self.answers),
            ),
            field="answer",
            check=self.id,
            answer=answer_id,
        )

    def way(self, answer_id: str) -> Way:
        """Return where an answer leads, "could not check" among them.

        Raises:
            InputError: the check has no such answer.
        """
        return self.could_not if answer_id == COULD_NOT else self.answer(answer_id)

    def ways(self) -> tuple[Way, ...]:
        """Return every way on: those of the answers in order, then that of "could not check"."""
        return (*self.answers, self.could_not)

    @property
    def runs(self) -> bool:
        """Whether the appliance runs in it: powered open, or tried after its repair."""
        return self.powered_open or any(answer.goes_on for answer in self.answers)

    @property
    def readies(self) -> bool:
        """Whether it readies the work: it tells of no cause and of no kind of sensing."""
        return not self.likelihood and not any(answer.sets_sensing for answer in self.answers)


@dataclass(frozen=True, kw_only=True)  # no slots: what follows from the fields is kept beside them
class Checklist(_Exact):
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
        """
        for wanted in (complaint, OTHER):
            for checklist in self.checklists.values():
                if wanted in checklist.complaints:
                    return checklist
        raise ContentError(message("No checklist is worked for complaints of any other kind."))


def in_language[T](text: Mapping[str, T], language: str | None = None) -> T:
    """Return a text in a language (the one in use unless given), in English where it is missing."""
    wanted = texts.language() if language is None else language
    for code in (wanted, wanted.split("_")[0], "en"):
        if code in text:
            return text[code]
    raise ContentError(message("A text of the content has no English."), languages=tuple(text))


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
