"""Water quality as it is entered and as it is told; what is computed is in `quality_model`."""

from __future__ import annotations

from collections.abc import Iterator

from desk.base.texts import Message, message
from desk.trade.flow.fills import FIRST_ORDER_LIMIT
from desk.trade.measuring.estimate import Estimate, Telling, probability_over, propagate, telling
from desk.trade.measuring.measurement import (
    Figure,
    Inputs,
    Measurement,
    MeasurementEntry,
    MeasurementOutcome,
    probability_figure,
)
from desk.trade.quantities.exact_factors import GALLON_M3, GRAIN_KG, IMPERIAL_GALLON_M3
from desk.trade.quantities.units import QuantityKind
from desk.trade.reference.reference_values import source_of, table
from desk.trade.water.quality_model import (
    MG_PER_L,
    ScaleIndices,
    class_probabilities,
    hardness_class,
)
from desk.trade.water.sample_entry import (
    aggressive_of,
    alkalinity_of,
    calcium_of,
    counted_hardness,
    hardness_of,
    indices_of,
)
from desk.trade.water.water_advice import hardness_meaning, scale_meaning

CARBONATE_PER_LIME = 100.0869 / 56.0774  # CaCO3 over CaO

_HARDEST_KG_PER_M3 = 1.0
_MOST_ALKALINE_KG_PER_M3 = 1.0
_MOST_SOLIDS_KG_PER_M3 = 5.0
_LEAST_SOLIDS_SHARE = 0.5  # of the hardness, which is itself dissolved
_DRINKING_PH = (5.0, 10.5)


def _compute(inputs: Inputs) -> MeasurementOutcome:
    hardness, calcium = hardness_of(inputs), calcium_of(inputs)
    counted = "hardness" not in inputs
    indices = indices_of(inputs, calcium)
    aggressive = aggressive_of(inputs, calcium)
    odd_hardness = tuple(_hardness_doubts(inputs, hardness, calcium))
    odd_index = tuple(_index_doubts(inputs, hardness, indices))
    of_hardness = (_DOUBTFUL,) if odd_hardness else hardness_meaning(hardness)
    if indices is None:
        of_scale: tuple[Message, ...] = (_lacking(inputs, calcium),)
    else:
        doubted = odd_hardness or odd_index
        of_scale = (_DOUBTFUL_INDEX,) if doubted else scale_meaning(indices, aggressive)
    found = hardness_class(hardness.value)
    probability = class_probabilities(hardness)[found]
    certain = Telling.CANNOT_TELL if odd_hardness else telling(probability)
    return MeasurementOutcome(
        figures=_figures(hardness, probability, indices, aggressive),
        says=(*of_hardness, *of_scale),
        notes=(_GUIDANCE,),
        formula=_formula(indices, aggressive, counted=counted),
        sources=tuple(_sources(indices, aggressive, counted=counted)),
        warnings=odd_hardness + odd_index,
        words={"class": found.value, "class_certain": certain.value},
    )


def _lacking(inputs: Inputs, calcium: Estimate | None) -> Message:
    """Say why there is no scale index."""
    if calcium is None:
        return _NO_CALCIUM
    missing = next(name for name in ("alkalinity", "ph", "tds") if name not in inputs)
    return message("For the scale index enter this too: {what}.", what=WATER.entry(missing).label)


def _hardness_doubts(
    inputs: Inputs, hardness: Estimate, calcium: Estimate | None
) -> Iterator[Message]:
    if hardness.value > _HARDEST_KG_PER_M3:
        yield message("No tap water is that hard; look at the unit of the hardness, gpg or mg/L.")
    counted = counted_hardness(inputs)
    if counted is not None:
        gap = propagate(lambda one, other: one - other, hardness, counted)
        # Rounding leaves a hair between equal figures without errors.
        if abs(gap.value) > gap.expanded_uncertainty + 1e-9:
            yield message(
                "The hardness and what calcium and magnesium add up to differ; look whether one"
                " was told as calcium carbonate and the other as the ion."
            )
    elif calcium is not None:
        above = propagate(lambda part, whole: part - whole, calcium, hardness)
        if telling(probability_over(0.0, above)) is Telling.YES:
            yield message(
                "There is more calcium than hardness, which contains it; look at the units, and"
                " whether the two were swapped."
            )


