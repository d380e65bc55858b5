"""What must hold of a checklist so that nobody is hurt by its order or by where it ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, product

from desk.base.texts import Message, message
from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.findings import ContentFinding, ContentItem, Places
from desk.trade.content.model import AFTER_THE_WORK, DEFAULT, Answer, Check, Repair, Way
from desk.trade.content.prerequisites import Stand, asked_next, heading_for
from desk.trade.content.toml_positions import Place
from desk.trade.reference.covers import COVER_SEALS, DOES_NOT_SEAL
from desk.trade.reference.sensing_kinds import SENSING_KINDS

type Fault = tuple[Place, Message]

STOP_ANSWERS = ("danger", "co", "soot")
"""Answers that mean the same wherever they are given: everybody leaves."""
CABINET_READY, READY = "cabinet_ready", "ready"
"""The checks that ready work in a cabinet, and the answers that allow it."""
PROOF_OF_GAS_WORK = "leak_test"
"""What a check records that proves gas work; its first answer says that it is passed."""


def findings(content: Content, places: Places) -> Iterator[ContentFinding]:
    """Give everything that is not safe in the checks of lists, each with its mend."""
    for checklist in content.checklists.values():
        for check in checklist.checks.values():
            item = ContentItem("check", check.id, checklist.id)
            faults = chain(
                _stops(check),
                _ends_of_gas_work(checklist, check),
                _opened(check, content),
                _cabinet(check),
                _undone(checklist, check),
                _repairs(checklist, check, content),
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
            yield place or ("could_not",), message(left_on, answer=way.said)


def _stays_safe(checklist: Checklist, way: Way) -> bool:
    if way.ending is not None:
        return way.ending == "left"
    following = (checklist.checks[to] for to in way.next.values() if to in checklist.checks)
    return all(one.shuts_off or "gas" in one.opens for one in following)


def _opened(check: Check, content: Content) -> Iterator[Fault]:
    """A danger that comes with opening is acknowledged where it is opened."""
    for at, key in enumerate(check.cautions):
        caution = content.cautions.get(key)
        if caution and caution.only_where_opened and not set(caution.guards) & set(check.opens):
            early = "shows {caution} and opens nothing of it; show it where that is opened."
            yield ("cautions", at), message(early, caution=key)


def _cabinet(check: Check) -> Iterator[Fault]:
    """What is in a cabinet waits for it to be proven dead; what runs it open, for its cover."""
    if check.powered_open and "cabinet" not in check.opens:
        yield ("opens",), message("is powered open and opens no cabinet; add cabinet to opens.")
    if not goes_inside(check):
        return
    if set(check.after.get(CABINET_READY, ())) != {READY}:
        dead = "opens the cabinet before it is proven dead; set {check} = {answers} in after."
        yield ("after",), message(dead, check=CABINET_READY, answers=f'["{READY}"]')
    if check.powered_open and set(check.after.get(COVER_SEALS, ())) != {DOES_NOT_SEAL}:
        sealed = "runs it with the cover off, sealed or not; set {check} = {answers} in after."
        yield ("after",), message(sealed, check=COVER_SEALS, answers=f'["{DOES_NOT_SEAL}"]')


def _undone(checklist: Checklist, check: Check) -> Iterator[Fault]:
    """What runs the appliance undoes what readied the work in its cabinet."""
    for at, one in enumerate(check.undoes):
        undone = checklist.checks.get(one)
        if undone is None or not undone.readies:
            no_ready = "undoes {check}, which readies no work; mend undoes."
            yield ("undoes", at), message(no_ready, check=one)
    if check.runs and CABINET_READY in checklist.checks and CABINET_READY not in check.undoes:
        puts_back = "runs the appliance, which is dead no longer; add {check} to undoes."
        yield ("undoes",), message(puts_back, check=CABINET_READY)


def _repairs(checklist: Checklist, check: Check, content: Content) -> Iterator[Fault]:
    """What is mended opens no more than its repair check, and is guarded by what that shows."""
    for at, answer in enumerate(check.answers):
        repairs = [checklist.checks[to] for to in answer.next.values() if to in checklist.checks]
        for repair, cause in product((one for one in repairs if one.mends), answer.finds):
            called_for = checklist.causes[cause].repair if cause in checklist.causes else None
            if called_for is not None:
                guarded = _guarded(repair, called_for, content)
                for opened in called_for.opens:
                    if opened not in repair.opens or opened not in guarded:
                        leads = (
                            "leads {cause}, whose repair opens {opened}, to {check}; "
                            "let that open it and show a caution that guards it."
                        )
                        told = message(leads, cause=cause, opened=opened, check=repair.id)
                        yield ("answers", at, "next"), told


def _guarded(repair: Check, called_for: Repair, content: Content) -> set[str]:
    shown = (content.cautions[one] for one in called_for.cautions if one in content.cautions)
    return {guarded for one in shown if one.id in repair.cautions for guarded in one.guards}


def goes_inside(check: Check) -> bool:
    """Say whether a check is done inside a cabinet: what opens it and closes it again aside."""
    if "cabinet" not in check.opens or check.id == CABINET_READY:
        return False
    return check.mends or check.stage not in AFTER_THE_WORK


def graph_findings(checklist: Checklist, places: Places) -> Iterator[ContentFinding]:
    """Give each check of a sound list that some way comes to before it is safe to do.

    Every way through the list is gone, as far as ways differ in where they stand, in the kind of
    sensing, in the finding to be mended and in what was said of cabinet and cover.
    """
    unsafe: dict[str, str] = {}
    for stand in _stands(checklist):
        check = checklist.checks[stand.check]
        if "cabinet" in checklist.opened_by(check, stand.finding) and goes_inside(check):
            if (CABINET_READY, READY) not in stand.readied:
                unsafe[check.id] = CABINET_READY
            elif check.powered_open and (COVER_SEALS, DOES_NOT_SEAL) not in stand.readied:
                unsafe.setdefault(check.id, COVER_SEALS)
    for check_id, before in unsafe.items():
        if any(_cabinet(checklist.checks[check_id])):
            continue  # that is said of it already
        yield places.finding(
            "{file}: a way comes to check {item} without {check}; let every way pass it.",
            ContentItem("check", check_id, checklist.id),
            item=check_id,
            check=before,
        )


def _stands(checklist: Checklist) -> Iterator[Stand]:
    """Give every stand that ways come to, those once that lead on alike."""
    apart = _where_kinds_part(checklist)
    todo: list[Stand | None] = [Stand(checklist.start, kind) for kind in SENSING_KINDS]
    seen, headings = set[Stand](), set[Stand]()
    while todo:
        stand = todo.pop()
        if stand is None:
            continue
        check = checklist.checks[stand.check]
        if stand.finding and not check.mends:
            stand = replace(stand, finding=())  # it tells nothing before a repair
        if apart.isdisjoint((stand.check, stand.then)):
            stand = replace(stand, sensing_kind=DEFAULT)
        if stand in seen:
            continue
        seen.add(stand)
        yield stand
        leads = dict.fromkeys(heading_for(checklist, stand, way) for way in check.ways())
        new = [one for one in leads if one is not None and one not in headings]
        headings.update(new)
        todo += [asked_next(checklist, one) for one in new]


def _where_kinds_part(checklist: Checklist) -> set[str]:
    """Return the checks from which on some way depends on the kind of sensing."""
    leads = {
        check.id: {to for way in check.ways() for to in way.next.values()}
        for check in checklist.checks.values()
    }
    apart = {
        check.id
        for check in checklist.checks.values()
        if any(way.next.keys() - {DEFAULT} for way in check.ways())
    }
    while more := {key for key, to in leads.items() if key not in apart and to & apart}:
        apart |= more
    return apart
