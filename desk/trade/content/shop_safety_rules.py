"""What a shop's own checks may not take away: no caution from a step, no guard from the way.

The work can hurt, so what was written for safety is only ever added to: a check that replaces a
shipped one keeps its cautions, the work that it needs and what it opens, what has to come before
it and where it says to stop and leave; a caution stays as serious; and what was reached only past
a check that may end the work is still reached only past it.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from itertools import chain
from typing import get_args

from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist, Content, reachable
from desk.trade.content.findings import ContentFinding, ContentItem, Fault, Places
from desk.trade.content.graph_rules import is_whole, place_of_way
from desk.trade.content.model import COULD_NOT, Cause, Caution, Check, Ending
from desk.trade.reference.sensing_kinds import SENSING_KINDS

_STOPS = ("left", "referred")
"""Endings by which a check keeps somebody from work that is not safe, or not theirs."""
_OPENS, _NEEDS = "opens ", "needs "


def findings(shipped: Content, merged: Content, places: Places) -> list[ContentFinding]:
    """Return everything that content with a shop's own over it has lost of what guards people.

    Args:
        shipped: sound content.
        merged: the same with the shop's own over it.
        places: where the shop's own was written.
    """
    found = list(_unfound_causes(shipped, merged, places))
    for key, caution in merged.cautions.items():
        if key in shipped.cautions:
            found += _caution(shipped.cautions[key], caution, places)
    for key, cause in merged.causes.items():
        if key in shipped.causes:
            found += _repair(shipped.causes[key], cause, places)
    written = {item.checklist for item in places.sources}
    for list_id, before in shipped.checklists.items():
        after = merged.checklists[list_id]
        for check_id, check in before.checks.items():
            item = ContentItem("check", check_id, list_id)
            if item in places.sources:
                found += _check(check, after.checks[check_id], item, places)
        if list_id in written and is_whole(after):
            found += _passed_by(before, after, places)
    return found


def _unfound_causes(shipped: Content, merged: Content, places: Places) -> Iterator[ContentFinding]:
    """A cause of the shop's own is found in a list that names it, so one has to name it."""
    for cause in merged.causes.keys() - shipped.causes.keys():
        if not any(cause in checklist.causes for checklist in merged.checklists.values()):
            yield places.finding(
                "{file}: no answer finds the cause {item}; add it to the finds of one.",
                ContentItem("cause", cause),
                item=cause,
            )


def _repair(before: Cause, after: Cause, places: Places) -> Iterator[ContentFinding]:
    """A cause's repair opens and warns as before, or says nothing, so that all of it holds."""
    if before.repair is None or after.repair is None:
        return
    for name in ("opens", "cautions"):
        lost = set(getattr(before.repair, name)) - set(getattr(after.repair, name))
        if lost:
            yield places.finding(
                "{file}: the repair of {item} lacks {lost}; add it to {name}.",
                ContentItem("cause", after.id),
                ("repair", name),
                item=after.id,
                lost=sorted(lost)[0],
                name=name,
            )


def _caution(before: Caution, after: Caution, places: Places) -> Iterator[ContentFinding]:
    item = ContentItem("caution", after.id)
    if before.serious and not after.serious:
        yield places.finding(
            "{file}: the caution {item} is serious and stays so; set serious to true.",
            item,
            ("serious",),
            item=after.id,
        )
    for guarded in before.guards:
        if guarded not in after.guards:
            yield places.finding(
                "{file}: the caution {item} no longer guards {guarded}; add it to guards.",
                item,
                ("guards",),
                item=after.id,
                guarded=guarded,
            )


def _check(
    before: Check, after: Check, item: ContentItem, places: Places
) -> Iterator[ContentFinding]:
    for key, fault in chain(_kept(before, after), _waits(before, after), _stops(before, after)):
        yield places.finding("{file}: check {item} {fault}", item, key, item=item.id, fault=fault)