def _index_doubts(
    inputs: Inputs, hardness: Estimate, indices: ScaleIndices | None
) -> Iterator[Message]:
    low, high = _DRINKING_PH
    ph, solids, alkalinity = (inputs.maybe(name) for name in ("ph", "tds", "alkalinity"))
    if ph is not None and not low <= ph <= high:
        yield message("Hardly any tap water has such a pH; look at the meter and its buffers.")
    if solids is not None and solids < _LEAST_SOLIDS_SHARE * hardness.value:
        yield message(
            "Less is dissolved than the hardness alone; look at the unit of the dissolved solids."
        )
    if solids is not None and solids > _MOST_SOLIDS_KG_PER_M3:
        yield message(
            "No tap water has so much dissolved; look at the unit of the dissolved solids."
        )
    if alkalinity is not None and alkalinity > _MOST_ALKALINE_KG_PER_M3:
        yield message("No tap water is that alkaline; look at the unit of the alkalinity.")
    if indices is not None and _too_coarse(inputs):
        yield message(
            "Calcium or alkalinity is hardly more than the test kit can tell; the index is rough."
        )


def _too_coarse(inputs: Inputs) -> bool:
    calcium = calcium_of(inputs)
    return any(
        each.standard_uncertainty > FIRST_ORDER_LIMIT * each.value
        for each in (calcium, alkalinity_of(inputs))
        if each is not None
    )


def _figures(
    hardness: Estimate,
    probability: float,
    indices: ScaleIndices | None,
    aggressive: Estimate | None,
) -> tuple[Figure, ...]:
    figures = [Figure("hardness", message("Hardness"), QuantityKind.HARDNESS, hardness)]
    if indices is not None:
        figures += [
            Figure("langelier", message("Langelier index"), None, indices.langelier),
            Figure("ryznar", message("Ryznar index"), None, indices.ryznar),
            Figure(
                "saturation_ph",
                message("pH of saturation"),
                None,
                indices.saturation_ph,
                detail=True,
            ),
        ]
    if aggressive is not None:
        figures.append(Figure("aggressive_index", message("Aggressive index"), None, aggressive))
    figures += [
        Figure(name, label, None, propagate(lambda si, unit=unit: si / unit, hardness), detail=True)
        for name, (label, unit) in _UNITS.items()
    ]
    figures.append(
        probability_figure(
            "class_probability", message("Probability of the hardness class"), probability
        )
    )
    return tuple(figures)


def _formula(indices: ScaleIndices | None, aggressive: Estimate | None, *, counted: bool) -> str:
    parts = [
        "hardness = 2.497 Ca + 4.118 Mg (ions, mg/L)" if counted else "hardness as measured",
        indices.formula if indices is not None else "",
        "AI = pH + log10(Ca alkalinity)" if aggressive is not None else "",
    ]
    return "; ".join(part for part in parts if part)


def _sources(
    indices: ScaleIndices | None, aggressive: Estimate | None, *, counted: bool
) -> Iterator[Message]:
    bands = table("water_quality")
    yield source_of(bands["hardness_classes"])
    if counted:
        yield message("Standard Methods 2340 B: hardness from calcium and magnesium")
    if indices is not None:
        yield from indices.sources
        yield message(
            "scale forms or dissolves beyond 0.5 of Langelier's index: common practice, no source"
        )
        yield source_of(bands["ryznar_scale"])
    if aggressive is not None:
        yield source_of(bands["aggressive_index"])
    yield message("what it means for the appliance: common practice, no source")


_UNITS = {
    "hardness_gpg": (message("Hardness, grains a US gallon"), GRAIN_KG / GALLON_M3),
    "hardness_dh": (message("Hardness, German degrees"), 10 * MG_PER_L * CARBONATE_PER_LIME),
    "hardness_fh": (message("Hardness, French degrees"), 10 * MG_PER_L),
    "hardness_clark": (message("Hardness, Clark degrees"), GRAIN_KG / IMPERIAL_GALLON_M3),
    "hardness_mmol": (message("Hardness, mmol/L"), 100.0869 * MG_PER_L),
}
_NO_CALCIUM = message(
    "No scale index: calcium was not entered, and it is not guessed from the hardness."
)
_DOUBTFUL = message("The hardness is doubtful; see the warning before anything rests on it.")
_DOUBTFUL_INDEX = message("The scale index is doubtful; see the warnings.")
_GUIDANCE = message(
    "This is guidance from common practice; the maker's limits for the water come first."
)


