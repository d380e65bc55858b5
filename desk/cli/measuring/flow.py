"""``drawoff flow``: the measured flow, its uncertainty and what it means for the appliance."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass

import click

from desk.base.errors import InputError
from desk.base.texts import Message, _, message, say
from desk.cli.kit.options import office_named
from desk.paper.kit.quantity_text import probability
from desk.trade.flow.settle_options import Settling, settle
from desk.trade.flow.timed_flow import (
    Activation,
    FillContainer,
    Outlet,
    Scale,
    TimedFill,
    TimedFlow,
    Verdict,
    timed_volume,
    verdict,
)
from desk.trade.flow.unsteadiness import USUAL, Unsteadiness
from desk.trade.quantities.typed_quantity import (
    QuantityKind,
    System,
    TypedQuantity,
    is_us_customary,
    parse,
    show,
    to_json,
    unit_named,
)
from desk.trade.readings.shop_thresholds import USUAL_ACTIVATION, Thresholds

# Stands in when nothing is given: common practice, no source; the answer says so.
COMMON_SCALE_GRADUATION = "0.1 kg"


@dataclass(frozen=True, slots=True)
class _Answered:
    """Everything that the command answers with."""

    flow: TimedFlow
    verdict: Verdict
    settling: Settling
    activation: TypedQuantity
    assumed: tuple[Message, ...]


@click.command(
    help=_(
        "Compute a flow from timed fills of a container, and hold it against the flow at which"
        " the appliance starts to respond. Water drawn hot can scald: keep hands and face clear."
        " The maker's instructions, local codes and the licensed person on site come first."
    )
)
@click.option("--container", help=_("Volume filled each time, such as 5 gal."))
@click.option("--graduation", help=_("Distance between two marks; half of it is the half-width."))
@click.option(
    "--timing",
    help=_("Half-width of start plus stop of the watch, 0.3 s unless given."),
)
@click.option(
    "--unsteadiness",
    help=_("How far one fill's flow lies from the mean: 2.2 % unless given, 0 % for none."),
)
@click.option("--fill", "fills", multiple=True, help=_("Time of one fill; repeat for each."))
@click.option(
    "--mass",
    "masses",
    multiple=True,
    help=_("Net mass of one fill, in place of a container; repeat for each."),
)
@click.option("--water-temperature", help=_("Temperature of the weighed water."))
@click.option("--activation", help=_("Activation flow of the appliance, 0.5 gpm unless given."))
@click.option(
    "--activation-accuracy",
    default="0",
    show_default=True,
    help=_("Half-width of the activation flow; 0 takes it as exact."),
)
@click.option("--full-hot", is_flag=True, help=_("The tap stood full hot."))
@click.option("--no-mixing-valve", is_flag=True, help=_("No mixing valve stands between."))
@click.option("--crossing-passed", is_flag=True, help=_("The crossing test was passed."))
@click.option("--others-shut", is_flag=True, help=_("Every other hot outlet was shut."))
@click.option("--unit", help=_("Unit of the flows in the answer."))
@click.option(
    "--json",
    "as_json",
    is_flag=True,
    help=_("Answer in JSON; infinite degrees of freedom are null."),
)
@click.option("--office", help=_("Use what this office goes by where nothing is given."))
def flow(
    *,
    container: str | None,
    graduation: str | None,
    timing: str | None,
    unsteadiness: str | None,
    fills: tuple[str, ...],
    masses: tuple[str, ...],
    water_temperature: str | None,
    activation: str | None,
    activation_accuracy: str,
    full_hot: bool,
    no_mixing_valve: bool,
    crossing_passed: bool,
    others_shut: bool,
    unit: str | None,
    as_json: bool,
    office: str | None,
) -> None:
    """Compute the flow and say it, what it means, and what would settle it.

    Args:
        container: volume filled each time, as typed; None where fills were weighed.
        graduation: distance between two marks, as typed; None is 0.1 kg of a scale.
        timing: half-width of start plus stop, as typed; None for what is usual here.
        unsteadiness: how far one fill lies from the mean, as typed; None for the usual.
        fills: the time of each fill, as typed.
        masses: the net mass of each fill, as typed; none where a container was filled.
        water_temperature: of the weighed water, as typed; None for a container.
        activation: activation flow, as typed; None for what is usual here.
        activation_accuracy: its half-width, as typed; in its unit unless another is named.
        full_hot: the tap stood full hot.
        no_mixing_valve: no mixing valve stands between.
        crossing_passed: the crossing test was passed.
        others_shut: every other hot outlet was shut.
        unit: unit of the flows in the answer; None for that of the activation flow.
        as_json: answer in JSON.
        office: whose usual figures stand in; None for the one named before the command, else the
            program's own.
    """
    asked = unit_named(unit, QuantityKind.VOLUME_RATE) if unit else None
    vessel, kept, assumed = _vessel(container, graduation, fills, masses, water_temperature)
    usual = _thresholds(office)
    half_width_s = parse(
        timing or usual.timing, QuantityKind.TIME, field="timing", default_unit="s"
    ).si
    measured = timed_volume(
        kept,
        vessel,
        timing_half_width_s=half_width_s,
        unsteadiness=_unsteadiness(unsteadiness),
    )
    given = (activation or "").strip()
    limit, typed = _activation(given or usual.usual_activation, activation_accuracy)
    if not given:
        assumed = (*assumed, _assumed_activation(usual))
    outlet = Outlet(full_hot, no_mixing_valve, crossing_passed, others_shut)
    answered = _Answered(
        measured, verdict(measured, limit, outlet), settle(measured, limit), typed, assumed
    )
    click.echo(_as_json(answered, asked) if as_json else _as_text(answered, asked or typed.unit))


def _vessel(
    container: str | None,
    graduation: str | None,
    fills: tuple[str, ...],
    masses: tuple[str, ...],
    water_temperature: str | None,
) -> tuple[FillContainer | Scale, list[TimedFill], tuple[Message, ...]]:
    """Return what was filled, the fills, and what was assumed for want of an option."""
    seconds = [parse(text, QuantityKind.TIME, field="fill", default_unit="s").si for text in fills]
    if masses:
        if container is not None:
            raise InputError(message("Give a container or weighed fills, not both."), field="mass")
        scale = _scale(graduation, water_temperature)
        assumed = (
            (message("No graduation was given; 0.1 kg is common for a luggage scale."),)
            if graduation is None
            else ()
        )
        return scale, _weighed(seconds, masses), assumed
    if container is None:
        raise InputError(
            message("Say what was filled: a container such as 5 gal, or the mass of every fill."),
            field="container",
        )
    volume = parse(container, QuantityKind.VOLUME, field="container")
    if graduation is None:
        raise InputError(
            message("Say how far apart the marks of the container are, such as 0.5 gal."),
            field="graduation",
        )
    mark = parse(graduation, QuantityKind.VOLUME, field="graduation", default_unit=volume.unit)
    return FillContainer(volume.si, mark.si / 2), [TimedFill(time) for time in seconds], ()


def _scale(graduation: str | None, water_temperature: str | None) -> Scale:
    if water_temperature is None:
        raise InputError(
            message("Give the temperature of the weighed water, such as 110 F."),
            field="water_temperature",
        )
    warmth = parse(water_temperature, QuantityKind.TEMPERATURE, field="water_temperature")
    mark = parse(
        graduation or COMMON_SCALE_GRADUATION,
        QuantityKind.MASS,
        field="graduation",
        default_unit="kg",
    )
    return Scale(mark.si / 2, warmth.si)


def _weighed(seconds: list[float], masses: tuple[str, ...]) -> list[TimedFill]:
    if len(seconds) != len(masses):
        raise InputError(message("Give one mass for every fill, in the same order."), field="mass")
    weights = [parse(text, QuantityKind.MASS, field="mass").si for text in masses]
    return [TimedFill(time, mass) for time, mass in zip(seconds, weights, strict=True)]


def _unsteadiness(text: str | None) -> Unsteadiness:
    if text is None:
        return USUAL
    return Unsteadiness(parse(text, QuantityKind.FRACTION, field="unsteadiness").si)


def _thresholds(office: str | None) -> Thresholds:
    office = office_named(office)
    if office is None:
        return Thresholds()
    from desk.cli.kit.options import open_office  # only here: most flows open no office
    from desk.records.shop.settings import thresholds_of

    with open_office(office) as opened, opened.read() as session:
        return thresholds_of(session)


def _assumed_activation(usual: Thresholds) -> Message:
    if usual.usual_activation == USUAL_ACTIVATION:
        return message("No activation flow was given; 0.5 gpm is common practice.")
    return message(
        "No activation flow was given; the office goes by {flow}.", flow=usual.usual_activation
    )


def _activation(flow_text: str, accuracy_text: str) -> tuple[Activation, TypedQuantity]:
    typed = parse(flow_text, QuantityKind.VOLUME_RATE, field="activation")
    accuracy = parse(
        accuracy_text,
        QuantityKind.VOLUME_RATE,
        field="activation_accuracy",
        default_unit=typed.unit,
    )
    return Activation(typed.si, accuracy.si), typed


def _as_json(answered: _Answered, unit: str | None) -> str:
    measured, found, settling = answered.flow, answered.verdict, answered.settling

    def rate(si: float) -> dict[str, object]:
        return to_json(si, QuantityKind.VOLUME_RATE, unit)

    return json.dumps(
        {
            "flow": rate(measured.flow_m3_per_s),
            "standard_uncertainty": rate(measured.standard_uncertainty_m3_per_s),
            "expanded_uncertainty": rate(measured.expanded_uncertainty_m3_per_s),
            "coverage_factor": measured.coverage_factor,
            "degrees_of_freedom": _finite(measured.degrees_of_freedom),
            "contributions": [
                {
                    "name": say(part.name),
                    "standard_uncertainty": rate(part.standard_uncertainty_m3_per_s),
                    "degrees_of_freedom": _finite(part.degrees_of_freedom),
                }
                for part in measured.contributions
            ],
            "probability_reached": found.probability_reached,
            "verdict": found.answer,
            "for_appliance": found.for_appliance,
            "says": say(found.sentence),
            "unproven": [say(condition) for condition in found.unproven],
            "settle": {
                "advice": say(settling.advice),
                "options": [
                    {
                        "means": option.means,
                        "says": say(option.sentence(_system_of(unit))),
                        "added_minutes": option.added_minutes,
                        "probability_reached": option.probability_reached,
                    }
                    for option in settling.options
                ],
            },
            "formula": measured.formula,
            "sources": [say(source) for source in (*measured.sources, *found.sources)],
            "warnings": [say(warning) for warning in (*measured.warnings, *answered.assumed)],
        },
        indent=2,
        ensure_ascii=False,
        allow_nan=False,
    )


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _as_text(answered: _Answered, unit: str) -> str:
    measured, found = answered.flow, answered.verdict
    lines = [
        _(
            "Flow {flow} ± {expanded} (95 %, k = {k:.2f}); standard uncertainty {standard}.",
            flow=show(measured.flow_m3_per_s, QuantityKind.VOLUME_RATE, unit, significant=4),
            expanded=_rate(measured.expanded_uncertainty_m3_per_s, unit),
            k=measured.coverage_factor,
            standard=_rate(measured.standard_uncertainty_m3_per_s, unit),
        ),
        *(_("Look at this: {warning}", warning=warning) for warning in measured.warnings),
        *(_("Assumed: {assumption}", assumption=assumption) for assumption in answered.assumed),
        *_reached_lines(answered, unit),
        say(found.sentence),
        *(_("Not known: {condition}.", condition=condition) for condition in found.unproven),
        *([] if measured.doubts else _settling_lines(answered.settling, unit)),
        _("Formula: {formula}", formula=measured.formula),
        *(_("Source: {source}.", source=source) for source in (*measured.sources, *found.sources)),
    ]
    return "\n".join(lines)


def _reached_lines(answered: _Answered, unit: str) -> list[str]:
    reached = answered.verdict.probability_reached
    if reached is None:
        return []
    return [
        _(
            "It reaches the activation flow of {limit} with a probability of {share}.",
            limit=show(answered.activation.si, QuantityKind.VOLUME_RATE, unit),
            share=probability(reached),
        )
    ]


def _settling_lines(settling: Settling, unit: str) -> list[str]:
    if not settling.needed:
        return []
    return [
        say(settling.advice),
        *(
            _(
                "  {what} About {minutes:.0f} min more, then {share}.",
                what=option.sentence(_system_of(unit)),
                minutes=max(1.0, option.added_minutes),
                share=probability(option.probability_reached),
            )
            for option in settling.options
        ),
    ]


def _system_of(unit: str | None) -> System:
    return System.US if unit and is_us_customary(unit) else System.SI


def _rate(si: float, unit: str) -> str:
    return show(si, QuantityKind.VOLUME_RATE, unit, significant=2)
