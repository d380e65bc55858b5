"""The shape that every computed measurement has: what is entered, and what comes out of it.

One :class:`Measurement` serves the card on the visit sheet, the command, the line on the report
and the appendix: all four read its entries and its :class:`MeasurementOutcome`. The formulas
themselves are plain functions elsewhere in the trade, such as in
:mod:`desk.trade.heating.heat_model`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Error, Estimate, rectangular_error
from desk.trade.quantities.number_text import NUMBER, plain, quoted, read_number
from desk.trade.quantities.typed_quantity import parse, two_readings
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default

OPEN_SPELLINGS = {"ol", "0l", "open", "open circuit"}
"""What a meter shows, or a person types, of a resistance that is none."""


@dataclass(frozen=True, slots=True)
class MeasurementEntry:
    """One thing that is entered.

    Attributes:
        name: the same on the command line, in the office's file and in JSON.
        label: what it is, for a person.
        quantity: its kind; None for a plain number, or where there are choices.
        required: a result needs it.
        choices: what can be chosen, id and words; none for a number.
        spelt: turns another spelling of a choice into its id; None where there are none.
        may_be_open: True for a resistance that a meter may show none of; OL is then an answer.
        default: name in ``shared/reference/defaults.toml`` of what is taken where nothing is
            entered; "" where nothing is.
        taken_from: kind of reading that stands in where nothing is entered ("flow" for the
            measured flow), at the same moment of the visit; ``appliance_…`` and ``premises_…`` for
            a field of their record, ``earlier_…`` for a figure of an earlier visit; "" for none.
        lowest: smallest number accepted, in SI for a quantity; 0 for a plain number, and the bound
            of common sense for a quantity, unless given.
        highest: largest number accepted, likewise; any plain number unless given.
        detail: True for what is seldom entered, such as the accuracy of an instrument.
        free: True for what is kept as typed and read by the measurement itself, such as a table.
        belongs_to: name of an earlier entry without which this one's default does not stand in.
        accuracy_of: names of the earlier entries that this is the accuracy of. Its default stands
            in only where one of them came without errors of its own; typed, it counts for all.
        unit: unit of a number typed without one; "" where a unit is asked for.
    """

    name: str
    label: Message
    quantity: QuantityKind | None = None
    required: bool = False
    choices: tuple[tuple[str, Message], ...] = ()
    spelt: Callable[[str], str] | None = None
    may_be_open: bool = False
    default: str = ""
    taken_from: str = ""
    lowest: float | None = None
    highest: float | None = None
    detail: bool = False
    free: bool = False
    belongs_to: str = ""
    accuracy_of: tuple[str, ...] = ()
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Entered:
    """One thing as it was entered, and as it was understood.

    Attributes:
        typed: what was typed; the id of a choice.
        unit: the unit it was understood in; "" for a plain number, a choice or free text.
        si: SI value, or the plain number; None for a choice, free text, or an open circuit.
        estimate: where it was measured on this visit: the estimate with its errors.
        doubtful: True where it was taken over from what is doubtful itself.
    """

    typed: str
    unit: str = ""
    si: float | None = None
    estimate: Estimate | None = None
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Inputs:
    """What was entered for one measurement, by name; missing entries are not in it."""

    given: Mapping[str, Entered] = field(default_factory=dict)

    def __contains__(self, name: str) -> bool:
        """Say whether something was entered, or stands in."""
        return name in self.given

    def si(self, name: str) -> float:
        """Return the SI value, or the plain number, of an entry that is there.

        Raises:
            AssertionError: the entry has no number: it is a choice, or OL.
        """
        value = self.given[name].si
        if value is None:  # a choice asked for as a number is a slip of the program
            raise AssertionError(name)
        return value

    def maybe(self, name: str) -> float | None:
        """Return the SI value of an entry, None where nothing was entered."""
        return self.si(name) if name in self.given else None

    def typed(self, name: str) -> str:
        """Return what was chosen, or typed freely; "" where nothing was."""
        return self.given[name].typed if name in self.given else ""

    def is_open(self, name: str) -> bool:
        """Say whether OL was entered for a resistance."""
        return name in self.given and self.given[name].si is None

    def estimate(self, name: str, *errors: tuple[Error, ...]) -> Estimate:
        """Return an entry with its errors: those it was measured with, else those given."""
        given = self.given[name]
        if given.estimate is not None and given.estimate.errors:
            return given.estimate
        return Estimate(self.si(name), tuple(error for group in errors for error in group))

    def rectangular(
        self, name: str, source: str, words: Message, *, lasting: bool = False
    ) -> tuple[Error, ...]:
        """Return the error whose half-width is the entry ``name``; none where it was not entered.

        It is ``lasting`` where it is the instrument's own and not the reading's.

        Args:
            name: the entry that holds the half-width.
            source: which source of error.
            words: the source in words.
            lasting: as of :class:`Error`.
        """
        return rectangular_error(source, words, self.maybe(name) or 0.0, lasting=lasting)

    def relative(
        self, name: str, of: str, source: str, words: Message, *, lasting: bool = False
    ) -> tuple[Error, ...]:
        """Return the error whose half-width is a share, entry ``name``, of the entry ``of``.

        Args:
            name: the entry that holds the share; nothing entered counts as 0.
            of: the entry that it is a share of, which must be there.
            source: which source of error.
            words: the source in words.
            lasting: as of :class:`Error`.
        """
        half_width = (self.maybe(name) or 0.0) * abs(self.si(of))
        return rectangular_error(source, words, half_width, lasting=lasting)


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of the outcome.

    Attributes:
        name: its name in JSON.
        label: what it is, for a person.
        quantity: its kind; None for a plain number such as an index. A share
            (``Kind.FRACTION``) is told to a person in per cent and to a script as a plain number.
        estimate: the value, in SI, with its errors.
        higher_is_better: how a change by the work is judged; None where it cannot be.
        decimals: of a plain number.
        detail: True for what only the appendix and a script are told.
    """

    name: str
    label: Message
    quantity: QuantityKind | None
    estimate: Estimate
    higher_is_better: bool | None = None
    decimals: int = 2
    detail: bool = False