def _accuracy(
    name: str, label: Message, quantity: QuantityKind | None, default: str, of: str
) -> MeasurementEntry:
    return MeasurementEntry(name, label, quantity, default=default, detail=True, accuracy_of=(of,))


WATER = Measurement(
    kind="water",
    label=message("Water quality"),
    help=message(
        "How hard the water is, and whether it lays down scale at the set temperature. Let cold"
        " water run, take the sample before any softener and once more after it. For the scale"
        " index calcium, alkalinity, pH and dissolved solids are needed too. Descaling uses acid,"
        " hot water burns, and standing water can carry bacteria. The maker's instructions and"
        " local codes come first."
    ),
    entries=(
        MeasurementEntry(
            "hardness", message("Hardness"), QuantityKind.HARDNESS, taken_from="hardness"
        ),
        MeasurementEntry(
            "calcium",
            message("Calcium, as calcium carbonate"),
            QuantityKind.HARDNESS,
            taken_from="calcium_hardness",
        ),
        MeasurementEntry(
            "alkalinity",
            message("Total alkalinity, as calcium carbonate"),
            QuantityKind.ALKALINITY,
            taken_from="alkalinity",
        ),
        MeasurementEntry("ph", message("pH"), highest=14.0),
        MeasurementEntry(
            "tds", message("Total dissolved solids"), QuantityKind.CONCENTRATION, taken_from="tds"
        ),
        MeasurementEntry(
            "temperature",
            message("Temperature that the water is heated to"),
            QuantityKind.TEMPERATURE,
            default="scale_temperature",
            taken_from="set_temperature",
            belongs_to="alkalinity",
        ),
        MeasurementEntry(
            "calcium_ion",
            message("Calcium as the ion, from a laboratory's report"),
            QuantityKind.CONCENTRATION,
            detail=True,
        ),
        MeasurementEntry(
            "magnesium_ion",
            message("Magnesium as the ion, from a laboratory's report"),
            QuantityKind.CONCENTRATION,
            detail=True,
        ),
        _accuracy(
            "hardness_accuracy",
            message("Accuracy of the hardness, either way"),
            QuantityKind.HARDNESS,
            "test_kit_accuracy",
            "hardness",
        ),
        _accuracy(
            "calcium_accuracy",
            message("Accuracy of the calcium, either way"),
            QuantityKind.HARDNESS,
            "test_kit_accuracy",
            "calcium",
        ),
        _accuracy(
            "alkalinity_accuracy",
            message("Accuracy of the alkalinity, either way"),
            QuantityKind.ALKALINITY,
            "alkalinity_accuracy",
            "alkalinity",
        ),
        _accuracy(
            "ph_accuracy", message("Accuracy of the pH, either way"), None, "ph_accuracy", "ph"
        ),
        _accuracy(
            "tds_accuracy",
            message("Accuracy of the dissolved solids, either way, as a share"),
            QuantityKind.FRACTION,
            "solids_accuracy",
            "tds",
        ),
        _accuracy(
            "temperature_accuracy",
            message("How far the water may be from its set temperature, either way"),
            QuantityKind.TEMPERATURE_DIFFERENCE,
            "setting_accuracy",
            "temperature",
        ),
        _accuracy(
            "ion_accuracy",
            message("Accuracy of the laboratory's figures, either way, as a share"),
            QuantityKind.FRACTION,
            "laboratory_accuracy",
            "calcium_ion",
        ),
        MeasurementEntry(
            "index_accuracy",
            message("Accuracy of the scale index's formula, either way"),
            default="scale_index_accuracy",
            detail=True,
            belongs_to="alkalinity",
        ),
    ),
    compute=_compute,
    cautions=("acid", "descaling", "scald", "bacteria", "deferral"),
)
