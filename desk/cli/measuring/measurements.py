"""The commands of the computed measurements, each made from its `Measurement`.

What a card on the visit sheet asks for is asked here by options of the same names, and answered
from the same outcome.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

import click

from desk.base.errors import InputError
from desk.base.texts import _, say
from desk.cli.kit.options import json_option
from desk.paper.kit.quantity_text import with_uncertainty
from desk.records.views.parties import UnitSystem
from desk.trade.measurement_registry import MEASUREMENTS
from desk.trade.measuring.measurement import (
    Entered,
    Figure,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.quantities.typed_quantity import is_us_customary, show, to_json, unit_named
from desk.trade.quantities.units import USUAL, QuantityKind
from desk.trade.reference.reference_values import default

_SPREAD = {QuantityKind.TEMPERATURE: QuantityKind.TEMPERATURE_DIFFERENCE}
_DELTA = {"degC": "delta_degC", "degF": "delta_degF"}


def command_of(kind: str) -> click.Command:
    """Return the command that computes a measurement from its options."""
    measurement = MEASUREMENTS[kind]

    def run(*, as_json: bool, unit: str | None, **typed: str | None) -> None:
        _answer(measurement, typed, unit, as_json=as_json)

    command = click.Command(
        kind,
        callback=run,
        params=[_option(entry) for entry in measurement.entries],
        help=say(measurement.help),
    )
    command = json_option(command)
    command.params += [
        click.Option(["--unit"], help=_("Unit of the answer, where it fits.")),
        click.Option(
            ["--office"],
            expose_value=False,
            help=_("Accepted for every command; this one opens no office."),
        ),
    ]
    return command


def _option(entry: MeasurementEntry) -> click.Option:
    return click.Option([f"--{entry.name.replace('_', '-')}", entry.name], help=_help(entry))


def _help(entry: MeasurementEntry) -> str:
    if entry.choices:
        expected = ", ".join(choice for choice, _words in entry.choices)
    else:
        expected = say(USUAL[entry.quantity].expected) if entry.quantity else ""
    unless = _("{value} unless given", value=default(entry.default).typed) if entry.default else ""
    said = "; ".join(part for part in (expected, unless) if part)
    return f"{say(entry.label)}: {said}." if said else f"{say(entry.label)}."


def _answer(
    measurement: Measurement, typed: Mapping[str, str | None], unit: str | None, *, as_json: bool
) -> None:
    entered = measurement.understand({name: text for name, text in typed.items() if text})
    outcome = measurement.outcome(entered)
    units = _units(outcome.figures, unit)
    click.echo(_as_json(outcome, units) if as_json else _as_text(outcome, entered, units))


def _units(figures: Iterable[Figure], asked: str | None) -> dict[str, str]:
    """Return the unit that was asked for by the name of each figure that it fits.

    Raises:
        InputError: it fits none of them.
    """
    if asked is None:
        return {}
    fitting, refused = {}, []
    for figure in figures:
        if figure.quantity is not None:
            try:
                fitting[figure.name] = unit_named(asked, figure.quantity)
            except InputError as error:  # a unit of volume does not fit the wait
                refused.append(error)
    if not fitting:
        raise refused[0]
    return fitting


def _as_json(outcome: MeasurementOutcome, units: Mapping[str, str]) -> str:
    figures = outcome.figures
    return json.dumps(
        {
            **{
                figure.name: _value(figure, figure.estimate.value, figure.quantity, units)
                for figure in figures
            },
            **dict.fromkeys(outcome.not_known),
            **outcome.words,
            "standard_uncertainty": {
                figure.name: _spread(figure, figure.estimate.standard_uncertainty, units)
                for figure in figures
            },
            "expanded_uncertainty": {
                figure.name: _spread(figure, figure.estimate.expanded_uncertainty, units)
                for figure in figures
            },
            "says": [say(text) for text in outcome.says],
            "notes": [say(text) for text in outcome.notes],
            "formula": outcome.formula,
            "sources": [say(source) for source in outcome.sources],
            "warnings": [say(warning) for warning in outcome.warnings],
        },
        indent=2,
        ensure_ascii=False,
        allow_nan=False,
    )


def _value(
    figure: Figure, si: float, kind: QuantityKind | None, units: Mapping[str, str]
) -> object:
    if kind is None or kind is QuantityKind.FRACTION:
        return float(f"{si:.12g}")
    return to_json(si, kind, units.get(figure.name))


def _spread(figure: Figure, si: float, units: Mapping[str, str]) -> object:
    """Return an uncertainty; that of a temperature is a difference of temperature."""
    if figure.quantity is None:
        return _value(figure, si, None, units)
    kind = _SPREAD.get(figure.quantity, figure.quantity)
    delta = {name: _DELTA.get(unit, unit) for name, unit in units.items()}
    return _value(figure, si, kind, delta)


def _as_text(
    outcome: MeasurementOutcome, entered: Mapping[str, Entered], units: Mapping[str, str]
) -> str:
    system: UnitSystem = (
        "us" if any(is_us_customary(each.unit) for each in entered.values()) else "si"
    )
    lines = [
        *(
            _(
                "{what}: {value}",
                what=figure.label,
                value=_said_in(figure, units[figure.name])
                if figure.name in units
                else _said(figure, system),
            )
            for figure in outcome.figures
        ),
        *(say(text) for text in outcome.says),
        *(say(text) for text in outcome.notes),
        *(_("Look at this: {warning}", warning=warning) for warning in outcome.warnings),
        _("Formula: {formula}", formula=outcome.formula),
        *(_("Source: {source}.", source=source) for source in outcome.sources),
    ]
    return "\n".join(lines)


def _said(figure: Figure, system: UnitSystem) -> str:
    return with_uncertainty(
        figure.estimate.value,
        figure.estimate.expanded_uncertainty,
        figure.quantity,
        system,
        decimals=figure.decimals,
    ).main


def _said_in(figure: Figure, unit: str) -> str:
    """Say a figure in the unit that was asked for."""
    kind = figure.quantity
    if kind is None:  # no unit fits a plain number
        raise AssertionError(figure.name)
    said = show(figure.estimate.value, kind, unit, significant=4)
    spread = figure.estimate.expanded_uncertainty
    if not spread:
        return said
    width = show(spread, _SPREAD.get(kind, kind), _DELTA.get(unit, unit), significant=2)
    return _("{value} ± {width}", value=said, width=width)
