"""Hardness and its class, and whether water lays down scale or dissolves it.

Hardness, calcium and alkalinity are told as calcium carbonate. Bounds and molar masses are in
``shared/reference/water_quality.toml``, each with its source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.measuring.estimate import Estimate, probability_over, propagate
from desk.trade.reference.reference_values import table

MG_PER_L = 1e-3
"""kg/m3."""
ZERO_CELSIUS_AS_PRINTED_K = 273.0
"""The usual formula prints T + 273; some programs add 273.15, which moves the index by 0.003."""

EXACT_LAW = Estimate(0.0)
"""The formula taken at its word."""

_ROUNDING = 1 + 1e-9  # 60 mg/L may come out of a conversion a hair above the bound
_ICE_K, _STEAM_K = 273.15, 373.15
_MOST_PH = 14
_LEAST_KG_PER_M3 = 1e-9  # keeps a slope taken across zero from the logarithm's end


class HardnessClass(StrEnum):
    """The classes of the US Geological Survey."""

    SOFT = "soft"
    MODERATELY_HARD = "moderately_hard"
    HARD = "hard"
    VERY_HARD = "very_hard"


@dataclass(frozen=True, slots=True)
class Sample:
    """What the scale indices need to know of a water.

    Attributes:
        ph: measured pH.
        calcium_kg_per_m3: calcium, as calcium carbonate; never guessed from the hardness.
        alkalinity_kg_per_m3: total alkalinity, as calcium carbonate.
        dissolved_solids_kg_per_m3: total dissolved solids.
    """

    ph: Estimate
    calcium_kg_per_m3: Estimate
    alkalinity_kg_per_m3: Estimate
    dissolved_solids_kg_per_m3: Estimate


@dataclass(frozen=True, slots=True)
class ScaleIndices:
    """Whether water lays down calcium carbonate or dissolves it; plain numbers.

    Attributes:
        saturation_ph: pH at which it would do neither.
        langelier: pH less that; above zero scale forms.
        ryznar: twice that less pH; below 6 scale forms.
        formula: how they came about.
        sources: publications and assumptions.
    """

    saturation_ph: Estimate
    langelier: Estimate
    ryznar: Estimate
    formula: str
    sources: tuple[Message, ...]


def hardness_class(hardness_kg_per_m3: float) -> HardnessClass:
    """Return the class of a hardness, kg/m3 as calcium carbonate.

    Source: US Geological Survey; a bound belongs to the softer class.
    """
    for name, bound in _bounds().items():
        if hardness_kg_per_m3 <= bound * _ROUNDING:
            return HardnessClass(name)
    return HardnessClass.VERY_HARD


def class_probabilities(hardness_kg_per_m3: Estimate) -> dict[HardnessClass, float]:
    """Return the probability of each class; they add up to one.

    Args:
        hardness_kg_per_m3: as calcium carbonate, with its errors.

    Source: JCGM 106:2012, 7.4, with each bound in turn.
    """
    above = [
        1.0,
        *(probability_over(bound * _ROUNDING, hardness_kg_per_m3) for bound in _bounds().values()),
        0.0,
    ]
    return {name: above[place] - above[place + 1] for place, name in enumerate(HardnessClass)}


def _bounds() -> dict[str, float]:
    up_to: dict[str, float] = table("water_quality")["hardness_classes"]["up_to"]
    return {name: bound * MG_PER_L for name, bound in up_to.items()}


def as_carbonate(ion_kg_per_m3: Estimate, ion: str) -> Estimate:
    """Return an ion's concentration told as calcium carbonate.

    Args:
        ion_kg_per_m3: concentration of the ion itself.
        ion: ``calcium`` or ``magnesium``.

    Source: molar masses; 2.497 for calcium and 4.118 for magnesium, Standard Methods 2340 B.
    """
    masses = table("water_quality")["molar_mass"]
    factor = masses["calcium_carbonate"] / masses[ion]
    return propagate(lambda concentration: concentration * factor, ion_kg_per_m3)


def total_hardness(calcium_kg_per_m3: Estimate, magnesium_kg_per_m3: Estimate) -> Estimate:
    """Return the total hardness, kg/m3 as calcium carbonate, from the two ions.

    Args:
        calcium_kg_per_m3: calcium as the ion.
        magnesium_kg_per_m3: magnesium as the ion.

    Source: Standard Methods 2340 B, ``2.497 Ca + 4.118 Mg``.
    """
    return propagate(
        lambda calcium, magnesium: calcium + magnesium,
        as_carbonate(calcium_kg_per_m3, "calcium"),
        as_carbonate(magnesium_kg_per_m3, "magnesium"),
    )


def solids_term(dissolved_solids_kg_per_m3: float) -> float:
    """Return the usual formula's A, ``(log10 TDS - 1) / 10`` with TDS in mg/L."""
    return (_log10_mg_per_l(dissolved_solids_kg_per_m3) - 1) / 10


