"""The measurement of gas input and efficiency: what is entered for it, and what it means."""

from __future__ import annotations

from desk.base.texts import Message, message
from desk.trade.heating.atmosphere import HIGHEST_M, LOWEST_M
from desk.trade.heating.gas_advice import gas_dangers, gas_meaning
from desk.trade.heating.gas_figures import figures_of_place, gas_figures
from desk.trade.heating.gas_meter_entry import DELIVERED, gas_at_meter
from desk.trade.heating.gas_model import Basis, gas_input
from desk.trade.heating.gas_rating import check_rated_input, derated_input_w
from desk.trade.heating.gas_site import GasSite, site_of
from desk.trade.measuring.estimate import Estimate, rectangular_error
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
)
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import default, standing_in

NATURAL_GAS = "natural_gas"
LPG = "lpg"
# Between natural gas, near 38, and propane, near 94 MJ/m3: common practice, no source.
_RICH_J_PER_M3 = 65e6


def _compute(inputs: Inputs) -> MeasurementOutcome:
    basis = Basis(inputs.typed("basis") or Basis.GROSS)
    heating_value, assumed = _heating_value(inputs, basis)
    site = site_of(inputs)
    meter = gas_at_meter(inputs, site)
    rated_w, derated_w = _rated(inputs, site)
    heat = None
    if "heat" in inputs:
        accuracy = message("accuracy of the heat to the water")
        heat = inputs.estimate(
            "heat", inputs.relative("heat_accuracy", "heat", "heat_accuracy", accuracy)
        )
    found = gas_input(
        _volume(inputs),
        inputs.estimate("seconds", inputs.rectangular("timing", "gas_timing", _TIMING)),
        meter.gas,
        heating_value,
        basis=basis,
        rated_input_w=rated_w,
        derated_w=derated_w,
        heat_w=heat,
    )
    tolerance = inputs.maybe("rated_tolerance") or 0.0
    warnings = (*found.warnings, *_fuel_doubts(inputs, heating_value), *site.warnings)
    figures = (
        *gas_figures(found, basis, corrected=meter.known),
        *figures_of_place(site, derated_w),
    )
    return MeasurementOutcome(
        figures=figures,
        says=(_DOUBTFUL,)
        if warnings
        else gas_meaning(
            found, basis, tolerance, site.height_m, bottled=inputs.typed("fuel") == LPG
        ),
        formula=found.formula,
        sources=(*found.sources, *assumed, *meter.assumed, *_derated_by(derated_w)),
        warnings=warnings,
        notes=(_HOW_READ, *_on_volume(inputs, pressure_known=meter.pressure_known)),
        words={} if found.input_w is None else {"basis": basis.value},
        not_known=_unknown(figures),
        dangers=gas_dangers(found, tolerance, doubtful=bool(warnings)),
    )


def _rated(inputs: Inputs, site: GasSite) -> tuple[float | None, float | None]:
    """Return the rated input, W, on its plate and derated; None where it cannot be judged."""
    rated_w = inputs.maybe("rated_input")
    check_rated_input(rated_w)
    if rated_w is None or site.height_m is None:
        return None, None
    return rated_w, derated_input_w(rated_w, site.height_m)


def _derated_by(derated_w: float | None) -> tuple[Message, ...]:
    if derated_w is None:
        return ()
    return (message("derated for the altitude: {basis}", basis=default("derating").basis),)


def _unknown(figures: tuple[Figure, ...]) -> tuple[str, ...]:
    told = {figure.name for figure in figures}
    return tuple(name for name in _FOR_SCRIPTS if name not in told)


def _on_volume(inputs: Inputs, *, pressure_known: bool) -> tuple[Message, ...]:
    """Return under what conditions the volume, and the heating value beside it, hold."""
    said = () if pressure_known else (_AS_READ,)
    asked = "heating_value" in inputs and not inputs.typed("heating_value_as")
    return (*said, _ASK_THE_SUPPLIER) if asked else said


def _fuel_doubts(inputs: Inputs, heating_value: Estimate | None) -> tuple[Message, ...]:
    """Return what is odd about a heating value beside the gas that was chosen."""
    if heating_value is None or inputs.typed("fuel") not in {NATURAL_GAS, LPG}:
        return ()
    rich = heating_value.value > _RICH_J_PER_M3
    return () if rich == (inputs.typed("fuel") == LPG) else (_NOT_THAT_GAS,)


