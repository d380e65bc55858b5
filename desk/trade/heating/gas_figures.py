"""The figures of gas input and efficiency: what is told of the gas, and of the place."""

from __future__ import annotations

from desk.base.texts import message
from desk.trade.heating.gas_model import Basis, GasInput
from desk.trade.heating.gas_site import GasSite
from desk.trade.measuring.estimate import Estimate
from desk.trade.measuring.measurement import (
    Figure,
)
from desk.trade.quantities.units import QuantityKind


def gas_figures(found: GasInput, basis: Basis, *, corrected: bool) -> tuple[Figure, ...]:
    """Return what was found of the gas; at standard conditions only what was corrected to them.

    Args:
        found: what was computed; what is None in it gives no figure.
        basis: whether input and efficiency are gross or net; it is told in their labels.
        corrected: whether the gas was brought to standard conditions; else that figure is left out.
    """
    gross = basis is Basis.GROSS
    figures = (
        (
            "volume_rate",
            message("Gas as metered"),
            QuantityKind.GAS_RATE,
            found.volume_rate_m3_per_s,
        ),
        (
            "standard_volume_rate",
            message("Gas at standard conditions"),
            QuantityKind.GAS_RATE,
            found.standard_rate_m3_per_s if corrected else None,
        ),
        (
            "input",
            message("Gas input, gross") if gross else message("Gas input, net"),
            QuantityKind.POWER,
            found.input_w,
        ),
        (
            "share_of_rated",
            message("Share of the rated input")
            if found.share_of_rated == found.share_of_full
            else message("Share of the derated input"),
            QuantityKind.FRACTION,
            found.share_of_rated,
        ),
        (
            "efficiency",
            message("Efficiency, gross") if gross else message("Efficiency, net"),
            QuantityKind.FRACTION,
            found.efficiency,
        ),
    )
    return tuple(
        Figure(name, label, kind, estimate, True if name == "efficiency" else None)
        for name, label, kind, estimate in figures
        if estimate is not None
    )


def figures_of_place(site: GasSite, derated_w: float | None) -> tuple[Figure, ...]:
    """Return what the appendix and a script are told of the place."""
    altitude = None if site.altitude_m is None else Estimate(site.altitude_m)
    derated = None if derated_w is None else Estimate(derated_w)
    figures = (
        ("altitude", message("Altitude"), QuantityKind.LENGTH, altitude),
        (
            "atmospheric_pressure",
            message("Atmospheric pressure"),
            QuantityKind.ABSOLUTE_PRESSURE,
            site.atmosphere_pa,
        ),
        (
            "derated_input",
            message("Rated input, derated for the altitude"),
            QuantityKind.POWER,
            derated,
        ),
    )
    return tuple(
        Figure(name, label, kind, estimate, detail=True)
        for name, label, kind, estimate in figures
        if estimate is not None
    )
