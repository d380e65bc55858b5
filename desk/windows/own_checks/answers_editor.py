"""Where a check leads: its answers, what they find, and what each says of the causes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton, QWidget

from desk.base.texts import Message, _, message, say
from desk.trade.content.model import DEFAULT, Ending
from desk.trade.content.shop_store import Raw
from desk.windows.kit.controls import column
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, WrittenLine
from desk.windows.kit.words import SENSING_KINDS, options
from desk.windows.own_checks.multi_choice import Options, Several
from desk.windows.stage_kit.large_controls import clear, put

BY_KIND = "*"
"""Stands for a way that depends on the sensing kind; it is kept as it was written."""
_ENDING = "!"

ENDINGS: dict[str, Message] = {
    "mended": message("End: mended"),
    "to_continue": message("End: to be continued"),
    "no_fault_found": message("End: no fault found"),
    "referred": message("End: somebody else has to do it"),
    "left": message("End: STOP AND LEAVE"),
}


@dataclass(frozen=True, slots=True)
class WayChoices:
    """What can be chosen for a check of a list."""

    checks: Options
    causes: Options


def where_to(way: Mapping[str, Any]) -> str:
    """Return where a way leads, as it is chosen."""
    if isinstance(way.get("next"), str):
        return str(way["next"])
    if way.get("next"):
        return BY_KIND
    return f"{_ENDING}{way['ending']}" if way.get("ending") else ""


def led(way: Raw, chosen: str) -> Raw:
    """Return a way that leads where was chosen."""
    if chosen == BY_KIND:
        return dict(way)
    rest = {key: value for key, value in way.items() if key not in {"next", "ending"}}
    if chosen.startswith(_ENDING):
        return {**rest, "ending": chosen[len(_ENDING) :]}
    return {**rest, "next": chosen} if chosen else rest


def way_choice(key: str, label: str, choices: WayChoices, way: Mapping[str, Any]) -> ChoiceLine:
    """Return a choice of where a way leads.

    Args:
        key: what the line is for; a refusal names it by this.
        label: stands over it.
        choices: the checks that a way can lead to.
        way: an answer as TOML holds it; where it leads now is chosen.
    """
    ends = tuple((f"{_ENDING}{end}", say(ENDINGS[end])) for end in get_args(Ending.__value__))
    kinds = ((BY_KIND, _("By the sensing kind, as written")),) if where_to(way) == BY_KIND else ()
    goes_on = _("On to the check it stands before")
    line = ChoiceLine(key, label, (*kinds, *ends, *choices.checks), goes_on)
    line.put(where_to(way))
    return line


class AnswerRow(QFrame):
    """One answer: its words, where it leads, and the causes that it points to."""

    def __init__(self, at: int, answer: Raw, language: str, choices: WayChoices) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setObjectName(f"answer_row_{at}")
        number = at + 1
        self.words = WrittenLine(f"answers_{at}_text", _("Answer {number}", number=number))
        texts = answer.get("text")
        self.words.put(str(texts.get(language, "")) if isinstance(texts, dict) else "")
        self.leads = way_choice(
            f"answers_{at}_next", _("Answer {number} leads to", number=number), choices, answer
        )
        self.finds = Several(
            f"answers_{at}_finds",
            _("Answer {number} points to", number=number),
            choices.causes,
            _("Add a cause"),
        )
        found = answer.get("finds")
        self.finds.put(",".join(found) if isinstance(found, list) else "")
        self.senses = ChoiceLine(
            f"answers_{at}_sets_sensing",
            _("Answer {number} tells how a draw is sensed", number=number),
            options(SENSING_KINDS),
            _("It does not tell"),
        )
        self.senses.put(str(answer.get("sets_sensing") or ""))
        self.take_out = QPushButton(_("✕  Take answer {number} out", number=number))
        self.take_out.setObjectName(f"answers_{at}_out")
        self.fields: tuple[Field, ...] = (self.words, self.leads, self.finds, self.senses)
        layout = column(spacing=6, margins=8)
        for part in (*self.fields, self.take_out):
            layout.addWidget(part)
        self.setLayout(layout)


class Answers(QWidget):
    """All the answers of a check, and what each says of the causes.

    Signals:
        written: the answers and the likelihoods, as TOML holds them.
    """

    written = Signal(object, object)

    def __init__(self) -> None:
        super().__init__()
        self._answers: list[Raw] = []
        self._likelihood: dict[str, list[Any]] = {}
        self._language, self._choices = "en", WayChoices((), ())
        self._is_building = False
        self.rows: list[AnswerRow] = []
        self.chances: dict[str, TypedLine] = {}
        self._column = column(spacing=8)
        self._below = column(spacing=6)
        self.add = QPushButton(_("Add an answer"))
        self.add.setObjectName("answer_add")
        self.add.clicked.connect(self._add)
        self.cause = ChoiceLine("likelihood_add", _("Say how likely each answer is with"), ())
        self.cause.settled.connect(self._add_cause)
        layout = column(spacing=8)
        layout.addLayout(self._column)
        layout.addWidget(self.add)
        layout.addLayout(self._below)
        layout.addWidget(self.cause)
        self.setLayout(layout)

    def show_answers(self, raw: Raw, language: str, choices: WayChoices) -> None:
        """Show the answers of a check.

        Args:
            raw: the check as TOML holds it; an empty one shows none.
            language: code of the language that the texts are written in.
            choices: what its ways can lead to, and what its answers can point to.
        """
        answers, likelihood = raw.get("answers"), raw.get("likelihood")
        self._answers = [dict(one) for one in answers] if isinstance(answers, list) else []
        self._likelihood = dict(likelihood) if isinstance(likelihood, dict) else {}
        self._language, self._choices = language, choices
        self._build()

    def _build(self) -> None:
        """Make the rows anew; one that goes while it is typed in has nothing more to say."""
        self._is_building = True
        self._build_rows()
        self._is_building = False

    def _build_rows(self) -> None:
        clear(self._column)
        clear(self._below)
        self.rows, self.chances = [], {}
        for at, answer in enumerate(self._answers):
            row = AnswerRow(at, answer, self._language, self._choices)
            row.words.written.connect(self._keep)
            row.leads.written.connect(self._keep)
            row.finds.written.connect(self._keep)
            row.senses.written.connect(self._keep)
            row.take_out.clicked.connect(self._take_out)
            put(self._column, row)
            self.rows.append(row)
        names = dict(self._choices.causes)
        for cause, chances in self._likelihood.items():
            name = _("any other cause") if cause == DEFAULT else names.get(cause, cause)
            line = TypedLine(f"likelihood_{cause}", _("Likely with: {cause}", cause=name))
            line.put("  ".join(_figure(one) for one in chances))
            line.settled.connect(self._keep_chances)
            put(self._below, line)
            self.chances[cause] = line
        left = tuple(one for one in self._choices.causes if one[0] not in self._likelihood)
        first = () if DEFAULT in self._likelihood else ((DEFAULT, _("any other cause")),)
        self.cause.put("")
        self.cause.offer((("", _("Choose a cause")), *first, *left))

    def fields(self) -> dict[tuple[str | int, ...], Field]:
        """Return the fields, by the place of what they hold."""
        found: dict[tuple[str | int, ...], Field] = {}
        for at, row in enumerate(self.rows):
            found |= {
                ("answers", at): row.leads,
                ("answers", at, "text"): row.words,
                ("answers", at, "id"): row.words,
                ("answers", at, "finds"): row.finds,
                ("answers", at, "sets_sensing"): row.senses,
            }
        return found | {("likelihood", cause): line for cause, line in self.chances.items()}

    def _keep(self, _key: str, _text: str) -> None:
        """Read the rows, and say what stands in them."""
        if self._is_building:
            return
        for at, row in enumerate(self.rows):
            answer = led(self._answers[at], row.leads.text())
            words = answer.get("text")
            texts = dict(words) if isinstance(words, dict) else {}
            texts[self._language] = row.words.text().strip()
            answer["text"] = texts
            answer |= {"finds": row.finds.ids(), "sets_sensing": row.senses.text()}
            for key in ("finds", "sets_sensing"):
                if not answer[key]:
                    del answer[key]
            self._answers[at] = answer
            for field in row.fields:
                field.settle()
        self._say_so()

    def _keep_chances(self) -> None:
        if self._is_building:
            return
        kept = {cause: _figures(line.text()) for cause, line in self.chances.items()}
        kept = {cause: figures for cause, figures in kept.items() if figures}
        if kept != self._likelihood:
            self._likelihood = kept
            self._say_so()

    def _add(self) -> None:
        taken = {str(one.get("id")) for one in self._answers}
        name = next(
            f"answer_{n}"
            for n in range(1, len(taken) + 2)
            if f"answer_{n}" not in taken
        )  # fmt: skip
        self._answers.append({"id": name, "text": {self._language: ""}})
        for cause, chances in self._likelihood.items():
            self._likelihood[cause] = [*chances, 0.0]
        self._build()
        self.rows[-1].words.setFocus()
        self._say_so()

    def _take_out(self) -> None:
        button = self.sender()
        at = next(at for at, row in enumerate(self.rows) if row.take_out is button)
        del self._answers[at]
        for cause, chances in self._likelihood.items():
            self._likelihood[cause] = [*chances[:at], *chances[at + 1 :]]
        self._build()
        self.add.setFocus()
        self._say_so()

    def _add_cause(self) -> None:
        cause, many = self.cause.text(), len(self._answers)
        if cause and many:
            self._likelihood[cause] = [round(1 / many, 3)] * many
            self._build()
            self.chances[cause].setFocus()
            self._say_so()

    def _say_so(self) -> None:
        self.written.emit(list(self._answers), dict(self._likelihood))


def _figure(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _figures(text: str) -> list[Any]:
    """Return the figures of a line; what is no figure stays as it was typed."""
    return [_number(part) for part in re.split(r"[\s;]+", text.strip()) if part]


def _number(text: str) -> Any:  # noqa: ANN401 - a half-typed figure is kept as it stands
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text