def _volume(inputs: Inputs) -> Estimate:
    """Return the volume of all turns, m3, with the meter's error."""
    volume = inputs.si("dial") * (inputs.maybe("turns") or 1.0)
    words = message("accuracy of the gas meter")
    half_width = volume * inputs.si("meter_accuracy")
    return Estimate(volume, rectangular_error("gas_meter", words, half_width, lasting=True))


def _heating_value(inputs: Inputs, basis: Basis) -> tuple[Estimate | None, tuple[Message, ...]]:
    """Return the heating value, J/m3, and what was assumed; None where none may be assumed."""
    words = message("heating value of the gas")
    told: tuple[Message, ...] = ()
    if "heating_value" in inputs:
        value = inputs.si("heating_value")
        share = inputs.si("heating_value_accuracy")
    elif basis is Basis.GROSS and inputs.typed("fuel") in {"", NATURAL_GAS}:
        value = standing_in("heating_value", QuantityKind.HEATING_VALUE)
        told = (_natural_gas(),)
        share = standing_in("heating_value_spread", QuantityKind.FRACTION)
    else:
        return None, ()
    errors = rectangular_error("heating_value", words, share * value, lasting=True)
    return Estimate(value, errors), told


def _natural_gas() -> Message:
    standing = default("heating_value")
    return message(
        "assumed, since it was not entered: natural gas of {value}, gross, give or take {spread}"
        " ({basis})",
        value=standing.typed,
        spread=default("heating_value_spread").typed,
        basis=standing.basis,
    )


def _fuel_named(typed: str) -> str:
    return _FUELS.get(" ".join(typed.casefold().split()), typed)


