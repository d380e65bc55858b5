"""Service reports at their limits: each a visit that some shop will have one day."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cache
from hashlib import sha256
from unicodedata import normalize

from PIL import Image, ImageDraw

from desk.base.texts import Message, message
from desk.records.views.parties import CustomerLine, PaperSize, PersonLine, UnitSystem
from desk.records.views.report import PartLine, PhotographLine, SignatureLine, VisitReport
from tests.paper.snapshots import at, bare_report, full_report, signature_picture

GREEK, CYRILLIC, POLISH = "Ελευθερία Παπαδοπούλου", "Юрій Ґалаґан", "Łucja Żółć-Źdźbło"
VIETNAMESE, GERMAN = "Nguyễn Thị Ngọc Ánh", "Große Straßenbahnhaltestellenüberdachungsgasse 1½"
NO_FONT = "山田太郎 😀 שלום محمد"
"""Letters that no font here has: each prints as a box, and stays in the record as it is."""

HOSTILE = "<b>&amp;</b> & <img src='/etc/passwd'/> {} {0} %s \0 \u202e drowssap \ud800 😀 </para>"
MANY_LINES = 2_000
SENTENCE = "The pipe behind the panel is older than the house, and nobody knows where it ends. "


@dataclass(frozen=True)
class Extreme:
    """A visit and the pictures that belong to it."""

    report: VisitReport
    pictures: Mapping[str, bytes] = field(default_factory=dict)


def nothing_filled_in(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a call just taken."""
    bare = bare_report()
    return Extreme(replace(bare, letterhead=replace(bare.letterhead, system=system, paper=paper)))


