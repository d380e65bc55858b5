"""A sample of water as it is entered: hardness, calcium and what the scale indices need."""

from __future__ import annotations

from desk.base.errors import InputError
from desk.base.texts import message
from desk.trade.measuring.estimate import Estimate, rectangular_error
from desk.trade.measuring.measurement import Inputs
from desk.trade.water.quality_model import (
    Sample,
    ScaleIndices,
    aggressive_index,
    as_carbonate,
    scale_indices,
    total_hardness,
)


def hardness_of(inputs: Inputs) -> Estimate:
    """Return the total hardness: measured, else counted up from the two ions.

    Raises:
        InputError: neither was entered.
    """
    if "hardness" in inputs:
        return inputs.estimate(
            "hardness",
            inputs.rectangular("hardness_accuracy", "hardness_kit", message("hardness test kit")),
        )
    counted = counted_hardness(inputs)
    if counted is None:
        raise InputError(
            message("Enter the hardness, for example 12 gpg, or calcium and magnesium as ions."),
            field="hardness",
        )
    return counted


def counted_hardness(inputs: Inputs) -> Estimate | None:
    """Return the hardness that the two ions add up to; None without both."""
    if "calcium_ion" not in inputs or "magnesium_ion" not in inputs:
        return None
    return total_hardness(_ion(inputs, "calcium_ion"), _ion(inputs, "magnesium_ion"))


def _ion(inputs: Inputs, name: str) -> Estimate:
    words = inputs.relative("ion_accuracy", name, name, message("laboratory's figure"))
    return inputs.estimate(name, words)


def calcium_of(inputs: Inputs) -> Estimate | None:
    """Return calcium as calcium carbonate; None where it was not entered, for it is not guessed.

    Raises:
        InputError: it was entered twice.
    """
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


def alkalinity_of(inputs: Inputs) -> Estimate:
    """Return the total alkalinity, kg/m3 as calcium carbonate."""
    words = message("alkalinity test kit")
    return inputs.estimate(
        "alkalinity", inputs.rectangular("alkalinity_accuracy", "alkalinity_kit", words)
    )


def _ph(inputs: Inputs) -> Estimate:
    return inputs.estimate(
        "ph", inputs.rectangular("ph_accuracy", "ph_meter", message("accuracy of the pH meter"))
    )


def indices_of(inputs: Inputs, calcium: Estimate | None) -> ScaleIndices | None:
    """Return the scale indices; None where something that they need was not entered."""
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
    sample = Sample(_ph(inputs), calcium, alkalinity_of(inputs), solids)
    return scale_indices(sample, temperature, law)


def aggressive_of(inputs: Inputs, calcium: Estimate | None) -> Estimate | None:
    """Return the aggressive index, likewise."""
    if calcium is None or "alkalinity" not in inputs or "ph" not in inputs:
        return None
    return aggressive_index(_ph(inputs), calcium, alkalinity_of(inputs))