_FUELS = {
    "propane": LPG,
    "butane": LPG,
    "lp": LPG,
    "lp gas": LPG,
    "natural": NATURAL_GAS,
    "ng": NATURAL_GAS,
    "methane": NATURAL_GAS,
}
_FOR_SCRIPTS = ("altitude", "share_of_rated", "derated_input")
_TIMING = message("timing of the dial by hand")
_AS_READ = message(
    "The volume was taken as the meter reads it; what the gas's pressure and temperature may make"
    " of it is in the uncertainty, up to 400 m (1,300 ft) above the sea. Where the place lies"
    " higher, enter its altitude."
)
_ASK_THE_SUPPLIER = message(
    "The heating value was taken as at standard conditions. High above the sea ask the gas supplier"
    " whether it is that, or as delivered there, and choose it."
)
_DOUBTFUL = message("The gas input is doubtful; see the warning before anything rests on it.")
_NOT_THAT_GAS = message(
    "The heating value is not that of the gas chosen: liquefied petroleum gas has more than twice"
    " that of natural gas. Look at the gas, and at the heating value and its unit."
)
_HOW_READ = message(
    "This holds if every other gas appliance was off and this one held at full fire, all read in"
    " the same minutes."
)
GAS_INPUT = Measurement(
    kind="gas",
    label=message("Gas input and efficiency"),
    help=message(
        "The gas that the burner gets, by timing the meter's test dial: every other gas appliance"
        " off, this one held at full fire, and for the efficiency the heat to the water read in the"
        " same minutes. One turn and a gross heating value are taken where nothing else is entered."
        " The altitude of the place belongs to it, or the atmospheric pressure there; ask the gas"
        " supplier whether a heating value is at standard conditions or as delivered."
        " Bottled gas without a meter cannot be measured here. Smell of gas or a CO"
        " alarm: stop and leave. The gas train is for a licensed person; the maker's instructions"
        " and local codes come first."
    ),
    entries=(
        MeasurementEntry(
            "dial", message("Volume of one turn of the dial"), QuantityKind.VOLUME, required=True
        ),
        MeasurementEntry(
            "seconds",
            message("Time of the turns together"),
            QuantityKind.TIME,
            required=True,
            unit="s",
        ),
        MeasurementEntry("turns", message("Number of turns"), lowest=0.1, highest=1000),
        MeasurementEntry(
            "heating_value", message("Heating value of the gas"), QuantityKind.HEATING_VALUE
        ),
        MeasurementEntry(
            "basis",
            message("Basis of the heating value"),
            choices=((Basis.GROSS, message("gross")), (Basis.NET, message("net"))),
        ),
        MeasurementEntry(
            "rated_input",
            message("Rated input, on the same basis"),
            QuantityKind.POWER,
            taken_from="appliance_rated_input",
        ),
        MeasurementEntry(
            "altitude",
            message("Altitude of the place above the sea"),
            QuantityKind.LENGTH,
            taken_from="premises_altitude",
            lowest=LOWEST_M,
            highest=HIGHEST_M,
        ),
        MeasurementEntry(
            "heat", message("Heat to the water"), QuantityKind.POWER, taken_from="heat"
        ),
        MeasurementEntry(
            "fuel",
            message("Gas"),
            choices=(
                (NATURAL_GAS, message("natural gas")),
                (LPG, message("liquefied petroleum gas")),
                ("other", message("another gas")),
            ),
            spelt=_fuel_named,
        ),
        MeasurementEntry(
            "meter_compensates",
            message("What the meter compensates for"),
            choices=(
                ("none", message("nothing")),
                ("temperature", message("temperature")),
                ("both", message("temperature and pressure")),
            ),
            detail=True,
        ),
        MeasurementEntry(
            "heating_value_as",
            message("How the supplier tells the heating value"),
            choices=(
                ("standard", message("at standard conditions")),
                (DELIVERED, message("as delivered on site")),
            ),
            detail=True,
        ),
        MeasurementEntry(
            "gas_pressure_at_meter",
            message("Gas pressure at the meter"),
            QuantityKind.GAS_PRESSURE,
            detail=True,
        ),
        MeasurementEntry(
            "gas_temperature",
            message("Temperature of the gas at the meter"),
            QuantityKind.TEMPERATURE,
            detail=True,
        ),
        MeasurementEntry(
            "atmospheric_pressure",
            message("Atmospheric pressure on site, absolute"),
            QuantityKind.ABSOLUTE_PRESSURE,
            detail=True,
        ),
        MeasurementEntry(
            "base_temperature",
            message("Standard temperature of the heating value"),
            QuantityKind.TEMPERATURE,
            default="gas_base_temperature",
            detail=True,
        ),
        MeasurementEntry(
            "base_pressure",
            message("Standard pressure of the heating value, absolute"),
            QuantityKind.ABSOLUTE_PRESSURE,
            default="gas_base_pressure",
            detail=True,
        ),
        MeasurementEntry(
            "rated_tolerance",
            message("How far the input may be from the rated one, either way"),
            QuantityKind.FRACTION,
            default="rated_tolerance",
            belongs_to="rated_input",
            detail=True,
        ),
        MeasurementEntry(
            "meter_accuracy",
            message("Accuracy of the gas meter, either way, as a share"),
            QuantityKind.FRACTION,
            default="gas_meter_accuracy",
            detail=True,
        ),
        MeasurementEntry(
            "timing",
            message("Accuracy of start plus stop of the watch, either way"),
            QuantityKind.TIME,
            default="timing",
            unit="s",
            detail=True,
        ),
        MeasurementEntry(
            "heating_value_accuracy",
            message("Accuracy of the heating value, either way, as a share"),
            QuantityKind.FRACTION,
            default="heating_value_accuracy",
            accuracy_of=("heating_value",),
            detail=True,
        ),
        MeasurementEntry(
            "gas_temperature_accuracy",
            message("Accuracy of the gas's temperature, either way"),
            QuantityKind.TEMPERATURE_DIFFERENCE,
            default="gas_temperature_accuracy",
            accuracy_of=("gas_temperature",),
            detail=True,
        ),
        MeasurementEntry(
            "atmospheric_accuracy",
            message("Accuracy of the atmospheric pressure, either way"),
            QuantityKind.PRESSURE,
            default="atmospheric_accuracy",
            accuracy_of=("atmospheric_pressure",),
            detail=True,
        ),
        MeasurementEntry(
            "heat_accuracy",
            message("Accuracy of the heat to the water, either way, as a share"),
            QuantityKind.FRACTION,
            default="heat_accuracy",
            accuracy_of=("heat",),
            detail=True,
        ),
    ),
    compute=_compute,
    cautions=("stop_and_leave", "co_monitor", "gas_and_flue", "deferral"),
)
