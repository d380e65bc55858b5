"""What a pocket card says: cautions, facts, steps, and where each answer leads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from desk.base.texts import Message, _, message, plural
from desk.paper.kit.id_words import SENSING_KINDS, STAGES, word
from desk.paper.kit.text import Markup, escape, join, strong
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import DEFAULT, Check, Way, in_language
from desk.trade.diagnosis.walk import cautions_for

NEEDS: Mapping[str, Message] = {
    "none": message("needs no licence"),
    "plumbing": message("needs plumbing work"),
    "electrical": message("needs electrical work"),
    "gas": message("needs LICENSED GAS WORK"),
}
OPENS: Mapping[str, Message] = {
    "water": message("opens the water side"),
    "cabinet": message("opens the cabinet"),
    "gas": message("opens the gas side"),
}
ENDINGS: Mapping[str, Message] = {
    "mended": message("✔ end of the list: mended"),
    "to_continue": message("➜ end of the list: to be continued"),
    "no_fault_found": message("◇ end of the list: no fault found"),
    "referred": message("➜ end of the list: referred to somebody else"),
    "left": message("■ STOP AND LEAVE"),
}


def stage_name(check: Check) -> Markup:
    """Return the stage of the visit that a check belongs to."""
    return escape(word(STAGES, check.stage))


def facts(check: Check) -> Markup:
    """Say what a check takes: minutes, whose work it is, what it opens, and tools."""
    minutes = plural("about 1 minute", "about {count} minutes", round(check.minutes))
    if check.minutes != round(check.minutes):
        minutes = _("about {minutes} minutes", minutes=f"{check.minutes:g}")
    parts = [minutes, word(NEEDS, check.needs), *(word(OPENS, one) for one in check.opens)]
    tools = ", ".join(in_language(check.tools)) if check.tools else ""
    said = [escape(part) for part in parts]
    if tools:
        said.append(escape(_("tools: {tools}", tools=tools)))
    return join(*said, between="  ·  ")


def cautions(checklist: Checklist, check: Check) -> Iterator[tuple[bool, Markup]]:
    """Give each caution, the serious ones first, and whether it is one."""
    for caution in cautions_for(checklist, check.id):
        text = in_language(caution.text)
        if caution.serious:
            yield True, join(escape("▲"), strong(text))
        else:
            yield False, join(escape("△"), escape(text))


def steps(check: Check) -> Iterator[tuple[str, Markup]]:
    """Give the number of each step, and the step."""
    for number, step in enumerate(in_language(check.how), 1):
        yield f"{number}.", escape(step)


def answers(checklist: Checklist, check: Check) -> Iterator[tuple[str, Markup]]:
    """Give each answer with its digit and where it leads, "could not check" as the last."""
    for number, answer in enumerate(check.answers, 1):
        leads = escape(leads_to(checklist, answer))
        yield f"{number}", join(strong(in_language(answer.text)), leads, between="  ")
    leads = escape(leads_to(checklist, check.could_not))
    yield "0", join(strong(_("Could not check")), leads, between="  ")


def leads_to(checklist: Checklist, way: Way) -> str:
    """Say in words where a way leads, for each sensing kind where that differs."""
    if way.ending is not None:
        return word(ENDINGS, way.ending)
    kinds: dict[str, list[str]] = {}
    for kind, following in way.next.items():
        kinds.setdefault(following, []).append(kind)
    said = []
    for following, wanted in sorted(kinds.items(), key=lambda one: DEFAULT in one[1]):
        card = _card(checklist, following)
        if DEFAULT in wanted:
            said.append(card if len(kinds) == 1 else _("otherwise {card}", card=card))
        else:
            of = ", ".join(word(SENSING_KINDS, kind) for kind in wanted)
            said.append(card if len(kinds) == 1 else _("{kinds}: {card}", kinds=of, card=card))
    return "➜ " + "; ".join(said)


def _card(checklist: Checklist, check_id: str) -> str:
    number = [*checklist.checks].index(check_id) + 1
    title = in_language(checklist.checks[check_id].title)
    return _("card {number}, {title}", number=number, title=title)