def probability_figure(name: str, label: Message, probability: float) -> Figure:
    """Return a probability as a figure that only the appendix and a script are told.

    Args:
        name: its key for a script.
        label: what it is the probability of, in words.
        probability: from 0 to 1.
    """
    return Figure(name, label, QuantityKind.FRACTION, Estimate(probability), detail=True)


@dataclass(frozen=True, slots=True)
class MeasurementOutcome:
    """What a measurement comes to.

    Attributes:
        figures: the numbers, the main one first.
        says: what they mean, in plain words; the main sentence first.
        formula: how they came about, as text.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it; a doubtful value is never
            used for a sentence in ``says``.
        notes: under what conditions it holds, for whoever takes or compares the measurement.
        words: answers that are one word for a script, such as a hardness class, by name.
        not_known: names of figures that a script looks for and that cannot be told.
        dangers: what may hurt someone if the figures are right. `Measurement.outcome` says it
            after ``says``, however doubtful they are.
    """

    figures: tuple[Figure, ...]
    says: tuple[Message, ...]
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...] = ()
    notes: tuple[Message, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    not_known: tuple[str, ...] = ()
    dangers: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class Measurement:
    """A computed measurement.

    Attributes:
        kind: its id, also the command's name.
        label: its name for a person.
        help: what it computes and how it is taken, in two or three sentences with its cautions.
        entries: what is entered, in the order it is read on site.
        compute: from what was entered to the outcome.
        cautions: ids of the cautions of `shared/cautions.toml` that belong to taking it.
    """

    kind: str
    label: Message
    help: Message
    entries: tuple[MeasurementEntry, ...]
    compute: Callable[[Inputs], MeasurementOutcome]
    cautions: tuple[str, ...] = ()

    def entry(self, name: str) -> MeasurementEntry:
        """Return the entry of a name.

        Raises:
            InputError: there is none.
        """
        for entry in self.entries:
            if entry.name == name:
                return entry
        raise InputError(message("There is no entry {name} here.", name=quoted(name)), field=name)

    def understand(self, typed: Mapping[str, str]) -> dict[str, Entered]:
        """Read what was typed, entry by entry; empty ones are left out.

        Raises:
            InputError: an entry is unknown, or what was typed cannot be read; it names the field.
        """
        return {
            name: understood(self.entry(name), text) for name, text in typed.items() if text.strip()
        }

    def outcome(self, given: Mapping[str, Entered]) -> MeasurementOutcome:
        """Compute from what was entered; what is assumed instead is told among the sources.

        Raises:
            InputError: a required entry is missing, or the values cannot be.
        """
        whole, assumed = self._as_accurate_as_typed(given), []
        for entry in self.entries:
            if entry.name in whole:
                continue
            if entry.default:
                if _needless(entry, whole):
                    continue
                standing_in = default(entry.default)
                whole[entry.name] = understood(entry, standing_in.typed)
                assumed.append(standing_in.told(entry.label))
            elif entry.required:
                raise InputError(message("Enter this: {what}.", what=entry.label), field=entry.name)
        outcome = self.compute(Inputs(whole))
        outcome = replace(outcome, sources=(*outcome.sources, *assumed))
        doubts = [self.entry(name).label for name, one in given.items() if one.doubtful]
        outcome = _doubted(outcome, doubts) if doubts else outcome
        return replace(outcome, says=(*outcome.says, *outcome.dangers))

    def _as_accurate_as_typed(self, given: Mapping[str, Entered]) -> dict[str, Entered]:
        """Return what was entered; an accuracy that was typed replaces what a reading came with."""
        whole = dict(given)
        for entry in self.entries:
            for name in entry.accuracy_of if entry.name in given else ():
                if name in whole:
                    whole[name] = replace(whole[name], estimate=None)
        return whole


def _doubted(outcome: MeasurementOutcome, doubts: Sequence[Message]) -> MeasurementOutcome:
    """Let nothing rest on a figure that was taken over and is doubtful itself."""
    taken = [message("{what} was taken over, and is doubtful itself.", what=one) for one in doubts]
    return replace(outcome, warnings=(*outcome.warnings, *taken), says=(_RESTS_ON_DOUBT,))


_RESTS_ON_DOUBT = message("This is doubtful; see the warning before anything rests on it.")


def _needless(entry: MeasurementEntry, given: Mapping[str, Entered]) -> bool:
    """Say whether an entry's default would stand in for nothing."""
    if entry.belongs_to and entry.belongs_to not in given:
        return True
    if not entry.accuracy_of:
        return False
    rated = [given[name] for name in entry.accuracy_of if name in given]
    return all(one.estimate is not None and one.estimate.errors for one in rated)


def understood(entry: MeasurementEntry, text: str) -> Entered:
    """Read what was typed for an entry.

    Raises:
        InputError: it is none of the choices, no number, or no quantity of the kind.
    """
    typed = text.strip()
    if entry.choices:
        return Entered(_chosen(entry, typed))
    if entry.free:
        return Entered(typed)
    if entry.quantity is None:
        return Entered(typed, si=_number(entry, typed))
    if entry.may_be_open and _says_open(typed):
        return Entered(typed)
    quantity = parse(
        typed,
        entry.quantity,
        field=entry.name,
        default_unit=entry.unit or None,
        lowest=entry.lowest,
        highest=entry.highest,
    )
    return Entered(typed, quantity.unit, quantity.si)


def _chosen(entry: MeasurementEntry, typed: str) -> str:
    folded = (entry.spelt(typed) if entry.spelt else typed).casefold()
    for choice, words in entry.choices:
        if folded in {choice.casefold(), str(words).casefold()}:
            return choice
    raise InputError(
        message(
            "“{text}” is none of these: {choices}.",
            text=quoted(typed),
            choices=", ".join(choice for choice, _words in entry.choices),
        ),
        field=entry.name,
    )


def read_as(typed: str) -> str:
    """Return the choice that a meter's own words stand for; else what was typed."""
    return "open_circuit" if _says_open(typed) else typed


def _says_open(typed: str) -> bool:
    return typed.casefold().replace(".", "") in OPEN_SPELLINGS


def _number(entry: MeasurementEntry, typed: str) -> float:
    tidy = plain(typed)
    numeral = read_number(tidy) if tidy and re.fullmatch(NUMBER, tidy) else None
    low = entry.lowest or 0.0
    high = math.inf if entry.highest is None else entry.highest
    if numeral is None or not low <= numeral.value <= high:
        raise InputError(_out_of_range(entry, typed, low), field=entry.name)
    if numeral.grouped is not None:
        raise InputError(two_readings(typed, numeral.grouped, numeral.value), field=entry.name)
    return numeral.value


def _out_of_range(entry: MeasurementEntry, typed: str, low: float) -> Message:
    if entry.highest is None:
        return message(
            "“{text}” does not fit here: {what}; type a number from {low:g} up.",
            text=quoted(typed),
            what=entry.label,
            low=low,
        )
    return message(
        "“{text}” does not fit here: {what}; type a number from {low:g} to {high:g}.",
        text=quoted(typed),
        what=entry.label,
        low=low,
        high=entry.highest,
    )
