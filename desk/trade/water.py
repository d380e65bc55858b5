"""Water quality as it is entered and as it is told; what is computed is in `water_quality`."""

from __future__ import annotations

from collections.abc import Iterator

from desk.errors import InputError
from desk.trade.customary import GALLON_M3, GRAIN_KG, IMPERIAL_GALLON_M3
from desk.trade.estimates import (
    Estimate,
    Telling,
    probability_over,
    propagate,
    rectangular_error,
    telling,
)
from desk.trade.fills import FIRST_ORDER_LIMIT
from desk.trade.measurement import Entry, Figure, Inputs, Measurement, Outcome
from desk.trade.reference import source_of, table
from desk.trade.units import Kind
from desk.trade.water_meaning import hardness_meaning, scale_meaning
from desk.trade.water_quality import (
    MG_PER_L,
    Sample,
    ScaleIndices,
    aggressive_index,
    as_carbonate,
    class_probabilities,
    hardness_class,
    scale_indices,
    total_hardness,
)
from desk.wording import Message, message

CARBONATE_PER_LIME = 100.0869 / 56.0774  # CaCO3 over CaO

_HARDEST_KG_PER_M3 = 1.0
_MOST_ALKALINE_KG_PER_M3 = 1.0
_MOST_SOLIDS_KG_PER_M3 = 5.0
_LEAST_SOLIDS_SHARE = 0.5  # of the hardness, which is itself dissolved
_DRINKING_PH = (5.0, 10.5)


def _compute(inputs: Inputs) -> Outcome:
    hardness, calcium = _hardness(inputs), _calcium(inputs)
    counted = "hardness" not in inputs
    indices = _indices(inputs, calcium)
    aggressive = _aggressive(inputs, calcium)
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
    return Outcome(
        figures=_figures(hardness, probability, indices, aggressive),
        says=(*of_hardness, *of_scale),
        notes=(_GUIDANCE,),
        formula=_formula(indices, aggressive, counted=counted),
        sources=tuple(_sources(indices, aggressive, counted=counted)),
        warnings=odd_hardness + odd_index,
        words={"class": found.value, "class_certain": certain.value},
    )


def _hardness(inputs: Inputs) -> Estimate:
    """Return the total hardness: measured, else counted up from the two ions."""
    if "hardness" in inputs:
        return inputs.estimate(
            "hardness",
            inputs.rectangular("hardness_accuracy", "hardness_kit", message("hardness test kit")),
        )
    counted = _counted(inputs)
    if counted is None:
        raise InputError(
            message("Enter the hardness, for example 12 gpg, or calcium and magnesium as ions."),
            field="hardness",
        )
    return counted


def _counted(inputs: Inputs) -> Estimate | None:
    if "calcium_ion" not in inputs or "magnesium_ion" not in inputs:
        return None
    return total_hardness(_ion(inputs, "calcium_ion"), _ion(inputs, "magnesium_ion"))


def _ion(inputs: Inputs, name: str) -> Estimate:
    words = inputs.relative("ion_accuracy", name, name, message("laboratory's figure"))
    return inputs.estimate(name, words)


def _calcium(inputs: Inputs) -> Estimate | None:
    """Return calcium as calcium carbonate; None where it was not entered, for it is not guessed."""
    if "calcium" in inputs and "calcium_ion" in inputs:
        raise InputError(
            message("Enter calcium once: as calcium carbonate, or as the ion."), field="calcium_ion"
        )
    if "calcium_ion" in inputs:
        return as_carbonate(_ion(inputs, "calcium_ion"), "calcium")
    if "calcium" in inputs:
        return inputs.estimate(
            "calcium",
            inputs.rectangular("calcium_accuracy", "calcium_kit", message("calcium test kit")),
        )
    return None


def _alkalinity(inputs: Inputs) -> Estimate:
    words = message("alkalinity test kit")
    return inputs.estimate(
        "alkalinity", inputs.rectangular("alkalinity_accuracy", "alkalinity_kit", words)
    )


def _ph(inputs: Inputs) -> Estimate:
    return inputs.estimate(
        "ph", inputs.rectangular("ph_accuracy", "ph_meter", message("accuracy of the pH meter"))
    )


