"""The card of a computed measurement: what is entered, what it comes to, and how on request."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, say
from desk.records.actions import measuring
from desk.records.views.measured import EntryLine, FigureLine, MeasurementLine, TakenWith
from desk.records.views.parties import UnitSystem
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.checklist import Checklist
from desk.trade.content.in_use import latest_caution
from desk.trade.content.model import in_language
from desk.trade.measuring.measurement import Measurement, MeasurementEntry
from desk.trade.quantities.units import USUAL
from desk.trade.reference.reference_values import default
from desk.windows.kit.controls import column
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.measuring.instrument_fields import TakenWithFields
from desk.windows.stage_kit.choice_buttons import Choice
from desk.windows.stage_kit.large_controls import WideButton, let_write, only_unfolds

DEFERRAL = "deferral"
"""The caution that every measurement's help ends with."""

FEW = 3
"""Up to so many choices stand as buttons beside one another."""


class MeasurementCard(QWidget):
    """One computed measurement at one moment of the visit; closed until it is asked for.

    Signals:
        handed_in: a command.
    """

    handed_in = Signal(object)

    def __init__(self, measurement: Measurement, moment: str) -> None:
        super().__init__()
        self.measurement, self._moment = measurement, moment
        self._name = f"{measurement.kind}_{moment}"
        self.setObjectName(f"card_{self._name}")
        self._sheet: VisitSheet | None = None
        self._line: MeasurementLine | None = None
        self._key: uuid.UUID | None = None
        self._asked: set[str] = set()
        self.fields: dict[str, Field] = {}
        self.head = WideButton("", f"open_{self._name}")
        only_unfolds(self.head)
        self.head.toggled.connect(self._open)
        self._layout = column(spacing=8)
        self._layout.addWidget(self.head)
        self.setLayout(self._layout)
        self.body: QWidget | None = None
        self._say_head()

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the card as it stands on a visit."""
        self._sheet = sheet
        self._line, self._key = None, None
        for key, line in zip(sheet.card_ids, sheet.report.measurements, strict=True):
            if (line.kind, line.when) == (self.measurement.kind, self._moment):
                self._line, self._key = line, key
        self._say_head()
        if self.body is not None:
            self._show_body()

    def refuse(self, error: DeskError) -> bool:
        """Say a refusal under the entry it names; False where it is none of this card's."""
        named = error.field if isinstance(error, InputError) else ""
        if named not in self._asked:
            return False
        self._asked.discard(named)
        self.fields[named].show_error(str(error))
        self.fields[named].setFocus()
        return True

    def flush(self) -> None:
        """Hand in what was typed and is not kept yet."""
        for field in self.fields.values():
            field.flush()
        if self.body is not None:
            self.taken_with.flush()

    def _open(self, opened: bool) -> None:
        if opened and self.body is None:
            self.body = self._build()
            self._layout.addWidget(self.body)
            self._show_body()
        if self.body is not None:
            self.body.setVisible(opened)
            let_write(self.body, self._sheet is None or self._sheet.report.state == "under_way")
        self._say_head()

    def _build(self) -> QWidget:
        body = QWidget()
        layout = column(spacing=10, margins=6)
        body.setLayout(layout)
        layout.addWidget(text_label(say(self.measurement.help)))
        self.cautions = text_label(loud=True, name=f"cautions_{self._name}")
        layout.addWidget(self.cautions)
        layout.addLayout(
            self._grid(entry for entry in self.measurement.entries if not entry.detail)
        )
        self.details = QWidget()
        self.details.setLayout(self._grid(e for e in self.measurement.entries if e.detail))
        self.taken_with = TakenWithFields(self._name)
        self.taken_with.handed_in.connect(self.handed_in)
        self.instrument = QWidget()
        instrument = column(spacing=8)
        instrument.addWidget(self.details)
        instrument.addWidget(self.taken_with)
        self.instrument.setLayout(instrument)
        layout.addWidget(
            _unfolding(
                _("Accuracies, instrument and remark"), f"more_{self._name}", self.instrument
            )
        )
        layout.addWidget(self.instrument)
        self.result = text_label(rank="large", loud=True, name=f"result_{self._name}")
        self.says = text_label(name=f"says_{self._name}")
        self.how = text_label(name=f"how_{self._name}")
        layout.addWidget(self.result)
        layout.addWidget(self.says)
        layout.addWidget(_unfolding(_("How was this computed?"), f"ask_{self._name}", self.how))
        layout.addWidget(self.how)
        self.out = WideButton(_("Take this measurement out"), f"take_out_{self._name}")
        self.out.clicked.connect(self._take_out)
        layout.addWidget(self.out)
        return body

    def _grid(self, entries: Iterator[MeasurementEntry]) -> QGridLayout:
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        for place, entry in enumerate(entries):
            field = _field(entry, self._name)
            field.written.connect(self._entered)
            self.fields[entry.name] = field
            grid.addWidget(field, place // 2, place % 2, Qt.AlignmentFlag.AlignTop)
        return grid

    def _entered(self, name: str, text: str) -> None:
        if self._sheet is not None:
            self._asked.add(name)
            self.handed_in.emit(
                measuring.EnterOnCard(
                    self._sheet.visit_id, self.measurement.kind, self._moment, {name: text}
                )
            )

    def _take_out(self) -> None:
        if self._sheet is not None and self._key is not None:
            self.handed_in.emit(measuring.WithdrawReading(self._sheet.visit_id, self._key))

    def _say_head(self) -> None:
        sign = "▾" if self.head.isChecked() else "▸"
        label = say(self.measurement.label)
        if self._line is None or self._sheet is None:
            self.head.say(f"{sign}  {label}")
            return
        said = self._line.missing or figure_said(self._line.figures[0], self._system)
        doubt = f"{WRONG} " if self._line.warnings else ""
        self.head.say(f"{sign}  {label}: {doubt}{said}")

    @property
    def _system(self) -> UnitSystem:
        return self._sheet.report.letterhead.system if self._sheet else "si"

    def _show_body(self) -> None:
        if self._sheet is None:
            return
        self._show_cautions(self._sheet.checklist)
        line = self._line
        entries = {entry.name: entry for entry in line.entries} if line else {}
        for name, field in self.fields.items():
            self._show_entry(name, field, entries.get(name))
        for shown in (self.out, self.taken_with, self.result, self.says):
            shown.setVisible(line is not None)
        if line is None or self._key is None:
            self.how.setText(_("Nothing is computed yet."))
            return
        self.taken_with.show_kept(
            self._sheet,
            self._key,
            TakenWith(line.instrument, line.calibrated_until, line.note),
        )
        self._show_result(line)

    def _show_cautions(self, checklist: Checklist | None) -> None:
        wanted = [one for one in self.measurement.cautions if one != DEFERRAL]
        known = [latest_caution(checklist, one) for one in wanted] if checklist else []
        said = [f"△ {in_language(caution.text)}" for caution in known if caution is not None]
        self.cautions.setText("\n".join(said))
        self.cautions.setVisible(bool(said))

    def _show_entry(self, name: str, field: Field, entry: EntryLine | None) -> None:
        """Show what is kept of an entry, or in its hint what stands in for it."""
        kept = "" if entry is None or entry.taken_over else entry.chosen or entry.typed
        if field.text().strip() == kept:
            self._asked.discard(name)  # what was asked has been answered
        field.show_kept(kept)
        if isinstance(field, TypedLine):
            spec = self.measurement.entry(name)
            hint = _hint(spec)
            if entry is not None and entry.taken_over and entry.si_value is not None:
                told = (_said(spec, entry.si_value, self._system), entry.typed)
                value = ", ".join(part for part in told if part)
                of_premises = spec.taken_from.startswith("premises_")
                hint = (
                    _("taken from the premises: {value}", value=value)
                    if of_premises
                    else _("taken over: {value}", value=value)
                )
            field.edit.setPlaceholderText(hint)
            field.edit.setAccessibleDescription(hint)

    def _show_result(self, line: MeasurementLine) -> None:
        self.result.setText(
            f"○ {line.missing}"
            if line.missing
            else "\n".join(
                _figure_line(figure, self._system) for figure in line.figures if not figure.detail
            )
        )
        said = [
            *(f"{WRONG} {say(text)}" for text in line.warnings),
            *(say(text) for text in (*line.says, *line.notes)),
        ]
        self.says.setText("\n".join(said))
        self.says.setVisible(bool(said))
        self.how.setText("\n".join(how_lines(line, self._system)))


def how_lines(line: MeasurementLine, system: UnitSystem) -> Iterator[str]:
    """Say how a measurement came about: what went in, the formula, where it comes from."""
    from desk.paper.kit.quantity_text import amount, kind_of  # brings Pint with the first quantity

    for entry in line.entries:
        kind = kind_of(entry.quantity)
        value = entry.typed
        if entry.taken_over and kind is not None and entry.si_value is not None:
            value = _(
                "{value}, taken over from the record",
                value=amount(entry.si_value, kind, system).main,
            )
        yield _("{what}: {value}", what=entry.label, value=value)
    for figure in line.figures:
        yield _figure_line(figure, system) + _standard_uncertainty(figure, system)
    if line.formula:
        yield _("Formula: {formula}", formula=line.formula)
    yield from (_("Source: {source}", source=source) for source in line.sources)


def figure_said(figure: FigureLine, system: UnitSystem) -> str:
    """Say a figure with its give or take in the shop's units."""
    from desk.paper.kit.quantity_text import kind_of, with_uncertainty

    kind = kind_of(figure.quantity)
    return with_uncertainty(
        figure.si_value,
        figure.expanded_uncertainty_si,
        kind,
        system,
        decimals=figure.decimals,
    ).main


def _figure_line(figure: FigureLine, system: UnitSystem) -> str:
    return _("{what}: {value}", what=figure.label, value=figure_said(figure, system))


def _standard_uncertainty(figure: FigureLine, system: UnitSystem) -> str:
    """Say one standard deviation of a figure behind it; "" where it has none."""
    from desk.paper.kit.quantity_text import half_width, kind_of, plain_number

    u, kind = figure.standard_uncertainty_si, kind_of(figure.quantity)
    if not u:
        return ""
    said = half_width(u, kind, system, figures=2).main if kind else plain_number(u, 2)
    return _(" (standard uncertainty {u})", u=said)


def _said(entry: MeasurementEntry, si: float, system: UnitSystem) -> str:
    from desk.paper.kit.quantity_text import amount

    return amount(si, entry.quantity, system).main if entry.quantity else f"{si:g}"


def _hint(entry: MeasurementEntry) -> str:
    if entry.default:
        return _("{value} unless typed", value=default(entry.default).typed)
    if entry.quantity is not None:
        return say(USUAL[entry.quantity].expected)
    if entry.free or entry.choices:
        return ""
    if entry.highest is None:
        return _("a number")
    return _("a number up to {most:g}", most=entry.highest)


def _field(entry: MeasurementEntry, name: str) -> Field:
    """Return the field of an entry: buttons for a few choices, a list for many, else a line."""
    label = say(entry.label)
    options = tuple((choice, say(words)) for choice, words in entry.choices)
    field: Field
    if not options:
        line = TypedLine(entry.name, label, _hint(entry))
        line.edit.setObjectName(f"{entry.name}_{name}")
        line.edit.editingFinished.connect(line.flush)
        field = line
    elif len(options) <= FEW:
        field = Choice(entry.name, label, options)
    else:
        field = ChoiceLine(entry.name, label, options, _("not chosen"))
        field.box.setObjectName(f"{entry.name}_{name}")
    field.setObjectName(f"entry_{entry.name}_{name}")
    field.under.setObjectName(f"under_{entry.name}_{name}")
    return field


def _unfolding(text: str, name: str, folded: QWidget) -> WideButton:
    """Return a button that shows something that is folded away at first."""
    button = WideButton(text, name)
    only_unfolds(button)
    folded.hide()
    button.toggled.connect(folded.setVisible)
    return button