def _kept(before: Check, after: Check) -> Iterator[Fault]:
    for caution in before.cautions:
        if caution not in after.cautions:
            lacks = "lacks the caution {caution} of the check it replaces; name it in cautions."
            yield ("cautions",), message(lacks, caution=caution)
    if before.needs not in {"none", after.needs}:
        needs = "needs {needs} in the check it replaces; set needs to that."
        yield ("needs",), message(needs, needs=before.needs)
    if before.powered_open and not after.powered_open:
        runs = "is powered open in the check it replaces; set powered_open to true."
        yield ("powered_open",), message(runs)
    for opened in before.opens:
        if opened not in after.opens:
            opens = "opens {opened} in the check it replaces; add it to opens."
            yield ("opens",), message(opens, opened=opened)


def _waits(before: Check, after: Check) -> Iterator[Fault]:
    for earlier, answers in before.after.items():
        if not set(after.after.get(earlier, ())) or set(after.after[earlier]) - set(answers):
            waits = "waits for {check} in the check it replaces; keep that in after, as it was."
            yield ("after",), message(waits, check=earlier)


def _stops(before: Check, after: Check) -> Iterator[Fault]:
    for answer in before.answers:
        if answer.ending == "left":
            kept = [one for one in after.answers if one.id == answer.id]
            if not kept or kept[0].ending != "left":
                stops = "says stop and leave at the answer {answer}; keep it, with ending left."
                place = place_of_way(after, kept[0]) if kept else ("answers",)
                yield place, message(stops, answer=answer.id)
    if before.could_not.ending == "left" != after.could_not.ending:
        stops = "says stop and leave at the answer {answer}; keep it, with ending left."
        yield ("could_not",), message(stops, answer=COULD_NOT)


def _passed_by(before: Checklist, after: Checklist, places: Places) -> Iterator[ContentFinding]:
    """What was reached only past a check that may end the work, is still reached only past it."""
    new = after.checks.keys() - before.checks.keys()
    for guard, check in before.checks.items():
        if not any(way.ending in _STOPS for way in check.ways()):
            continue
        was, now = _reached_without(before, guard), _reached_without(after, guard)
        more = [thing for thing in now if thing not in {*was, *new, "left"}]  # leaving is allowed
        if more:
            yield places.finding(
                "{file}: {thing} is reached without the check {guard}; let every way pass it.",
                _leading(after, now, more, places),
                thing=_words(more[0]),
                guard=guard,
            )


def _words(thing: str) -> Message:
    """Say what can be come to."""
    if thing.startswith(_OPENS):
        return message("work that opens {what}", what=thing.removeprefix(_OPENS))
    if thing.startswith(_NEEDS):
        return message("work that needs {what}", what=thing.removeprefix(_NEEDS))
    if thing in get_args(Ending.__value__):
        return message("the ending {ending}", ending=thing)
    return message("the check {check}", check=thing)


def _leading(
    checklist: Checklist, reached: Container[str], things: Container[str], places: Places
) -> ContentItem:
    """Return the check of the shop's own that leads past a guard to one of some things."""
    own = [
        item
        for item in places.sources
        if item.kind == "check" and item.checklist == checklist.id and item.id in reached
    ]
    for item in own:
        check = checklist.checks[item.id]
        if any(to in things for way in check.ways() for to in (*way.next.values(), way.ending)):
            return item
    return own[0] if own else ContentItem("list", checklist.id, checklist.id)


def _reached_without(checklist: Checklist, guard: str) -> dict[str, None]:
    """Return what can be come to without passing a check: checks, endings, what is opened."""
    met = reachable(checklist, *SENSING_KINDS, without=guard)
    checks = [check for key, check in checklist.checks.items() if key in met]
    endings = (way.ending for check in checks for way in check.ways() if way.ending)
    opened = (f"{_OPENS}{what}" for check in checks for what in check.opens)
    needed = (f"{_NEEDS}{check.needs}" for check in checks if check.needs != "none")
    return dict.fromkeys(chain((check.id for check in checks), endings, opened, needed))
