"""The content of the trade, piece by piece: causes, cautions, and the checks of a list.

Texts are keyed by language; English is always there. What is handed out are frozen dataclasses;
pydantic checks the shape of the files against these very classes, and is imported only then.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Literal

from desk.base import texts
from desk.base.errors import ContentError, InputError
from desk.base.texts import message
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

LONGEST_LABEL = 28
"""How many characters fit on a button that is read at arm's length."""
LONGEST_SHORT_STEP = 36
"""How many characters of a step fit on a line of a small window."""
LONGEST_LINE = 60
"""How many characters of a caution are read at a glance."""
COULD_NOT = "could_not_check"
DEFAULT = "default"


class Exact:
    """Base of what a file may hold: a misspelt key is refused, not passed over."""

    __slots__ = ()
    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair(Exact):
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
class Cause(Exact):
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
class Caution(Exact):
    """A warning shown before a step; a serious one is acknowledged where what it guards is opened.

    Attributes:
        short: one line of it, where it is shown and asks for nothing; a shop's own and those of
            lists kept from before may have none.
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
    short: Text = field(default_factory=dict)

    @property
    def line(self) -> Text:
        """What is said of it in one line, by language: the short text, or all of it."""
        return {**self.text, **self.short}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way(Exact):
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
        short: the text on a large button, for the languages in which it is longer than
            :data:`LONGEST_LABEL`; a shop's own and lists kept from before may have none.
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
    short: Text = field(default_factory=dict)
    finds: tuple[str, ...] = ()
    sets_sensing: str | None = None
    goes_on: bool = False
    proves: tuple[Proof, ...] = ()
    disproves: tuple[Proof, ...] = ()

    @property
    def label(self) -> Text:
        """What stands on its button, by language: the short text, or the text where none is."""
        return {**self.text, **self.short}

    @property
    def said(self) -> str:
        """Its id."""
        return self.id

    def kind_after(self, sensing_kind: str) -> str:
        """Return the sensing kind that this answer found on site, or the one known so far."""
        return self.sets_sensing or sensing_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Exact):
    """One thing to find out.

    Attributes:
        short_how: each step of ``how`` once more for a small window; empty where one of them
            would lose a warning by it.
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
    short_how: Texts = field(default_factory=dict)
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

    @property
    def short_steps(self) -> Texts:
        """Its steps where there is little room, by language: the short ones, or ``how``."""
        return {**self.how, **self.short_how}

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


def in_language[T](text: Mapping[str, T], language: str | None = None) -> T:
    """Return a text in a language (the one in use unless given), in English where it is missing.

    Args:
        text: the same text, by code of the language.
        language: a code such as ``fr`` or ``fr_CA``, which falls back on ``fr``; None for the one
            in use.

    Raises:
        ContentError: the text has neither the language nor English.
    """
    wanted = texts.language() if language is None else language
    for code in (wanted, wanted.split("_")[0], "en"):
        if code in text:
            return text[code]
    raise ContentError(message("A text of the content has no English."), languages=tuple(text))
