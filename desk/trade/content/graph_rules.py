"""What must hold of a checklist as a graph: no circle, nothing cut off, every cause found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from desk.base.texts import message
from desk.trade.content import safety_rules
from desk.trade.content.checklist import Checklist, reachable
from desk.trade.content.findings import ContentFinding, ContentItem, Fault, Places
from desk.trade.content.model import DEFAULT, Check, Way
from desk.trade.content.toml_positions import Place
from desk.trade.reference.sensing_kinds import SENSING_KINDS


def findings(checklist: Checklist, places: Places) -> Iterator[ContentFinding]:
    """Give everything that is wrong with the ways of a list that starts with one of its checks."""
    circles = list(_waiting_for_one_another(checklist, places))
    if is_whole(checklist):  # these rules need ways that lead somewhere
        ways = list(_ways(checklist, places))
        yield from ways
        if not ways and not circles and _waits_for_known(checklist):
            yield from safety_rules.graph_findings(checklist, places)
    yield from circles


def place_of_way(check: Check, way: Way) -> Place:
    """Return where in its check a way on is written."""
    for at, answer in enumerate(check.answers):
        if answer is way:
            return ("answers", at)
    return ("could_not",)


def faults_of_ways(checklist: Checklist, check: Check) -> Iterator[Fault]:
    """Give what is wrong with where the answers of one check lead."""
    for way in check.ways():
        name = way.said
        place = place_of_way(check, way)
        if bool(way.next) == (way.ending is not None):
            yield (
                (*place, "next"),
                message(
                    "leads from {answer} to both or neither of next and ending; give one.",
                    answer=name,
                ),
            )
        if way.next and DEFAULT not in way.next and set(way.next) != set(SENSING_KINDS):
            without = message("has a next without default from {answer}; add it.", answer=name)
            yield (*place, "next"), without
        for kind, following in way.next.items():
            if kind not in (*SENSING_KINDS, DEFAULT):
                yield (
                    (*place, "next", kind),
                    message(
                        "knows no sensing kind {kind} in the next of {answer}; mend the key.",
                        kind=kind,
                        answer=name,
                    ),
                )
            if following not in checklist.checks:
                yield (
                    (*place, "next", kind),
                    message(
                        "leads from {answer} to {check}, which is not there; write or rename it.",
                        answer=name,
                        check=following,
                    ),
                )


def _waits_for_known(checklist: Checklist) -> bool:
    return all(
        one in checklist.checks for check in checklist.checks.values() for one in check.after
    )


def is_whole(checklist: Checklist) -> bool:
    """Return whether every way leads to a check that is there."""
    ways = (way for check in checklist.checks.values() for way in check.ways())
    return all(to in checklist.checks for way in ways for to in way.next.values())


def _ways(checklist: Checklist, places: Places) -> Iterator[ContentFinding]:
    leads_to = {
        check.id: [following for way in check.ways() for following in way.next.values()]
        for check in checklist.checks.values()
    }
    circle = _circle(leads_to)
    if circle:
        yield places.finding(
            "{file}: the checks {circle} go round in a circle; let one of them lead elsewhere.",
            places.first_known(*(ContentItem("check", one, checklist.id) for one in circle)),
            circle=", ".join(reversed(circle)),
        )
    met = reachable(checklist, *SENSING_KINDS)
    for check_id in checklist.checks:
        if check_id not in met:
            yield places.finding(
                "{file}: nothing leads to check {item}; name it as a next or take it out.",
                ContentItem("check", check_id, checklist.id),
                item=check_id,
            )
    found = {
        cause
        for check in met
        for answer in checklist.checks[check].answers
        for cause in answer.finds
    }
    this = ContentItem("list", checklist.id, checklist.id)
    for cause in checklist.causes:
        if cause not in found:
            yield places.finding(
                "{file}: no answer of {checklist} finds the cause {item}; "
                "add it to the finds of one.",
                places.first_known(ContentItem("cause", cause), this),
                checklist=checklist.id,
                item=cause,
            )


def _waiting_for_one_another(checklist: Checklist, places: Places) -> Iterator[ContentFinding]:
    circle = _circle({check.id: list(check.after) for check in checklist.checks.values()})
    if circle:
        yield places.finding(
            "{file}: the checks {circle} wait for one another; take an after out of one of them.",
            places.first_known(*(ContentItem("check", one, checklist.id) for one in circle)),
            ("after",),
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
