"""The form of one check: every field is kept as it is left, and says under itself what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, get_args

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from desk.base.texts import Message, _, language, message, say
from desk.paper.kit.id_words import STAGES
from desk.records.actions.drafts import SeeHalfTyped
from desk.records.views.drafts import on_own_check
from desk.trade.content.findings import ContentFinding
from desk.trade.content.model import Guards, Needs, Opens, Stage, Zone, in_language
from desk.trade.content.rules import NOTED
from desk.trade.content.shop_store import Raw
from desk.trade.readings.reading_kinds import FLOW, READING_KINDS
from desk.trade.reference.drawing_index import DRAWINGS
from desk.windows.kit.draft_keeper import DraftKeeper
from desk.windows.kit.fields import ChoiceLine, Field, WrittenLine, WrittenText
from desk.windows.kit.labels import text_label
from desk.windows.own_checks.answers_editor import Answers, WayChoices, led, way_choice
from desk.windows.own_checks.multi_choice import Options, Several
from desk.windows.own_checks.store_jobs import Opened, Seen
from desk.windows.stage_kit.large_controls import clear, let_write, put
from desk.windows.work.work_queue import WorkQueue

NEEDS_WORDS: dict[str, Message] = {
    "none": message("Nobody's licence"),
    "plumbing": message("Plumbing work"),
    "electrical": message("Electrical work"),
    "gas": message("Licensed gas work"),
}
OPENS_WORDS: dict[str, Message] = {
    "water": message("Water"),
    "cabinet": message("The cabinet"),
    "gas": message("Gas"),
}
NOTED_WORDS: dict[str, Message] = {
    "advice": message("Advice to the customer"),
    "complaint": message("The complaint"),
    "gas_meter": message("The gas meter"),
    "left_state": message("How it was left"),
    "next_step": message("The next step"),
    "note": message("A note"),
    "parts": message("Parts"),
    "photo": message("A photograph"),
    "referred_to": message("Whom it is referred to"),
    "sensing_kind": message("The sensing kind"),
    "who_allowed": message("Who allowed the work"),
    "work_done": message("Work done"),
    FLOW: message("The measured flow"),
}


ZONE_WORDS: dict[str, Message] = {
    "water": message("In the water"),
    "sensing": message("In what senses the draw"),
    "response": message("In what answers it"),
    "none": message("Nothing is at fault"),
}
GUARDS_WORDS: dict[str, Message] = {
    **OPENS_WORDS,
    "chemicals": message("Chemicals"),
    "heat": message("Heat"),
    "bacteria": message("Bacteria"),
    "fabric": message("Dust and fabric of the house"),
    "rules": message("Rules and licences"),
}
CAUSE_WORDS: dict[str, Message] = {
    "name": message("What was wrong"),
    "explanation": message("What happened, for the customer"),
    "remedy": message("What puts it right"),
    "failure_mode": message("How the failure shows (failure mode)"),
    "failure_mechanism": message("What led to it (failure mechanism)"),
    "failure_cause": message("What set it going (failure cause)"),
    "corrective_maintenance": message("The work (corrective maintenance)"),
}
_MAY_BE_LEFT_OUT = {"before", "tools", "opens", "cautions", "records", "basis", "after", "drawing"}


def _options(ids: Iterable[str], words: Mapping[str, Message]) -> Options:
    return tuple((one, say(words[one]) if one in words else one) for one in ids)


def _recorded() -> Options:
    kinds = tuple((key, say(kind.label)) for key, kind in READING_KINDS.items())
    return (*_options((FLOW, *sorted(NOTED)), NOTED_WORDS), *kinds)


class CheckForm(QScrollArea):
    """Shows a check and reports it, changed, as TOML holds it; decides nothing.

    Texts are those of the language in use.

    Signals:
        written: the check as it stands in the form now.
    """

    written = Signal(object)

    def __init__(self, queue: WorkQueue) -> None:
        super().__init__()
        self.setObjectName("check_form")
        self._queue = queue
        self.half_typed = DraftKeeper(queue, "", self)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._raw: Raw = {}
        self._language = language()
        self._shown: tuple[object, ...] = ()
        self._is_building = False
        self._page = QWidget()
        self._column = QVBoxLayout(self._page)
        self.trouble = text_label(loud=True, name="form_trouble")
        self.answers = Answers()
        self.answers.written.connect(self._keep_answers)
        self.fields: dict[str, Field] = {}
        self._take: dict[str, Callable[[str], object]] = {}
        self._parts = QVBoxLayout()
        self._column.addWidget(self.trouble)
        self._column.addLayout(self._parts)
        self.answers_head = text_label(_("Answers"), loud=True)
        self._column.addWidget(self.answers_head)
        self._column.addWidget(self.answers)
        self._last = QVBoxLayout()
        self._column.addLayout(self._last)
        self._column.addStretch(1)
        self.setWidget(self._page)

    def show_opened(self, opened: Opened, seen: Seen) -> None:
        """Show an item; the same one in another state leaves what is being typed alone."""
        self._language = language()
        is_own = opened.entry.state != "shipped"
        shown = (opened.entry.item, is_own)
        if shown != self._shown or opened.raw != self._raw:
            before = self._shown[0] if self._shown else None
            if shown[0] != before:
                item = opened.entry.item
                self.half_typed.begin(on_own_check(item.kind, item.checklist, item.id))
            self._shown, self._raw = shown, dict(opened.raw)
            self._is_building = True
            self._build(opened, seen)
            self._is_building = False
            if shown[0] != before:
                self.verticalScrollBar().setValue(0)
                self._take_up()
            let_write(self._page, is_own)

    def _take_up(self) -> None:
        """Give back what was typed here and not kept, as after a power cut."""
        keeper = self.half_typed
        self._queue.ask(
            self, SeeHalfTyped(keeper.place), keeper.take_up, keeper.refused.emit, key="half_typed"
        )

    def _build(self, opened: Opened, seen: Seen) -> None:
        clear(self._parts)
        clear(self._last)
        self.fields, self._take = {}, {}
        kind = opened.entry.item.kind
        self.answers_head.setVisible(kind == "check")
        self.answers.setVisible(kind == "check")
        if kind == "check":
            self._check(opened, seen)
        else:
            self.answers.show_answers({}, self._language, WayChoices((), ()))
            self._cause() if kind == "cause" else self._caution()

    def _check(self, opened: Opened, seen: Seen) -> None:
        here = opened.entry.item.id
        checks = tuple((e.item.id, e.title) for e in seen.entries if e.item.id != here)
        choices = WayChoices(checks, seen.causes)
        for key, label in (("title", _("What to find out")), ("why", _("Why"))):
            self._put_text(key, label, lines=1 if key == "title" else 2)
        self._texts()
        if opened.is_ours:
            place = ChoiceLine("before", _("Stands before"), checks, _("Where others lead to it"))
            self._put(place, self._raw.get("before", ""), str)
        self._work(seen)
        self._put_waits(seen)
        drawings = tuple((key, say(one.caption)) for key, one in DRAWINGS.items())
        drawing = ChoiceLine("drawing", _("Drawing"), drawings, _("None"))
        self._put(drawing, self._raw.get("drawing", ""), str)
        self.answers.show_answers(self._raw, self._language, choices)
        could_not = self._raw.get("could_not")
        way = dict(could_not) if isinstance(could_not, dict) else {}
        line = way_choice("could_not", _("Where it could not be checked"), choices, way)
        self._put(line, line.text(), lambda chosen: led(way, chosen), self._last)
        basis = WrittenLine("basis", _("Where these figures come from"), _("common practice"))
        self._put(basis, self._raw.get("basis", ""), str, self._last)

    def _put_waits(self, seen: Seen) -> None:
        """Put the field for the answers that must have been given before this is suggested."""
        here = seen.opened.entry.item.id if seen.opened else ""
        options = tuple(
            (f"{check.id}:{answer.id}", f"{in_language(check.title)} – {in_language(answer.text)}")
            for check in seen.checklist.checks.values()
            if check.id != here
            for answer in check.answers
        )
        field = Several("after", _("Waits for the answer"), options, _("Add an answer"))
        after = self._raw.get("after")
        held = after.items() if isinstance(after, dict) else ()
        pairs = (f"{check}:{one}" for check, answers in held for one in _strings(answers))
        self._put(field, ",".join(pairs), _waits)

    def _cause(self) -> None:
        for key, label in CAUSE_WORDS.items():
            self._put_text(key, say(label), lines=1 if key == "name" else 2)
            if key == "name":
                zones = _options(get_args(Zone.__value__), ZONE_WORDS)
                self._put(ChoiceLine("zone", _("Where it is"), zones), self._raw.get("zone"), str)
                weight = WrittenLine("weight", _("How often, against the others"), _("such as 1"))
                self._put(weight, _figure(self._raw.get("weight")), _number)

    def _caution(self) -> None:
        self._put_text("text", _("What to beware of"), lines=5)
        serious = ChoiceLine(
            "serious",
            _("How it is read"),
            (("true", _("Serious: read and acknowledged")), ("", _("Shown"))),
        )
        self._put(serious, "true" if self._raw.get("serious") else "", bool)
        guards = _options(get_args(Guards.__value__), GUARDS_WORDS)
        field = Several("guards", _("What it protects from"), guards, _("Add one"))
        self._put(field, ",".join(_strings(self._raw.get("guards"))), _ids)
        sources = WrittenText("sources", _("Where it comes from, one source a line"), lines=2)
        said = "\n".join(_strings(self._raw.get("sources")))
        self._put(sources, said, lambda text: [one for one in text.splitlines() if one.strip()])

    def _put_text(self, key: str, label: str, *, lines: int) -> None:
        """Put a field for a text that is kept by language."""
        field = WrittenLine(key, label) if lines == 1 else WrittenText(key, label, lines=lines)
        self._put(field, self._said(key), lambda text: self._in_language(key, text.strip()))

    def _texts(self) -> None:
        how = WrittenText("how", _("How, one step a line"), _("two to six short steps"), lines=6)
        self._put(how, "\n".join(self._lines("how")), self._steps)
        tools = WrittenLine("tools", _("Tools, a comma between"))
        self._put(tools, ", ".join(self._lines("tools")), self._tools)
        self._put(WrittenLine("minutes", _("Minutes")), _figure(self._raw.get("minutes")), _number)

    def _work(self, seen: Seen) -> None:
        stage = ChoiceLine("stage", _("Stage"), _options(get_args(Stage.__value__), STAGES))
        self._put(stage, self._raw.get("stage", ""), str)
        needs = ChoiceLine("needs", _("Needs"), _options(get_args(Needs.__value__), NEEDS_WORDS))
        self._put(needs, self._raw.get("needs", "none"), str)
        kinds = _options(get_args(Opens.__value__), OPENS_WORDS)
        for field in (
            Several("opens", _("Opens"), kinds, _("Add what is opened")),
            Several("cautions", _("Cautions"), seen.cautions, _("Add a caution")),
            Several("records", _("Asks to be written down"), _recorded(), _("Add what is asked")),
        ):
            self._put(field, ",".join(_strings(self._raw.get(field.key))), _ids)

    def _put(
        self,
        field: Field,
        text: object,
        take: Callable[[str], object],
        column: QVBoxLayout | None = None,
    ) -> None:
        field.put(str(text))
        field.written.connect(self._keep)
        self.fields[field.key], self._take[field.key] = field, take
        put(column or self._parts, field)

    def _keep(self, key: str, text: str) -> None:
        """Know one field anew and say how the check stands."""
        if self._is_building:
            return
        self.fields[key].settle()  # it is kept as it stands, sound or not
        value = self._take[key](text)
        raw = {**self._raw, key: value}
        if value in ("", [], {}) and key in _MAY_BE_LEFT_OUT:
            del raw[key]
        self._say(raw)

    def _keep_answers(self, answers: object, likelihood: object) -> None:
        raw = {**self._raw, "answers": answers, "likelihood": likelihood}
        if not likelihood:
            del raw["likelihood"]
        self._say(raw)

    def _say(self, raw: Raw) -> None:
        if raw != self._raw:
            self._raw = raw
            self.written.emit(raw)

    def show_findings(self, findings: Iterable[ContentFinding]) -> None:
        """Say what is wrong with this check under the fields that it concerns."""
        places: dict[tuple[str | int, ...], Field] = {
            (key,): one for key, one in self.fields.items()
        }
        places |= self.answers.fields()
        said: dict[int, list[str]] = {}
        above = []
        for finding in findings:
            field = _nearest(places, finding.key)
            if field is None:
                above.append(f"▲ {finding.sentence}")
            else:
                said.setdefault(id(field), []).append(beside(finding))
        for field in places.values():
            field.show_error("\n".join(dict.fromkeys(said.get(id(field), ()))))
        self.trouble.setText("\n".join(above))
        self.trouble.setVisible(bool(above))

    def flush(self) -> None:
        """Report what was typed and not reported yet."""
        for field in (*self.fields.values(), *self.answers.fields().values()):
            field.flush()

    def take_focus(self) -> None:
        """Put the keys on the first field."""
        for first in list(self.fields.values())[:1]:
            first.setFocus()

    def _said(self, key: str) -> str:
        texts = self._raw.get(key)
        return str(texts.get(self._language, "")) if isinstance(texts, dict) else ""

    def _lines(self, key: str) -> list[str]:
        texts = self._raw.get(key)
        return _strings(texts.get(self._language)) if isinstance(texts, dict) else []

    def _steps(self, text: str) -> Raw:
        return self._in_language("how", [one.strip() for one in text.splitlines() if one.strip()])

    def _tools(self, text: str) -> Raw:
        return self._in_language("tools", [one.strip() for one in text.split(",") if one.strip()])

    def _in_language(self, key: str, said: object) -> Raw:
        """Return a text in every language, with that of the language in use changed."""
        texts = self._raw.get(key)
        changed = {**(texts if isinstance(texts, dict) else {}), self._language: said}
        if not said:
            del changed[self._language]
        return changed


def beside(finding: ContentFinding) -> str:
    """Return what is wrong, without the place that it stands beside."""
    fault = finding.sentence.values.get("fault")
    if isinstance(fault, Message):
        return _("This check {fault}", fault=fault)
    if finding.key[-1:] == ("en",):
        return _("This has to be said in English too; write it.")
    reason = finding.sentence.values.get("reason")
    return _("Here {reason}; put this right.", reason=reason) if reason else say(finding.sentence)


def _nearest(
    places: dict[tuple[str | int, ...], Field], key: tuple[str | int, ...]
) -> Field | None:
    while key and key not in places:
        key = key[:-1]
    return places.get(key)


def _strings(value: Any) -> list[str]:  # noqa: ANN401 - whatever was written by hand
    return [str(one) for one in value] if isinstance(value, list) else []


def _ids(text: str) -> list[str]:
    return [one for one in text.split(",") if one]


def _waits(text: str) -> dict[str, list[str]]:
    waits: dict[str, list[str]] = {}
    for check, _colon, answer in (pair.partition(":") for pair in _ids(text)):
        waits.setdefault(check, []).append(answer)
    return waits


def _figure(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value or "")


def _number(text: str) -> float | str:
    """Return a number; what is none stays as it was typed, to be told of."""
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        return text
    return int(number) if number.is_integer() else number