def very_long_notes(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit on which every field that takes a note is full."""
    report = full_report(system, paper)
    assert report.cause
    long = SENTENCE * 40
    return Extreme(
        replace(
            report,
            complaint_words=long,
            work_done="\n".join([long] * 6),
            advice=long,
            advice_refused=long,
            next_step=long,
            cause=replace(report.cause, own_words=long),
            second_cause=replace(report.cause, id="", name="", explanation="", own_words=long),
            checks=tuple(replace(check, note=SENTENCE * 6) for check in report.checks),
            readings=tuple(replace(line, note=SENTENCE * 3) for line in report.readings),
            proof=tuple(replace(line, reason=long) for line in report.proof),
            unproven_co_in_room=long,
        )
    )


def sixty_parts(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit on which sixty parts were fitted."""
    parts = tuple(
        PartLine(
            f"P-{number:03}", f"Gasket of size {number}", number % 9 + 1, f"OLD-{number:03}",
            f"NEW-{number:03}", SENTENCE if number % 7 == 0 else "", number % 2 == 0,
        )
        for number in range(60)
    )  # fmt: skip
    return Extreme(replace(full_report(system, paper), parts=parts))


def forty_photographs(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit with forty photographs, upright and across, some with long captions."""
    kept = [_photograph(number) for number in range(40)]
    kinds = ("photograph", "nameplate", "fault_code")
    lines = tuple(
        PhotographLine(
            sha256(content).hexdigest(), kinds[number % 3], "", f"Check {number + 1}",
            SENTENCE * 3 if number % 5 == 0 else f"As it was found, {number + 1}", at(18, number),
        )
        for number, content in enumerate(kept)
    )  # fmt: skip
    report = replace(full_report(system, paper), photographs=lines)
    return Extreme(report, {sha256(content).hexdigest(): content for content in kept})


@cache
def _photograph(number: int) -> bytes:
    size = (640, 480) if number % 2 else (480, 640)
    image = Image.new("RGB", size, (150 + number, 190 - number, 180))
    ImageDraw.Draw(image).text((size[0] // 3, size[1] // 3), f"{number + 1}", "black", font_size=99)
    target = io.BytesIO()
    image.save(target, "JPEG", quality=60)
    return target.getvalue()


def no_photographs_and_no_readings(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit on which nothing was measured."""
    return Extreme(replace(full_report(system, paper), flows=(), readings=(), photographs=()))


def names_of_many_scripts(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit among people whose names are no English ones; one typed letter and mark."""
    report = full_report(system, paper)
    assert report.premises
    return Extreme(
        replace(
            report,
            letterhead=replace(report.letterhead, name=f"{POLISH} & {GREEK}"),
            customer=CustomerLine(
                f"{VIETNAMESE} / {CYRILLIC}", (GERMAN, GREEK), ("(613) 555-0117",), ()
            ),
            premises=replace(report.premises, address=(GERMAN, normalize("NFD", VIETNAMESE))),
            technician=PersonLine(CYRILLIC, NO_FONT, "G2-55-0188"),
            allowed_by=GREEK,
            complaint_words=f"{NO_FONT}. {normalize('NFD', POLISH)}",
            signature=SignatureLine(VIETNAMESE, "", signature_picture(), at(20, 10)),
        )
    )


def third_revision(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a report that was amended twice, for a reason that takes lines to tell."""
    report = replace(full_report(system, paper), revision=3, revision_reason=SENTENCE * 3)
    return Extreme(replace(report, continues="K-0139", state="sealed"))


def stop_and_leave(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit that ended in the first minutes, for safety."""
    report = full_report(system, paper)
    return Extreme(
        replace(
            report, ending="left", danger_reported=True, left_state="tagged", cause=None,
            complaint="gas_smell", complaint_text=message("Smell of gas."), work_done="",
            parts=(), flows=(), readings=(), checks=report.checks[:1], advice_refused="",
            referred_to="the gas supplier's emergency crew", warranty_claim="",
            signature=SignatureLine("", "everybody had left the building", b"", at(17, 50)),
        )
    )  # fmt: skip


def hostile_text(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit with markup, templates and steering characters in every text of a person."""
    return Extreme(with_every_text(full_report(system, paper), HOSTILE))


def words_without_end(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit with words of ten thousand letters, in running text and in every table."""
    report = full_report(system, paper)
    assert report.customer
    word = "Wmil" * 2_500
    return Extreme(
        replace(
            report,
            customer=replace(report.customer, name=word),
            work_done=word,
            parts=(replace(report.parts[0], name=word, reason=word),),
            checks=(replace(report.checks[0], note=word),),
            readings=(replace(report.readings[0], note=word, instrument=word),),
            revision_reason=word,
        )
    )


def lines_without_end(system: UnitSystem, paper: PaperSize) -> Extreme:
    """Return a visit with notes of thousands of lines: a table's row is higher than a page."""
    report = full_report(system, paper)
    many = "\n".join(f"line {number}" for number in range(MANY_LINES))
    some = "\n".join(f"row {number}" for number in range(300))
    return Extreme(
        replace(
            report,
            work_done=many,
            parts=(replace(report.parts[0], reason=some), report.parts[1]),
            checks=(replace(report.checks[0], note=some), *report.checks[1:]),
            readings=(replace(report.readings[0], note=some), *report.readings[1:]),
        )
    )


EXTREMES: dict[str, Callable[[UnitSystem, PaperSize], Extreme]] = {
    make.__name__.replace("_", "-"): make
    for make in (
        nothing_filled_in,
        very_long_notes,
        sixty_parts,
        forty_photographs,
        no_photographs_and_no_readings,
        names_of_many_scripts,
        third_revision,
        stop_and_leave,
        hostile_text,
        words_without_end,
        lines_without_end,
    )
}

# What steers the page and is no text of a person.
_STEERS = frozenset(
    (
        *("answer", "chosen", "check", "ending", "figure", "id", "kind", "language", "left_state"),
        *(
            "method",
            "paper",
            "proof",
            "quantity",
            "safe",
            "sensing_kind",
            "sha256",
            "stage",
            "state",
        ),
        *("system", "trend", "verdict", "when", "zone"),
    )
)
# The office's own words, and what stands there as a quantity.
_NOT_PRINTED = frozenset(
    (
        *("access_note", "activation_typed", "activation_flow_typed", "altitude_typed"),
        *("complaint", "internal_note"),
    )
)
_TELLS_APART = frozenset({"number"})


def with_every_text[Kept](value: Kept, text: str, name: str = "") -> Kept:
    """Return a snapshot with one text in the place of every other that a person typed."""
    if isinstance(value, str):
        return text if value and name not in _STEERS | _TELLS_APART else value  # type: ignore[return-value]
    if isinstance(value, tuple):
        return tuple(with_every_text(one, text, name) for one in value)  # type: ignore[return-value]
    if not is_dataclass(value) or isinstance(value, (type, Message)):
        return value
    changed = {one.name: with_every_text(getattr(value, one.name), text, one.name)
               for one in fields(value)}  # fmt: skip
    return replace(value, **changed)


def texts_of(value: object, name: str = "") -> Iterator[str]:
    """Give every text of a snapshot that the customer's report has to carry."""
    if isinstance(value, str):
        if value and name not in _STEERS | _NOT_PRINTED:
            yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from texts_of(one, name)
    elif is_dataclass(value) and not isinstance(value, (type, Message)):
        for one in fields(value):
            yield from texts_of(getattr(value, one.name), one.name)


def in_reading_order(report: VisitReport) -> Iterator[str]:
    """Give the texts of a report's pages from the title down, as somebody reads them."""
    yield from texts_of(report.customer)
    if report.premises:
        yield from report.premises.address
    yield report.complaint_words.strip()
    for cause in (report.cause, report.second_cause):
        if cause:
            yield from (cause.name, cause.explanation, cause.own_words)
    yield report.work_done
    for part in report.parts:
        yield from (part.name, part.number, part.reason, part.new_serial, part.old_serial)
    yield from (report.warranty_claim, report.permit)
    yield from dict.fromkeys(flow.outlet for flow in report.flows)
    yield from (line.reason for line in report.proof if line.state == "reason")
    yield from (report.next_step, report.referred_to, report.advice, report.advice_refused)
    yield from (line.caption for line in report.photographs)
    for check in report.checks:
        if not check.superseded:
            yield from (check.question, check.answer_text, check.reason, check.note)
    if report.technician:
        yield report.technician.name
    yield report.allowed_by
