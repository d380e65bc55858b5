"""What must hold of the content beyond its shape: a checklist is a graph without a circle.

Every rule gives findings: one sentence that names the file or list, the item and the mend.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import chain
from math import isclose, isfinite

from desk.trade.checklist import reachable
from desk.trade.complaints import COMPLAINTS
from desk.trade.content import COULD_NOT, DEFAULT, Answer, Check, Checklist, Content, Text, Texts
from desk.trade.readings import FLOW, READING_KINDS
from desk.trade.sensing import SENSING_KINDS
from desk.wording import Message, message

_FEWEST_STEPS, _MOST_STEPS = 2, 6
_NOTED = {
    *("advice", "complaint", "gas_meter", "left_state", "next_step", "note", "parts", "photo"),
    *("referred_to", "sensing_kind", "who_allowed", "work_done"),
}
"""What a check may ask to be written down that is no reading typed in one go."""


def findings(content: Content, files: Mapping[tuple[str, str], str]) -> list[Message]:
    """Return everything that is wrong with content of the right shape; empty when sound.

    Args:
        content: what was read.
        files: the name of the file that each (checklist, check) came from.
    """
    found = [*_causes(content), *_cautions(content), *_unread_cautions(content)]
    for checklist in content.checklists.values():
        for check in checklist.checks.values():
            file = files.get((checklist.id, check.id), checklist.id)
            found += _check(file, checklist, check, content)
        if checklist.start not in checklist.checks:
            found.append(
                message(
                    "list.toml of {file}: it starts with {item}, which is not there; mend start.",
                    file=checklist.id,
                    item=checklist.start,
                )
            )
        elif not _broken_ways(checklist):  # the graph rules need ways that lead somewhere
            found += _graph(checklist, files)
        found += _waiting_for_one_another(checklist, files)
        found += _english("list.toml", checklist.id, checklist.title, checklist.basis)
        found += _list_weights(checklist)
    return found + list(_complaints(content))


def _complaints(content: Content) -> Iterator[Message]:
    """Every complaint has its one list."""
    worked = Counter(key for one in content.checklists.values() for key in one.complaints)
    for complaint in sorted(worked.keys() | COMPLAINTS.keys()):
        if complaint not in COMPLAINTS:
            yield message(
                "list.toml: {item} is no complaint; take it out of complaints.", item=complaint
            )
        elif worked[complaint] != 1:
            yield message(
                "list.toml: {count} lists are worked for the complaint “{item}”; name it in one.",
                count=worked[complaint],
                item=complaint,
            )


def _list_weights(checklist: Checklist) -> Iterator[Message]:
    for cause, weight in checklist.weights.items():
        if cause not in checklist.causes:
            yield message(
                "list.toml of {file}: it weighs {item}, which is no cause; mend weights.",
                file=checklist.id,
                item=cause,
            )
        if not (isfinite(weight) and weight > 0):
            yield message(
                "list.toml of {file}: {item} has a weight of {weight}; give one above 0.",
                file=checklist.id,
                item=cause,
                weight=weight,
            )


def _causes(content: Content) -> Iterator[Message]:
    for cause in content.causes.values():
        if not (isfinite(cause.weight) and cause.weight > 0):
            yield message(
                "causes.toml: {item} has a weight of {weight}; give one above 0.",
                item=cause.id,
                weight=cause.weight,
            )
        texts = (cause.name, cause.explanation, cause.remedy, cause.failure_mode)
        more = (cause.failure_mechanism, cause.failure_cause, cause.corrective_maintenance)
        yield from _english("causes.toml", cause.id, *texts, *more)


def _cautions(content: Content) -> Iterator[Message]:
    for caution in content.cautions.values():
        yield from _english("cautions.toml", caution.id, caution.text)
        if not caution.sources:
            yield message(
                "cautions.toml: {item} names no source; name one, or say there is none.",
                item=caution.id,
            )


def _unread_cautions(content: Content) -> Iterator[Message]:
    shown = {caution for checklist in content.checklists.values() for caution in checklist.cautions}
    for caution in content.cautions.keys() - shown:
        yield message(
            "cautions.toml: no check shows {item}; name it in one or take it out.", item=caution
        )


def _english(file: str, item: str, *texts: Text | Texts) -> Iterator[Message]:
    if any(not _is_said(text.get("en", "")) for text in texts):
        yield message(
            "{file}: {item} lacks a text in English; write it under en.", file=file, item=item
        )


def _is_said(text: str | tuple[str, ...]) -> bool:
    lines = (text,) if isinstance(text, str) else text
    return bool(lines) and all(line.strip() for line in lines)


def _check(file: str, checklist: Checklist, check: Check, content: Content) -> Iterator[Message]:
    texts: list[Text | Texts] = [check.title, check.why, check.how]
    texts += [answer.text for answer in check.answers]
    texts += [check.tools] if check.tools else []
    yield from _english(file, check.id, *texts)
    faults = chain(
        _steps(check),
        _answers(checklist, check),
        _ways(checklist, check),
        _likelihood(checklist, check),
        _prerequisites(checklist, check),
        _guards(check, content),
    )
    for fault in faults:
        yield message("{file}: check {item} {fault}", file=file, item=check.id, fault=fault)


def _steps(check: Check) -> Iterator[Message]:
    for language, steps in check.how.items():
        if not _FEWEST_STEPS <= len(steps) <= _MOST_STEPS:
            yield message(
                "has {count} steps in {language}; write two to six.",
                count=len(steps),
                language=language,
            )
    if not (isfinite(check.minutes) and check.minutes > 0):
        yield message("takes {minutes} minutes; give more than 0.", minutes=check.minutes)
    for name in check.records:
        if name not in _NOTED and name != FLOW and name not in READING_KINDS:
            yield message("records {name}, which is no kind of reading; mend it.", name=name)


def _answers(checklist: Checklist, check: Check) -> Iterator[Message]:
    if not check.answers:
        yield message("has no answers; give at least one.")
    for answer_id, count in Counter(answer.id for answer in check.answers).items():
        if count > 1 or answer_id == COULD_NOT:
            yield message("uses the answer {answer} twice; rename one.", answer=answer_id)
    for answer in check.answers:
        for cause in answer.finds:
            if cause not in checklist.causes:
                yield message(
                    "finds {cause}, which is no cause; add it to causes.toml.", cause=cause
                )
        if answer.sets_sensing is not None and answer.sets_sensing not in SENSING_KINDS:
            yield message(
                "sets the sensing kind {kind}, which is none; use one of {kinds}.",
                kind=answer.sets_sensing,
                kinds=", ".join(SENSING_KINDS),
            )


def _ways(checklist: Checklist, check: Check) -> Iterator[Message]:
    for way in check.ways():
        name = way.id if isinstance(way, Answer) else COULD_NOT
        if bool(way.next) == (way.ending is not None):
            yield message(
                "leads from {answer} to both or neither of next and ending; give one.", answer=name
            )
        if way.next and DEFAULT not in way.next and set(way.next) != set(SENSING_KINDS):
            yield message("has a next without default from {answer}; add it.", answer=name)
        for kind, following in way.next.items():
            if kind not in (*SENSING_KINDS, DEFAULT):
                yield message(
                    "knows no sensing kind {kind} in the next of {answer}; mend the key.",
                    kind=kind,
                    answer=name,
                )
            if following not in checklist.checks:
                yield message(
                    "leads from {answer} to {check}, which is not there; write or rename it.",
                    answer=name,
                    check=following,
                )


def _likelihood(checklist: Checklist, check: Check) -> Iterator[Message]:
    if check.likelihood and DEFAULT not in check.likelihood:
        yield message("has likelihoods without default; add that row.")
    for cause, row in check.likelihood.items():
        if cause != DEFAULT and cause not in checklist.causes:
            yield message("has a likelihood for {cause}, which is no cause; mend it.", cause=cause)
        if len(row) != len(check.answers):
            yield message(
                "has {count} numbers in the row {cause}; give one for each answer.",
                count=len(row),
                cause=cause,
            )
        elif not isclose(sum(row), 1, abs_tol=1e-9) or min(row) < 0:
            yield message(
                "has a row {cause} that sums to {total}; make it 1, none below 0.",
                cause=cause,
                total=f"{sum(row):g}",
            )


def _prerequisites(checklist: Checklist, check: Check) -> Iterator[Message]:
    for earlier, answers in check.after.items():
        if earlier not in checklist.checks:
            yield message("comes after {check}, which is not there; mend it.", check=earlier)
            continue
        known = {answer.id for answer in checklist.checks[earlier].answers}
        for answer in sorted(set(answers) - known):
            yield message(
                "comes after {answer} of {check}, which is not there; mend it.",
                answer=answer,
                check=earlier,
            )


def _guards(check: Check, content: Content) -> Iterator[Message]:
    guarded: set[str] = set()
    for caution in check.cautions:
        if caution in content.cautions:
            guarded.update(content.cautions[caution].guards)
        else:
            yield message(
                "names the caution {caution}, which is not there; add it to cautions.toml.",
                caution=caution,
            )
    for opened in check.opens:
        if opened not in guarded:
            yield message(
                "opens {opened} without a caution that guards it; name one.", opened=opened
            )
    if "gas" in check.opens and check.needs != "gas":
        yield message("opens gas without a gas licence; set needs to gas.")


def _broken_ways(checklist: Checklist) -> bool:
    return any(
        following not in checklist.checks
        for check in checklist.checks.values()
        for way in check.ways()
        for following in way.next.values()
    )


def _graph(checklist: Checklist, files: Mapping[tuple[str, str], str]) -> Iterator[Message]:
    leads_to = {
        check.id: [following for way in check.ways() for following in way.next.values()]
        for check in checklist.checks.values()
    }
    circle = _circle(leads_to)
    if circle:
        yield message(
            "{file}: the checks {circle} go round in a circle; let one of them lead elsewhere.",
            file=files.get((checklist.id, circle[0]), checklist.id),
            circle=", ".join(reversed(circle)),
        )
    met = set[str]().union(*(reachable(checklist, kind) for kind in SENSING_KINDS))
    for check_id in checklist.checks:
        if check_id not in met:
            yield message(
                "{file}: nothing leads to check {item}; name it as a next or take it out.",
                file=files.get((checklist.id, check_id), checklist.id),
                item=check_id,
            )
    found = {
        cause
        for check in met
        for answer in checklist.checks[check].answers
        for cause in answer.finds
    }
    for cause in checklist.causes:
        if cause not in found:
            yield message(
                "causes.toml: no answer of {checklist} finds the cause {item}; "
                "add it to the finds of one.",
                checklist=checklist.id,
                item=cause,
            )


def _waiting_for_one_another(
    checklist: Checklist, files: Mapping[tuple[str, str], str]
) -> Iterator[Message]:
    circle = _circle({check.id: list(check.after) for check in checklist.checks.values()})
    if circle:
        yield message(
            "{file}: the checks {circle} wait for one another; take an after out of one of them.",
            file=files.get((checklist.id, circle[0]), checklist.id),
            circle=", ".join(circle),
        )


def _circle(graph: Mapping[str, Iterable[str]]) -> list[str]:
    """Return the nodes of a circle, the first once more as the last; empty without one."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle: list[str] = error.args[1]
        return circle
    return []
