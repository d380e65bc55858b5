"""What must hold of the content beyond its shape: a checklist is a graph without a circle.

Every rule gives findings: one sentence that names the file or list, the item and the mend.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from itertools import chain
from math import isclose, isfinite

from desk.base.texts import message
from desk.trade.content import graph_rules, label_rules, safety_rules
from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem, Fault, Places
from desk.trade.content.model import (
    COULD_NOT,
    DEFAULT,
    Check,
    Text,
    Texts,
)
from desk.trade.content.toml_positions import Place
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.trade.reference.complaints import COMPLAINTS
from desk.trade.reference.drawing_index import DRAWINGS
from desk.trade.reference.sensing_kinds import SENSING_KINDS

_FEWEST_STEPS, _MOST_STEPS = 2, 6
NOTED = {
    *("advice", "complaint", "gas_meter", "left_state", "next_step", "note", "parts", "photo"),
    *("referred_to", "sensing_kind", "who_allowed", "work_done"),
}
"""What a check may ask to be written down that is no reading typed in one go."""


def findings(content: Content, places: Places, sound: Collection[str] = ()) -> list[ContentFinding]:
    """Return everything that is wrong with content of the right shape; empty when sound.

    Args:
        content: what was read.
        places: where each item was written.
        sound: ids of lists that are known to be so; they are not gone through again.
    """
    found = [*_causes(content, places), *_cautions(content, places)]
    found += _unread_cautions(content, places)
    for checklist in content.checklists.values():
        if checklist.id in sound:
            continue
        this = ContentItem("list", checklist.id, checklist.id)
        for check in checklist.checks.values():
            found += _check(places, checklist, check, content)
        if checklist.start not in checklist.checks:
            found.append(
                places.finding(
                    "{file}: {list} starts with {item}, which is not there; mend start.",
                    this,
                    ("start",),
                    list=checklist.id,
                    item=checklist.start,
                )
            )
        else:
            found += graph_rules.findings(checklist, places)
        found += _english(places, this, {("title",): checklist.title, ("basis",): checklist.basis})
        found += _list_weights(checklist, places)
    found += safety_rules.findings(content, places)
    return found + list(_complaints(content, places))


def _complaints(content: Content, places: Places) -> Iterator[ContentFinding]:
    """Every complaint has its one list."""
    worked = Counter(key for one in content.checklists.values() for key in one.complaints)
    for complaint in sorted(worked.keys() | COMPLAINTS.keys()):
        lists = [key for key, one in content.checklists.items() if complaint in one.complaints]
        this = ContentItem("list", *(2 * (lists[-1],) if lists else ("",)))
        if complaint not in COMPLAINTS:
            yield places.finding(
                "{file}: {item} is no complaint; take it out of complaints.",
                this,
                ("complaints",),
                item=complaint,
            )
        elif worked[complaint] != 1:
            yield places.finding(
                "{file}: {count} lists are worked for the complaint “{item}”; name it in one.",
                this,
                ("complaints",),
                count=worked[complaint],
                item=complaint,
            )


def _list_weights(checklist: Checklist, places: Places) -> Iterator[ContentFinding]:
    this = ContentItem("list", checklist.id, checklist.id)
    for cause, weight in checklist.weights.items():
        if cause not in checklist.causes:
            yield places.finding(
                "{file}: in {list} it weighs {item}, which is no cause; mend weights.",
                this,
                ("weights", cause),
                list=checklist.id,
                item=cause,
            )
        if not (isfinite(weight) and weight > 0):
            yield places.finding(
                "{file}: in {list} {item} has a weight of {weight}; give one above 0.",
                this,
                ("weights", cause),
                list=checklist.id,
                item=cause,
                weight=weight,
            )


def _causes(content: Content, places: Places) -> Iterator[ContentFinding]:
    for cause in content.causes.values():
        this = ContentItem("cause", cause.id)
        if not (isfinite(cause.weight) and cause.weight > 0):
            yield places.finding(
                "{file}: {item} has a weight of {weight}; give one above 0.",
                this,
                ("weight",),
                item=cause.id,
                weight=cause.weight,
            )
        yield from _english(places, this, {(key,): getattr(cause, key) for key in CAUSE_TEXTS})
        for at, caution in enumerate(cause.repair.cautions if cause.repair else ()):
            if caution not in content.cautions:
                yield places.finding(
                    "{file}: the repair of {item} names the caution {caution}, which is not "
                    "there; add it to cautions.toml.",
                    this,
                    ("repair", "cautions", at),
                    item=cause.id,
                    caution=caution,
                )


CAUSE_TEXTS = (
    *("name", "explanation", "remedy", "failure_mode", "failure_mechanism", "failure_cause"),
    "corrective_maintenance",
)


def _cautions(content: Content, places: Places) -> Iterator[ContentFinding]:
    for caution in content.cautions.values():
        this = ContentItem("caution", caution.id)
        yield from _english(places, this, {("text",): caution.text})
        yield from label_rules.long_lines(caution, places)
        if not caution.sources:
            yield places.finding(
                "{file}: {item} names no source; name one, or say there is none.",
                this,
                ("sources",),
                item=caution.id,
            )


def _unread_cautions(content: Content, places: Places) -> Iterator[ContentFinding]:
    shown = {caution for checklist in content.checklists.values() for caution in checklist.cautions}
    for caution in content.cautions.keys() - shown:
        yield places.finding(
            "{file}: no check shows {item}; name it in one or take it out.",
            ContentItem("caution", caution),
            item=caution,
        )


def _english(
    places: Places, item: ContentItem, texts: Mapping[Place, Text | Texts]
) -> Iterator[ContentFinding]:
    for key, text in texts.items():
        if not _is_said(text.get("en", "")):
            yield places.finding(
                "{file}: {item} lacks a text in English; write it under en.",
                item,
                (*key, "en"),
                item=item.id,
            )


def _is_said(text: str | tuple[str, ...]) -> bool:
    lines = (text,) if isinstance(text, str) else text
    return bool(lines) and all(line.strip() for line in lines)


def _check(
    places: Places, checklist: Checklist, check: Check, content: Content
) -> Iterator[ContentFinding]:
    this = ContentItem("check", check.id, checklist.id)
    texts: dict[Place, Text | Texts] = {
        ("title",): check.title, ("why",): check.why, ("how",): check.how
    }  # fmt: skip
    texts |= {("answers", at, "text"): one.text for at, one in enumerate(check.answers)}
    shorts = {("answers", at, "short"): one.short for at, one in enumerate(check.answers)}
    texts |= {place: short for place, short in shorts.items() if short}
    texts |= {("tools",): check.tools} if check.tools else {}
    texts |= {("short_how",): check.short_how} if check.short_how else {}
    yield from _english(places, this, texts)
    faults = chain(
        _steps(check),
        _answers(checklist, check),
        graph_rules.faults_of_ways(checklist, check),
        label_rules.shorts(check),
        _likelihood(checklist, check),
        _prerequisites(checklist, check),
        _guards(check, content),
        _drawing(check),
    )
    for key, fault in faults:
        yield places.finding("{file}: check {item} {fault}", this, key, item=check.id, fault=fault)


def _steps(check: Check) -> Iterator[Fault]:
    for language, steps in check.how.items():
        if not _FEWEST_STEPS <= len(steps) <= _MOST_STEPS:
            yield (
                ("how", language),
                message(
                    "has {count} steps in {language}; write two to six.",
                    count=len(steps),
                    language=language,
                ),
            )
    if not (isfinite(check.minutes) and check.minutes > 0):
        takes = message("takes {minutes} minutes; give more than 0.", minutes=check.minutes)
        yield ("minutes",), takes
    for at, name in enumerate(check.records):
        if name not in NOTED and name != FLOW and name not in READING_KINDS:
            no_kind = message("records {name}, which is no kind of reading; mend it.", name=name)
            yield ("records", at), no_kind


def _answers(checklist: Checklist, check: Check) -> Iterator[Fault]:
    if not check.answers:
        yield ("answers",), message("has no answers; give at least one.")
    counts = Counter(answer.id for answer in check.answers)
    for at, answer in enumerate(check.answers):
        if counts.pop(answer.id, 1) > 1 or answer.id == COULD_NOT:
            twice = message("uses the answer {answer} twice; rename one.", answer=answer.id)
            yield ("answers", at, "id"), twice
        for cause in answer.finds:
            if cause not in checklist.causes:
                yield (
                    ("answers", at, "finds"),
                    message(
                        "finds {cause}, which is no cause; add it to causes.toml.", cause=cause
                    ),
                )
        if answer.sets_sensing is not None and answer.sets_sensing not in SENSING_KINDS:
            yield (
                ("answers", at, "sets_sensing"),
                message(
                    "sets the sensing kind {kind}, which is none; use one of {kinds}.",
                    kind=answer.sets_sensing,
                    kinds=", ".join(SENSING_KINDS),
                ),
            )


def _likelihood(checklist: Checklist, check: Check) -> Iterator[Fault]:
    if check.likelihood and DEFAULT not in check.likelihood:
        yield ("likelihood",), message("has likelihoods without default; add that row.")
    for cause, row in check.likelihood.items():
        place = ("likelihood", cause)
        if cause != DEFAULT and cause not in checklist.causes:
            no_cause = "has a likelihood for {cause}, which is no cause; mend it."
            yield place, message(no_cause, cause=cause)
        if len(row) != len(check.answers):
            yield (
                place,
                message(
                    "has {count} numbers in the row {cause}; give one for each answer.",
                    count=len(row),
                    cause=cause,
                ),
            )
        elif not isclose(sum(row), 1, abs_tol=1e-9) or min(row) < 0:
            yield (
                place,
                message(
                    "has a row {cause} that sums to {total}; make it 1, none below 0.",
                    cause=cause,
                    total=f"{sum(row):g}",
                ),
            )


def _prerequisites(checklist: Checklist, check: Check) -> Iterator[Fault]:
    for earlier, answers in check.after.items():
        place = ("after", earlier)
        if earlier not in checklist.checks:
            yield place, message("comes after {check}, which is not there; mend it.", check=earlier)
            continue
        known = {COULD_NOT, *(answer.id for answer in checklist.checks[earlier].answers)}
        for answer in sorted(set(answers) - known):
            yield (
                place,
                message(
                    "comes after {answer} of {check}, which is not there; mend it.",
                    answer=answer,
                    check=earlier,
                ),
            )


def _guards(check: Check, content: Content) -> Iterator[Fault]:
    guarded: set[str] = set()
    for at, caution in enumerate(check.cautions):
        if caution in content.cautions:
            guarded.update(content.cautions[caution].guards)
        else:
            yield (
                ("cautions", at),
                message(
                    "names the caution {caution}, which is not there; add it to cautions.toml.",
                    caution=caution,
                ),
            )
    for opened in check.opens:
        if opened not in guarded:
            unguarded = "opens {opened} without a caution that guards it; name one."
            yield ("opens",), message(unguarded, opened=opened)
    if "gas" in check.opens and check.needs != "gas":
        yield ("needs",), message("opens gas without a gas licence; set needs to gas.")


def _drawing(check: Check) -> Iterator[Fault]:
    if check.drawing and check.drawing not in DRAWINGS:
        yield (
            ("drawing",),
            message(
                "names the drawing {drawing}, which is not there; use one of {drawings}.",
                drawing=check.drawing,
                drawings=", ".join(sorted(DRAWINGS)),
            ),
        )
