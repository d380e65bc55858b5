"""What must hold of a checklist so that nobody is hurt by its order or by where it ends."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from desk.trade.content import AFTER_THE_WORK, COULD_NOT, Answer, Check, Checklist, Content, Way
from desk.trade.content_findings import Finding, Item, Places
from desk.trade.toml_lines import Place
from desk.wording import Message, message

type Fault = tuple[Place, Message]

STOP_ANSWERS = ("danger", "co", "soot")
"""Answers that mean the same wherever they are given: everybody leaves."""
PROOF_OF_GAS_WORK = "leak_test"
"""What a check records that proves gas work; its first answer says that it is passed."""


def findings(content: Content, places: Places) -> Iterator[Finding]:
    """Give everything that is not safe in the checks of sound lists, each with its mend."""
    for checklist in content.checklists.values():
        for check in checklist.checks.values():
            item = Item("check", check.id, checklist.id)
            faults = chain(
                _stops(check), _ends_of_gas_work(checklist, check), _opened(check, content)
            )
            for key, fault in faults:
                yield places.finding(
                    "{file}: check {item} {fault}", item, key, item=check.id, fault=fault
                )


def _stops(check: Check) -> Iterator[Fault]:
    """Soot, carbon monoxide and danger have one rule: everybody leaves."""
    for at, answer in enumerate(check.answers):
        if answer.id in STOP_ANSWERS and answer.ending != "left":
            stops = "goes on after the answer {answer}; let it stop and leave, with ending left."
            yield ("answers", at, "ending"), message(stops, answer=answer.id)


def _ends_of_gas_work(checklist: Checklist, check: Check) -> Iterator[Fault]:
    """Gas work that is not proven ends shut off and tagged, and is never left on."""
    if check.stage not in AFTER_THE_WORK or "gas" not in check.opens:
        return
    passed = check.answers[:1] if PROOF_OF_GAS_WORK in check.records else ()
    for way in check.ways():
        if way not in passed and not _stays_safe(checklist, way):
            left_on = "may leave it on after {answer}; lead to its proof or to what shuts it off."
            place = ("answers", check.answers.index(way)) if isinstance(way, Answer) else ()
            yield place or ("could_not",), message(left_on, answer=_name(way))


def _stays_safe(checklist: Checklist, way: Way) -> bool:
    if way.ending is not None:
        return way.ending == "left"
    following = (checklist.checks[to] for to in way.next.values() if to in checklist.checks)
    return all(one.shuts_off or "gas" in one.opens for one in following)


def _name(way: Way) -> str:
    return way.id if isinstance(way, Answer) else COULD_NOT


def _opened(check: Check, content: Content) -> Iterator[Fault]:
    """A danger that comes with opening is acknowledged where it is opened."""
    for at, key in enumerate(check.cautions):
        caution = content.cautions.get(key)
        if caution and caution.only_where_opened and not set(caution.guards) & set(check.opens):
            early = "shows {caution} and opens nothing of it; show it where that is opened."
            yield ("cautions", at), message(early, caution=key)