def _indices(inputs: Inputs, calcium: Estimate | None) -> ScaleIndices | None:
    if calcium is None or any(name not in inputs for name in ("alkalinity", "ph", "tds")):
        return None
    solids = inputs.estimate(
        "tds",
        inputs.relative("tds_accuracy", "tds", "solids_meter", message("dissolved solids meter")),
    )
    temperature = inputs.estimate(
        "temperature",
        inputs.rectangular("temperature_accuracy", "setting", message("set temperature")),
    )
    law = Estimate(
        0.0,
        rectangular_error(
            "scale_index", message("the formula itself"), inputs.maybe("index_accuracy") or 0.0
        ),
    )
    sample = Sample(_ph(inputs), calcium, _alkalinity(inputs), solids)
    return scale_indices(sample, temperature, law)


def _aggressive(inputs: Inputs, calcium: Estimate | None) -> Estimate | None:
    if calcium is None or "alkalinity" not in inputs or "ph" not in inputs:
        return None
    return aggressive_index(_ph(inputs), calcium, _alkalinity(inputs))


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
    counted = _counted(inputs)
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
    calcium = _calcium(inputs)
    return any(
        each.standard_uncertainty > FIRST_ORDER_LIMIT * each.value
        for each in (calcium, _alkalinity(inputs))
        if each is not None
    )


def _figures(
    hardness: Estimate,
    probability: float,
    indices: ScaleIndices | None,
    aggressive: Estimate | None,
) -> tuple[Figure, ...]:
    figures = [Figure("hardness", message("Hardness"), Kind.HARDNESS, hardness)]
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
        Figure(
            "class_probability",
            message("Probability of the hardness class"),
            Kind.FRACTION,
            Estimate(probability),
            detail=True,
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


def _accuracy(name: str, label: Message, quantity: Kind | None, default: str, of: str) -> Entry:
    return Entry(name, label, quantity, default=default, detail=True, accuracy_of=(of,))


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
        Entry("hardness", message("Hardness"), Kind.HARDNESS, taken_from="hardness"),
        Entry(
            "calcium",
            message("Calcium, as calcium carbonate"),
            Kind.HARDNESS,
            taken_from="calcium_hardness",
        ),
        Entry(
            "alkalinity",
            message("Total alkalinity, as calcium carbonate"),
            Kind.ALKALINITY,
            taken_from="alkalinity",
        ),
        Entry("ph", message("pH"), highest=14.0),
        Entry("tds", message("Total dissolved solids"), Kind.CONCENTRATION, taken_from="tds"),
        Entry(
            "temperature",
            message("Temperature that the water is heated to"),
            Kind.TEMPERATURE,
            default="scale_temperature",
            taken_from="set_temperature",
            belongs_to="alkalinity",
        ),
        Entry(
            "calcium_ion",
            message("Calcium as the ion, from a laboratory's report"),
            Kind.CONCENTRATION,
            detail=True,
        ),
        Entry(
            "magnesium_ion",
            message("Magnesium as the ion, from a laboratory's report"),
            Kind.CONCENTRATION,
            detail=True,
        ),
        _accuracy(
            "hardness_accuracy",
            message("Accuracy of the hardness, either way"),
            Kind.HARDNESS,
            "test_kit_accuracy",
            "hardness",
        ),
        _accuracy(
            "calcium_accuracy",
            message("Accuracy of the calcium, either way"),
            Kind.HARDNESS,
            "test_kit_accuracy",
            "calcium",
        ),
        _accuracy(
            "alkalinity_accuracy",
            message("Accuracy of the alkalinity, either way"),
            Kind.ALKALINITY,
            "alkalinity_accuracy",
            "alkalinity",
        ),
        _accuracy(
            "ph_accuracy", message("Accuracy of the pH, either way"), None, "ph_accuracy", "ph"
        ),
        _accuracy(
            "tds_accuracy",
            message("Accuracy of the dissolved solids, either way, as a share"),
            Kind.FRACTION,
            "solids_accuracy",
            "tds",
        ),
        _accuracy(
            "temperature_accuracy",
            message("How far the water may be from its set temperature, either way"),
            Kind.TEMPERATURE_DIFFERENCE,
            "setting_accuracy",
            "temperature",
        ),
        _accuracy(
            "ion_accuracy",
            message("Accuracy of the laboratory's figures, either way, as a share"),
            Kind.FRACTION,
            "laboratory_accuracy",
            "calcium_ion",
        ),
        Entry(
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