def temperature_term(temperature_k: float) -> float:
    """Return the usual formula's B, ``34.55 - 13.12 log10(T + 273)`` with T in degrees Celsius."""
    celsius = temperature_k - 273.15
    return 34.55 - 13.12 * math.log10(celsius + ZERO_CELSIUS_AS_PRINTED_K)


def scale_indices(
    sample: Sample, temperature_k: Estimate, law: Estimate = EXACT_LAW
) -> ScaleIndices:
    """Compute the indices of Langelier and Ryznar.

    Args:
        sample: what was measured of the water.
        temperature_k: at which the water is looked at: of the hottest place it comes to.
        law: zero, with the error of the formula itself.

    Raises:
        InputError: a value cannot be: pH outside 0 to 14, nothing of calcium, alkalinity or
            solids, or water that would be ice or steam.

    Source:
        Langelier 1936 in the usual approximation, ``pHs = (9.3 + A + B) - (C + D)``,
        ``C = log10(Ca) - 0.4``, ``D = log10(alkalinity)``, both mg/L as calcium carbonate;
        ``LSI = pH - pHs``; Ryznar 1944, ``RSI = 2 pHs - pH``.
    """
    _check_ph(sample.ph)
    _check_amount(sample.calcium_kg_per_m3, "calcium")
    _check_amount(sample.alkalinity_kg_per_m3, "alkalinity")
    _check_amount(sample.dissolved_solids_kg_per_m3, "tds")
    if not _ICE_K <= temperature_k.value <= _STEAM_K:
        raise InputError(
            message("The temperature must lie from 0 to 100 °C (32 to 212 °F)."),
            field="temperature",
        )
    saturation_ph = propagate(
        _saturation_ph,
        sample.calcium_kg_per_m3,
        sample.alkalinity_kg_per_m3,
        sample.dissolved_solids_kg_per_m3,
        temperature_k,
        law,
    )
    return ScaleIndices(
        saturation_ph=saturation_ph,
        langelier=propagate(
            lambda measured, saturated: measured - saturated, sample.ph, saturation_ph
        ),
        ryznar=propagate(
            lambda measured, saturated: 2 * saturated - measured, sample.ph, saturation_ph
        ),
        formula=_FORMULA,
        sources=_SOURCES,
    )


def _saturation_ph(
    calcium: float, alkalinity: float, solids: float, temperature_k: float, law: float
) -> float:
    carbonate = _log10_mg_per_l(calcium) - 0.4 + _log10_mg_per_l(alkalinity)
    return 9.3 + solids_term(solids) + temperature_term(temperature_k) - carbonate + law


def aggressive_index(
    ph: Estimate, calcium_kg_per_m3: Estimate, alkalinity_kg_per_m3: Estimate
) -> Estimate:
    """Return the aggressive index, ``pH + log10(Ca alkalinity)``, both mg/L as calcium carbonate.

    Args:
        ph: measured pH.
        calcium_kg_per_m3: calcium, as calcium carbonate.
        alkalinity_kg_per_m3: total alkalinity, as calcium carbonate.

    Raises:
        InputError: as in `scale_indices`.

    Source: AWWA C400; made for pipe of asbestos cement.
    """
    _check_ph(ph)
    _check_amount(calcium_kg_per_m3, "calcium")
    _check_amount(alkalinity_kg_per_m3, "alkalinity")
    return propagate(
        lambda measured, calcium, alkalinity: (
            measured + _log10_mg_per_l(calcium) + _log10_mg_per_l(alkalinity)
        ),
        ph,
        calcium_kg_per_m3,
        alkalinity_kg_per_m3,
    )


def _log10_mg_per_l(kg_per_m3: float) -> float:
    return math.log10(max(kg_per_m3, _LEAST_KG_PER_M3) / MG_PER_L)


def _check_ph(ph: Estimate) -> None:
    if not 0 <= ph.value <= _MOST_PH:
        raise InputError(message("The pH must lie from 0 to 14."), field="ph")


def _check_amount(concentration: Estimate, field: str) -> None:
    if not 0 < concentration.value < math.inf:
        raise InputError(
            message("For the scale index this must be more than nothing, for example 150 mg/L."),
            field=field,
        )


_FORMULA = (
    "pHs = (9.3 + A + B) - (C + D); A = (log10 TDS - 1)/10; B = 34.55 - 13.12 log10(T + 273), T in"
    " °C; C = log10 Ca - 0.4; D = log10 alkalinity; Ca, alkalinity in mg/L as calcium carbonate;"
    " LSI = pH - pHs; RSI = 2 pHs - pH"
)
_SOURCES = (
    message("Langelier 1936, usual approximation with T + 273; Ryznar 1944: RSI = 2 pHs - pH"),
)
