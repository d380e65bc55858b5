"""The measured flow: the container once, fills by the timer, and what they say."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QHBoxLayout, QWidget

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, message, say
from desk.paper.kit.id_words import VERDICTS
from desk.records.actions import measuring
from desk.records.views.measured import CIRCUMSTANCES, FlowLine, FlowSetup
from desk.records.views.parties import UnitSystem
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.kit.controls import column
from desk.windows.kit.fields import TypedLine
from desk.windows.kit.keys import lead_keys_to
from desk.windows.kit.labels import text_label
from desk.windows.measuring.container_choice import ContainerButtons
from desk.windows.measuring.fill_timer import FillTimer
from desk.windows.measuring.flow_band import BandScale, Shown
from desk.windows.stage_kit.large_controls import (
    Sides,
    Tick,
    WideButton,
    clear,
    only_unfolds,
    press,
    put,
)

CIRCUMSTANCE_WORDS = {
    "full_hot": message("The tap stands full hot"),
    "no_mixing_valve": message("No mixing valve stands between"),
    "crossing_passed": message("The crossing test was passed"),
    "others_shut": message("Every other hot outlet is shut"),
    "vouched": message("I vouch that all of it comes through the appliance"),
}
TOP = Qt.AlignmentFlag.AlignTop
SIDE_BY_SIDE_FROM = 860
VERDICT_SIGNS = {"too_little_at_outlet": "▽"}


class FlowPanel(QWidget):
    """Measures a flow at one moment of the visit, found or left.

    Signals:
        handed_in: a command.
    """

    handed_in = Signal(object)

    def __init__(self, moment: str, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self.setObjectName(f"flow_{moment}")
        self._moment, self._check = moment, ""
        self._sheet: VisitSheet | None = None
        self._flow_id: uuid.UUID | None = None
        self._anew = self._is_under_way = False
        self._reported: list[tuple[str, str]] = []
        self._fills = 0
        self._began_with: FlowLine | None = None
        self.timer = FillTimer(f"timer_{moment}", clock)
        self.timer.kept.connect(self._keep)
        self.containers = ContainerButtons(moment)
        self.containers.chosen.connect(self._time_with)
        self.fields = self._setup_fields()
        self.ticks = {
            name: Tick(say(CIRCUMSTANCE_WORDS[name]), f"{name}_{moment}") for name in CIRCUMSTANCES
        }
        self.again = WideButton(_("Measure at another outlet, or anew"), f"again_{moment}")
        press(self.again, "O")
        self.again.clicked.connect(self._measure_anew)
        self.result = FlowResult(moment)
        self._rows = column(spacing=4)
        self._lay_out()

    def _setup_fields(self) -> dict[str, TypedLine]:
        texts = (
            ("container", _("Container, to its mark"), _("such as 2 gal or 10 L")),
            ("graduation", _("Between two marks"), _("0.1 gal; empty if exact")),
            ("outlet", _("Outlet"), _("such as kitchen tap")),
            ("timing", _("Start and stop are good to"), _("the shop's own, unless typed")),
            ("scale", _("Scale, where fills are weighed"), _("good to, such as 0.05 kg")),
            ("mass", _("Water of this fill"), _("a mass such as 12.4 kg or 27 lb")),
            ("activation", _("Activation flow"), _("the appliance's own, unless typed")),
        )
        fields = {}
        for key, label, hint in texts:
            field = TypedLine(key, label, hint)
            field.edit.setObjectName(f"{key}_{self._moment}")
            field.under.setObjectName(f"under_{key}_{self._moment}")
            fields[key] = field
        return fields

    def _lay_out(self) -> None:
        first, more = QGridLayout(), QGridLayout()
        for place, key in enumerate(("container", "graduation", "outlet")):
            first.addWidget(self.fields[key], place // 3, place % 3, TOP)
        for place, key in enumerate(("scale", "mass", "timing", "activation")):
            more.addWidget(self.fields[key], place // 2, place % 2, TOP)
        for place, share in enumerate((5, 5, 6)):  # an outlet is told in words
            first.setColumnStretch(place, share)
        self.more = QWidget()
        self.more.setLayout(more)
        self.more.hide()
        self.show_more = WideButton(_("By weight, and other figures"), f"more_{self._moment}")
        only_unfolds(self.show_more)
        self.show_more.toggled.connect(self.more.setVisible)
        ticks = column(spacing=5)
        for tick in self.ticks.values():
            tick.clicked.connect(self._ticked)
            ticks.addWidget(tick)
        left, right = column(spacing=10), column(spacing=10)
        left.addWidget(self.containers)
        left.addLayout(first)
        left.addWidget(self.timer)
        left.addStretch(1)
        right.addWidget(self.result)
        right.addLayout(self._rows)
        right.addWidget(self.again)
        right.addStretch(1)
        self._sides = Sides(left, right, SIDE_BY_SIDE_FROM)
        layout = column(spacing=10)
        layout.addLayout(self._sides)
        layout.addLayout(ticks)
        layout.addWidget(self.show_more)
        layout.addWidget(self.more)
        self.setLayout(layout)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put what the fills say beside the timer, where there is room."""
        super().resizeEvent(event)
        self._sides.fit(self.width())

    def measure_for(self, check: str) -> None:
        """Measure for a check: what is kept from now on names it."""
        self._check = check

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show the latest flow of this moment, its fills and what they say."""
        self._sheet = sheet
        self.containers.offer(sheet.containers)
        flows = [
            (key, line)
            for key, line in zip(sheet.flow_ids, sheet.report.flows, strict=True)
            if line.when == self._moment
        ]
        if self._anew and flows and flows[-1][0] != self._flow_id:
            self._anew = False
        key, line = flows[-1] if flows and not self._anew else (None, None)
        fills = len(line.fills) if line else 0
        if (key, fills) != (self._flow_id, self._fills) and fills:
            self._know_kept()
        if not self._anew:
            self._flow_id, self._fills = key, fills
        self._hand_in_next()
        start = line or self._last(sheet)
        if start != self._began_with and not self._container_given():
            self._start_with(start)
        self._began_with = start
        self._show_circumstances(sheet, key)
        self._show_fills(key, line)
        self.result.show_flow(line, sheet.report.letterhead.system)
        self.again.setVisible(line is not None)

    def _show_circumstances(self, sheet: VisitSheet, key: uuid.UUID | None) -> None:
        if key is None:
            return
        holds = sheet.flow_circumstances[sheet.flow_ids.index(key)]
        for name, tick in self.ticks.items():
            tick.setChecked(name in holds)

    def _ticked(self) -> None:
        """Hand in what is said of a flow that is kept already."""
        if self._sheet is not None and self._flow_id is not None and not self._anew:
            self.handed_in.emit(
                measuring.SayCircumstances(self._sheet.visit_id, self._flow_id, self._holds())
            )

    def _holds(self) -> frozenset[str]:
        return frozenset(name for name, tick in self.ticks.items() if tick.isChecked())

    def _container_given(self) -> bool:
        return bool(self.fields["container"].text() or self.fields["scale"].text())

    def _know_kept(self) -> None:
        """Know that a fill was kept, and how it was measured with it."""
        self.timer.kept_now()
        del self._reported[:1]
        self._is_under_way = False
        for key, field in self.fields.items():
            if key == "mass":
                field.put("")
            else:
                field.settle()

    def _last(self, sheet: VisitSheet) -> FlowLine | None:
        return sheet.report.flows[-1] if sheet.report.flows else None

    def _start_with(self, line: FlowLine | None) -> None:
        """Start with the container of the last flow: it is chosen once."""
        if line is None:
            return
        key = "scale" if line.method == "weight" else "container"
        self.fields[key].start_with(line.container_typed)
        self.fields["graduation"].start_with(line.graduation_typed)
        self.fields["outlet"].start_with(line.outlet)

    def _show_fills(self, key: uuid.UUID | None, line: FlowLine | None) -> None:
        clear(self._rows)
        if key is None or line is None:
            put(
                self._rows,
                text_label(
                    _("No fill yet. Fill to the mark, Space at the start and at the mark, Enter.")
                ),
            )
            return
        for fill in line.fills:
            row = _FillRow(key, fill.number, fill.typed, fill.mass_typed, fill.struck)
            row.struck.connect(self._strike)
            put(self._rows, row)

    def _keep(self, typed: str) -> None:
        """Keep a fill when those before it are kept: they may make the flow that it belongs to."""
        self._reported.append((typed, self.fields["mass"].text().strip()))
        self._hand_in_next()

    def _hand_in_next(self) -> None:
        sheet = self._sheet
        if sheet is None or self._is_under_way or not self._reported:
            return
        self._is_under_way = True
        typed, mass = self._reported[0]
        if self._flow_id is not None and not self._anew:
            self.handed_in.emit(measuring.KeepFill(sheet.visit_id, self._flow_id, typed, mass=mass))
            return
        self.handed_in.emit(
            measuring.FirstFill(
                sheet.visit_id, self._moment, self._setup(), typed, mass=mass, check=self._check
            )
        )

    def _give_back(self) -> None:
        """Give back what was reported and is not kept: a refusal loses nothing that was typed."""
        if self._is_under_way:
            self._is_under_way = False
            self.timer.give_back([typed for typed, _mass in self._reported])
            self._reported.clear()

    def _setup(self) -> FlowSetup:
        texts = {key: field.text().strip() for key, field in self.fields.items() if key != "mass"}
        said: dict[str, Any] = {**texts}
        said |= dict.fromkeys(self._holds(), True)
        return FlowSetup(**said)

    def _strike(self, key: uuid.UUID, number: int) -> None:
        focus = QApplication.focusWidget()
        if isinstance(focus.parentWidget() if focus else None, _FillRow):
            self.timer.take_keys()  # the row goes, and would leave the keys to whatever is next
        if self._sheet is not None:
            self.handed_in.emit(
                measuring.StrikeFill(self._sheet.visit_id, key, number, _("a slip"))
            )

    def _time_with(self, volume: str, graduation: str) -> None:
        """Say which container is used, as if it had been typed."""
        self.fields["scale"].put("")
        self.fields["container"].take_up(volume)
        self.fields["graduation"].take_up(graduation)
        self.timer.setFocus()

    def _measure_anew(self) -> None:
        self._anew = True
        self.fields["outlet"].put("")
        if self._sheet is not None:
            self._show_fills(None, None)
            self.result.show_flow(None, self._sheet.report.letterhead.system)
        self.fields["outlet"].setFocus()

    def show_error(self, error: DeskError) -> bool:
        """Say a refusal under the field it names; return whether it was one of these."""
        self._give_back()
        named = error.field if isinstance(error, InputError) else ""
        field = self.timer.typed if named == "fill" else self.fields.get(named)
        if field is None:
            return False
        if field.isHidden() or not field.isVisible():
            self.show_more.setChecked(True)
        field.show_error(str(error))
        lead_keys_to(field)
        return True


class _FillRow(QWidget):
    """One fill, with the way to strike it out."""

    struck = Signal(object, int)

    def __init__(self, key: uuid.UUID, number: int, typed: str, mass: str, is_struck: bool) -> None:
        super().__init__()
        self._key, self._number = key, number
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        text = " · ".join(part for part in (typed, mass) if part)
        said = _("✖ {number}.  {fill}  (struck out)") if is_struck else _("✔ {number}.  {fill}")
        label = text_label(said.format(number=number, fill=text), rank="large", name="fill")
        font = label.font()
        font.setStrikeOut(is_struck)
        label.setFont(font)
        row.addWidget(label, 1)
        if not is_struck:
            strike = WideButton(_("Strike out"), f"strike_{number}")
            strike.setAccessibleName(_("Strike out fill {number}", number=number))
            strike.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keys on the fill
            strike.clicked.connect(self._strike)
            row.addWidget(strike)

    def _strike(self) -> None:
        self.struck.emit(self._key, self._number)


class FlowResult(QWidget):
    """What the fills say: the flow, its band, the verdict, and what would settle it."""

    def __init__(self, moment: str) -> None:
        super().__init__()
        self.flow = text_label(rank="head", name=f"flow_value_{moment}")
        self.reach = text_label(name=f"flow_reach_{moment}")
        self.scale = BandScale(f"flow_scale_{moment}")
        self.verdict = text_label(rank="large", loud=True, name=f"verdict_{moment}")
        self.settle = text_label(name=f"settle_{moment}")
        self.how = WideButton(_("How this came about"), f"how_flow_{moment}")
        only_unfolds(self.how)
        self.sources = text_label(name=f"sources_{moment}")
        self.sources.hide()
        self.how.toggled.connect(self.sources.setVisible)
        layout = column(spacing=6)
        for part in (
            self.flow,
            self.verdict,
            self.scale,
            self.reach,
            self.settle,
            self.how,
            self.sources,
        ):
            layout.addWidget(part)
        self.setLayout(layout)

    def show_flow(self, line: FlowLine | None, system: UnitSystem) -> None:
        """Show a flow; nothing while there is nothing to compute from."""
        if line is None or line.flow_m3_per_s is None:
            self.hide()
            return
        from desk.paper.kit.quantity_text import in_shop_unit, interval, measured, unit_label
        from desk.trade.quantities.units import QuantityKind

        rate = QuantityKind.VOLUME_RATE
        value, wide = line.flow_m3_per_s, line.expanded_uncertainty_m3_per_s or 0.0
        shown, reach = measured(value, wide, rate, system), interval(value, wide, rate, system)
        self.flow.setText(f"{shown.main}   ({shown.other})")
        self.reach.setText(
            _(
                "The true flow lies between {low_and_high}, 95 times in 100.",
                low_and_high=reach.main,
            )
        )
        activation = line.activation_m3_per_s
        self.scale.show_flow(
            Shown(
                low=in_shop_unit(max(value - wide, 0.0), rate, system),
                value=in_shop_unit(value, rate, system),
                high=in_shop_unit(value + wide, rate, system),
                activation=None if activation is None else in_shop_unit(activation, rate, system),
                unit=unit_label(rate, system),
                label=_("activation flow {flow}", flow=line.activation_typed),
            )
        )
        sign, words = VERDICTS.get(
            line.verdict, (VERDICT_SIGNS.get(line.verdict, "◇"), message("Too close to tell."))
        )
        self.verdict.setText(f"{sign}  {say(line.verdict_text or words)}")
        self.settle.setText(_advice(line))
        self.settle.setVisible(bool(self.settle.text()))
        self.sources.setText("\n".join((line.formula, *line.sources)))
        self.show()


def _advice(line: FlowLine) -> str:
    settle = [f"• {say(one)}" for one in line.settle]
    head = [_("What would settle it:")] if settle else []
    return "\n".join([*head, *settle, *(f"▲ {say(one)}" for one in line.warnings)])
