"""What static and running pressure at one point tell: the flow coefficient, another flow."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.fills import FIRST_ORDER_LIMIT
from desk.trade.flow.flow_entry import check_flow, flow_doubts
from desk.trade.measuring.estimate import (
    Estimate,
    EstimateChange,
    Trend,
    compare,
    propagate,
)

BAR_PA = 1e5
SUPPLY_EXPONENT = 0.54
"""Flow against drop of pressure of a supply, after NFPA 291; the definition of Kv has 0.5."""

_PLAUSIBLE_STATIC_PA = (30e3, 1.5e6)  # 4 to 220 psi: common practice, no source
_FAR_BEYOND = 2.0  # times the measured flow


@dataclass(frozen=True, slots=True)
class SupplyPressure:
    """What static and running pressure at one point tell.

    Attributes:
        drop_pa: static less running pressure; an offset of the gauge is gone.
        kv_m3_per_s: flow coefficient, m3/s at a drop of 1 bar (the usual Kv, in m3/h, is this
            converted).
        flow_at_residual_m3_per_s: flow expected at the residual pressure asked for, if one was.
        formula: how they came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    drop_pa: Estimate
    kv_m3_per_s: Estimate
    flow_at_residual_m3_per_s: Estimate | None
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def supply_pressure(
    static_pa: Estimate,
    running_pa: Estimate,
    flow_m3_per_s: Estimate,
    residual_pa: float | None = None,
) -> SupplyPressure:
    """Compute the flow coefficient and, if asked, the flow at another residual pressure.

    Both pressures are read on one gauge at one point, nothing else drawing; estimates that carry
    the gauge's offset as the same source lose it in the drop.

    Args:
        static_pa: pressure with nothing running, gauge, Pa.
        running_pa: pressure while the flow runs, gauge, Pa.
        flow_m3_per_s: the flow, m3/s.
        residual_pa: pressure at which the flow is asked for, gauge, Pa.

    Raises:
        InputError: a value is no finite number, the running pressure is not below the static one,
            the residual is not, or there is no flow.

    Source:
        IEC 60534-1: ``Kv = Q / sqrt(dp / 1 bar)`` for cold water. NFPA 291: ``Q_R = Q_F
        (h_R / h_F)^0.54``, h the drops from the static pressure.
    """
    check_flow(flow_m3_per_s)
    _check_pressures(static_pa.value, running_pa.value, residual_pa)
    drop = propagate(lambda static, running: static - running, static_pa, running_pa)
    asked = (
        None if residual_pa is None else _flow_at(residual_pa, flow_m3_per_s, static_pa, running_pa)
    )
    return SupplyPressure(
        drop_pa=drop,
        kv_m3_per_s=propagate(
            lambda flow, static, running: flow / math.sqrt(max(static - running, 1e-9) / BAR_PA),
            flow_m3_per_s,
            static_pa,
            running_pa,
        ),
        flow_at_residual_m3_per_s=asked,
        formula=_FORMULA if asked is None else f"{_FORMULA}; {_FORMULA_AT_RESIDUAL}",
        sources=_SOURCES if asked is None else (*_SOURCES, _SOURCE_AT_RESIDUAL),
        warnings=(
            *static_doubts(static_pa.value),
            *running_doubts(running_pa.value),
            *flow_doubts(flow_m3_per_s),
            *drop_doubts(drop),
            *_reach_doubts(asked, flow_m3_per_s.value),
        ),
    )


def loss_coefficient_change(before: Estimate, after: Estimate) -> EstimateChange:
    """Hold a flow coefficient against that of an earlier visit to the same appliance.

    Sources that both carry under one name are one error and go away; what was read anew (the two
    gauge readings, a typed flow) is not the same error on another day, though it has one name.

    Args:
        before: Kv of the earlier visit, m3/s at 1 bar.
        after: Kv of this visit, likewise.

    Returns:
        Improved, no change that can be seen, or worse; a higher Kv is better.

    Source:
        JCGM 100:2008, 5.2 and 6.2.
    """
    change = compare(before, after, higher_is_better=True)
    return replace(change, sentence=_CHANGES[change.trend])


def _flow_at(
    residual_pa: float, flow: Estimate, static_pa: Estimate, running_pa: Estimate
) -> Estimate:
    """Return the flow at a residual pressure after NFPA 291."""

    def model(flow_m3_per_s: float, static: float, running: float) -> float:
        drops = max(static - residual_pa, 0.0) / max(static - running, 1e-9)
        return float(flow_m3_per_s * drops**SUPPLY_EXPONENT)

    return propagate(model, flow, static_pa, running_pa)


def _check_pressures(static: float, running: float, residual: float | None) -> None:
    for name, value in (("static", static), ("running", running), ("residual", residual or 0.0)):
        if not math.isfinite(value):
            raise InputError(message("The pressure must be a number."), field=name)
    if running >= static:
        raise InputError(
            message(
                "The running pressure must be below the static one."
                " Look whether the two were swapped, and whether water was running."
            ),
            field="running",
        )
    if residual is not None and not 0 <= residual < static:
        raise InputError(
            message("The residual pressure must lie from 0 to below the static pressure."),
            field="residual",
        )


def static_doubts(static_pa: float) -> tuple[Message, ...]:
    """Return what is odd about a static pressure."""
    low, high = _PLAUSIBLE_STATIC_PA
    if low <= static_pa <= high:
        return ()
    return (
        message(
            "No supply of a house has such a static pressure; look at its unit, psi, kPa or bar."
        ),
    )


def running_doubts(running_pa: float) -> tuple[Message, ...]:
    """Return what is odd about a running pressure; at nothing the drop is all of the static one."""
    if running_pa > 0:
        return ()
    return (
        message(
            "No water runs on at a pressure of nothing or less. Look whether the gauge stands at"
            " nothing with its point shut off, at the unit, and whether the valve before the gauge"
            " was open."
        ),
    )


def drop_doubts(drop: Estimate) -> tuple[Message, ...]:
    """Return what is odd about a drop: the gauge can hardly show it."""
    if drop.standard_uncertainty <= FIRST_ORDER_LIMIT * drop.value:
        return ()
    return (
        message("The pressure fell by hardly more than the gauge can show; let more water run."),
    )


def _reach_doubts(asked: Estimate | None, measured: float) -> tuple[Message, ...]:
    if asked is None or asked.value <= _FAR_BEYOND * measured:
        return ()
    return (message("The flow asked for lies far beyond the one measured; let more water run."),)


_FORMULA = "Kv = Q / ((p_static - p_running) / 1 bar)^0.5, Q and Kv in m3/h"
_FORMULA_AT_RESIDUAL = (
    "Q(residual) = Q ((p_static - p_residual) / (p_static - p_running))^0.54 (NFPA 291)"
)
_SOURCES = (
    message("IEC 60534-1: flow coefficient Kv, exponent 0.5, cold water"),
    message("JCGM 100:2008 (GUM), 5.2: the gauge's offset is in both readings and goes away"),
)
_SOURCE_AT_RESIDUAL = message("NFPA 291: flow at another residual pressure, exponent 0.54")
_CHANGES = {
    Trend.IMPROVED: message("Improved: more water gets through than on the earlier visit."),
    Trend.NO_CHANGE: message("Against the earlier visit no change can be seen."),
    Trend.WORSE: message(
        "Worse: less water gets through than on the earlier visit. A strainer that fills up does"
        " that; so does scale, or a valve that is not fully open."
    ),
}
