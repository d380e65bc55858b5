"""A shop's own checks, causes and cautions, laid over those that travel with the program.

The folder has the layout of ``shared/``: ``causes.toml``, ``cautions.toml`` and
``checklists/<list>/<anything>.toml``. An item with the id of a shipped one stands in its place,
any other is added. Nothing of it is used unless all of it is sound.

A new check names the check that it stands directly ``before``: every way that led there, and the
start of the list where that is meant, leads to the new check, and a way of the new check that
names neither a next nor an ending goes on there. Two before the same check come in the order in
which they are written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path

from desk.base.texts import Message, message
from desk.trade.content import rules, shop_safety_rules
from desk.trade.content.checklist import Checklist, Content
from desk.trade.content.file_reader import LIST_FILE, Reader
from desk.trade.content.findings import ContentFinding, ContentItem, Places
from desk.trade.content.model import DEFAULT, Answer, Cause, Caution, Check, Text, Way
from desk.trade.content.safety_rules import CABINET_READY

_NAME = re.compile(r"[a-z][a-z0-9_]{0,59}")
CAUSES, CAUTIONS, CHECKLISTS = "causes.toml", "cautions.toml", "checklists"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCheck(Check):
    """A check as a shop writes it.

    Attributes:
        before: the check that a new one stands directly before; "" for one that other checks
            lead to by name, or that replaces a shipped one.
    """

    before: str = ""

    def as_check(self) -> Check:
        """Return the check alone, as it is worked and kept."""
        return Check(**{each.name: getattr(self, each.name) for each in fields(Check)})


@dataclass(frozen=True, slots=True)
class OwnContent:
    """What a shop works with.

    Attributes:
        content: the shipped content with the shop's own over it; the shipped alone where
            anything is wrong.
        findings: everything that is wrong with the shop's own.
        own: what the shop wrote, in the order in which it was read; that which could not be read
            too.
    """

    content: Content
    findings: tuple[ContentFinding, ...] = ()
    own: tuple[ContentItem, ...] = ()


def read_over(
    shipped: Content, folder: Path, instead: Mapping[Path, str] | None = None
) -> OwnContent:
    """Read a shop's own folder over the shipped content.

    Args:
        shipped: sound content.
        folder: may be missing; then nothing is the shop's own.
        instead: texts of files to be read as if they stood there, to try them before they do.
    """
    reader = Reader(folder, instead)
    reader.findings += _strangers(shipped, reader, folder)
    causes, cautions = _catalogues(reader, folder)
    cautions = {key: _reworded(one, shipped.cautions.get(key)) for key, one in cautions.items()}
    whole = Content(
        causes={**shipped.causes, **causes},
        cautions={**shipped.cautions, **cautions},
        checklists=shipped.checklists,
    )
    lists = {}
    for key, checklist in shipped.checklists.items():
        place = folder / CHECKLISTS / key
        own = reader.checks(place, OwnCheck)
        reader.findings += _misplaced(checklist, own, reader.places)
        lists[key] = _laid_over(checklist, own, whole, frozenset(causes))
    merged = replace(whole, checklists=lists)
    reader.findings += _unnamed(reader.places)
    findings = reader.findings  # what cannot be read would be missed everywhere else
    if not findings:
        sound = [key for key, made in lists.items() if made is shipped.checklists[key]]
        findings = [
            _brought_home(finding, shipped, reader.places)
            for finding in rules.findings(merged, reader.places, sound)
        ]
        findings += shop_safety_rules.findings(shipped, merged, reader.places)
    return OwnContent(
        shipped if findings else merged, tuple(findings), tuple(reader.places.sources)
    )


def _catalogues(reader: Reader, folder: Path) -> tuple[dict[str, Cause], dict[str, Caution]]:
    """Read the causes and cautions, where the shop has written any."""
    there = {file.name for file in reader.files(folder)}
    causes = reader.items(folder / CAUSES, "cause", Cause) if CAUSES in there else {}
    cautions = reader.items(folder / CAUTIONS, "caution", Caution) if CAUTIONS in there else {}
    return causes, cautions


def _strangers(shipped: Content, reader: Reader, folder: Path) -> Iterator[ContentFinding]:
    """Find files that stand where nobody would read them."""
    for file in reader.files(folder):
        if file.name not in {CAUSES, CAUTIONS}:
            yield _unread(folder, file, f"{CAUSES}, {CAUTIONS}")
    for file in reader.files(folder / CHECKLISTS):
        yield _unread(folder, file, f"{CHECKLISTS}/{next(iter(shipped.checklists))}/…")
    for place in sorted((folder / CHECKLISTS).glob("*/")):
        if place.name not in shipped.checklists:
            lists = ", ".join(shipped.checklists)
            yield _unread(folder, place, lists)
        elif (place / LIST_FILE).exists():
            yield _unread(folder, place / LIST_FILE, "10-own.toml")


def _brought_home(finding: ContentFinding, shipped: Content, places: Places) -> ContentFinding:
    """Return a finding about a shipped item as one about the check of the shop's own behind it.

    A check that stands in the place of another may no longer lead to a third, no longer find a
    cause, or no longer have the answer that a third waits for.
    """
    told = finding.item
    if told is None or told in places.sources or not told.checklist:
        return finding
    checks = shipped.checklists[told.checklist].checks
    cause = str(finding.sentence.values.get("item", ""))
    for item in places.sources:
        was = checks.get(item.id) if item.checklist == told.checklist else None
        if was is None:
            continue
        leads = any(told.id in way.next.values() for way in was.ways())
        found = any(cause in answer.finds for answer in was.answers)
        if leads or found or (told.id in checks and was.id in checks[told.id].after):
            where = places.where(item, ("answers",))
            sentence = Message(finding.sentence.id, {**finding.sentence.values, "file": where})
            return ContentFinding(sentence, item, ("answers",))
    return finding


def is_name(text: str) -> bool:
    """Return whether a text can be the id of an item: it is in records and in names of files."""
    return _NAME.fullmatch(text) is not None


def _unnamed(places: Places) -> Iterator[ContentFinding]:
    for item in places.sources:
        if not is_name(item.id):
            yield places.finding(
                "{file}: {item} is no name; write it in small letters, digits and _ alone.",
                item,
                item=item.id,
            )


def _unread(folder: Path, place: Path, names: str) -> ContentFinding:
    sentence = message(
        "{file}: nobody reads this; name it one of {names}, or take it out.",
        file=place.relative_to(folder).as_posix(),
        names=names,
    )
    return ContentFinding(sentence)


def _misplaced(
    checklist: Checklist, own: Mapping[str, OwnCheck], places: Places
) -> Iterator[ContentFinding]:
    for check in own.values():
        item = ContentItem("check", check.id, checklist.id)
        if check.before and check.id in checklist.checks:
            yield places.finding(
                "{file}: check {item} replaces one of the list and keeps its place; "
                "take out before.",
                item,
                ("before",),
                item=check.id,
            )
        elif check.before and check.before not in {*checklist.checks, *own} - {check.id}:
            yield places.finding(
                "{file}: check {item} stands before {check}, which is not there; mend before.",
                item,
                ("before",),
                item=check.id,
                check=check.before,
            )


def _laid_over(
    shipped: Checklist, own: Mapping[str, OwnCheck], whole: Content, own_causes: frozenset[str]
) -> Checklist:
    """Return a list with a shop's checks in it, and the causes and cautions that it then uses.

    The very list that was shipped, where none of the shop's own changes it.
    """
    checks: dict[str, Check] = dict(shipped.checks)
    checks |= {key: _no_less_safe(check.as_check(), checks.get(key)) for key, check in own.items()}
    start = shipped.start
    for new in own.values():
        if new.before in checks and new.id not in shipped.checks and new.before != new.id:
            checks = _put_before(checks, new)
            start = new.id if start == new.before else start
    named = {cause for check in checks.values() for cause in _named_causes(check)}
    used = {caution for check in checks.values() for caution in check.cautions}
    made = replace(
        shipped,
        start=start,
        checks=checks,
        causes={
            key: cause
            for key, cause in whole.causes.items()
            if key in shipped.causes or key in named & own_causes
        },
        cautions={key: one for key, one in whole.cautions.items() if key in used},
    )
    return shipped if made == shipped else made


def _no_less_safe(check: Check, before: Check | None) -> Check:
    """Return a check that undoes what it must, and what the one that it replaces undoes.

    A shop wrote some before there was a word for it; nothing of it can be taken away.
    """
    undone = dict.fromkeys(check.undoes)
    undone |= dict.fromkeys(before.undoes if before else (CABINET_READY,) if check.runs else ())
    was = {answer.id: answer for answer in before.answers} if before else {}
    answers = tuple(_of_its_own(one, was.get(one.id, one)) for one in check.answers)
    is_stale = (
        before is not None and before.how != check.how and before.short_how == check.short_how
    )
    short_how = {} if is_stale else check.short_how
    return replace(check, undoes=tuple(undone), answers=answers, short_how=short_how)


def _of_its_own(answer: Answer, was: Answer) -> Answer:
    """Return an answer that disproves what it did, without the short of a text it has no more."""
    disproves = tuple(dict.fromkeys((*answer.disproves, *was.disproves)))
    return replace(answer, disproves=disproves, short=_still_short(answer, was))


def _reworded(caution: Caution, was: Caution | None) -> Caution:
    """Return a caution without the short of a text that it has no more."""
    return caution if was is None else replace(caution, short=_still_short(caution, was))


def _still_short[T: (Answer, Caution)](one: T, was: T) -> Text:
    """Return the short texts of one that stands in the place of another, but for stale ones."""
    stale = {
        language
        for language, short in was.short.items()
        if one.short.get(language) == short and one.text.get(language) != was.text[language]
    }
    return {key: text for key, text in one.short.items() if key not in stale}


def _named_causes(check: Check) -> Iterator[str]:
    yield from check.likelihood
    for answer in check.answers:
        yield from answer.finds


def _put_before(checks: Mapping[str, Check], new: OwnCheck) -> dict[str, Check]:
    """Return the checks with a new one in its place of the order, the ways led through it."""
    placed: dict[str, Check] = {}
    for key, check in checks.items():
        if key == new.before:
            placed[new.id] = _led(checks[new.id], {}, open_to=new.before)
        if key != new.id:
            placed[key] = _led(check, {new.before: new.id})
    return placed


def _led(check: Check, instead: Mapping[str, str], open_to: str = "") -> Check:
    """Return a check whose ways lead elsewhere, and those that lead nowhere to ``open_to``."""

    def way[W: Way](one: W) -> W:
        if open_to and not one.next and one.ending is None:
            return replace(one, next={DEFAULT: open_to})
        return replace(one, next={kind: instead.get(to, to) for kind, to in one.next.items()})

    answers: tuple[Answer, ...] = tuple(way(answer) for answer in check.answers)
    return replace(check, answers=answers, could_not=way(check.could_not))
