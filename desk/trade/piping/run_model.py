"""A flow through a length of pipe: what stands in it, how long that takes to come, what it costs.

The friction factor is that of the `fluids` library, imported where it is first needed (it brings
NumPy: 0.08 s).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.texts import Message, message
from desk.trade.flow.flow_entry import check_flow, flow_doubts
from desk.trade.measuring.estimate import Estimate, propagate, rectangular_error
from desk.trade.piping.pipe_table import Pipe
from desk.trade.reference.reference_values import source_of, table
from desk.trade.reference.water_properties import density_kg_per_m3, viscosity_pa_s

LAMINAR_BELOW = 2040.0
"""Reynolds number; K. Avila et al., Science 333 (2011) 192: onset of turbulence in pipe flow."""
TURBULENT_FROM = 4000.0

_LONGEST_M = 100.0  # a run in a house: common practice, no source
_FASTEST_M_PER_S = 6.0  # common practice, no source
_MOST_LOSS_PA = 1e6  # more than any supply has: common practice, no source


@dataclass(frozen=True, slots=True)
class PipeRun:
    """A flow through a length of pipe.

    Attributes:
        volume_m3: water standing in it, by geometry.
        volume_by_code_table_m3: the same by the plumbing codes' table, None where it has it not.
        wait_s: time until that is pushed out, if nothing mixes (plug flow).
        pressure_loss_pa: lost to friction in the straight pipe, fittings not counted, Pa.
        velocity_m_per_s: mean velocity.
        reynolds: Reynolds number.
        friction_factor: Darcy's, four times Fanning's.
        formula: how they came about.
        sources: publications and assumptions.
        warnings: what a person should look at before trusting it.
    """

    volume_m3: Estimate
    volume_by_code_table_m3: Estimate | None
    wait_s: Estimate
    pressure_loss_pa: Estimate
    velocity_m_per_s: Estimate
    reynolds: float
    friction_factor: float
    formula: str
    sources: tuple[Message, ...]
    warnings: tuple[Message, ...]


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Return Darcy's friction factor.

    Args:
        reynolds: Reynolds number.
        relative_roughness: roughness over inside diameter.

    Source:
        Laminar: 64/Re (Hagen and Poiseuille). Else C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939)
        133, solved by D. Clamond, Ind. Eng. Chem. Res. 48 (2009) 3665, in the `fluids` library.
    """
    return _friction(reynolds)(reynolds, relative_roughness)


def friction_loss_pa(
    length_m: float,
    inside_diameter_m: float,
    velocity_m_per_s: float,
    density_kg_per_m3: float,
    factor: float,
) -> float:
    """Return the pressure lost in a straight pipe, Pa, by Darcy and Weisbach.

    Args:
        length_m: length of the pipe, m.
        inside_diameter_m: inside diameter, m.
        velocity_m_per_s: mean velocity of the water, m/s.
        density_kg_per_m3: density of the water, kg/m3.
        factor: Darcy's friction factor, as of :func:`friction_factor`.

    Source: ``f (L / d) rho v^2 / 2``.
    """
    return factor * length_m / inside_diameter_m * density_kg_per_m3 * velocity_m_per_s**2 / 2


def pipe_run(
    pipe: Pipe, length_m: Estimate, flow_m3_per_s: Estimate, temperature_k: float
) -> PipeRun:
    """Compute what stands in a pipe run, how long it takes to come, and what it costs.

    Args:
        pipe: from :func:`desk.trade.piping.pipe_table.pipe_of`.
        length_m: length of the run, m.
        flow_m3_per_s: flow through it, m3/s.
        temperature_k: of the water, K; it matters to the friction alone.

    Raises:
        InputError: no length or no flow, or water that would be ice or steam.

    Source:
        Geometry; wait by plug flow, ``V / Q``; Darcy and Weisbach with Colebrook 1939; density and
        viscosity of water as `water_properties` has them.
    """
    check_flow(flow_m3_per_s)
    if not 0 < length_m.value < math.inf:
        raise InputError(
            message("The length must be more than nothing, for example 40 ft or 12 m."),
            field="length",
        )
    bore = pipe.inside_diameter_m
    volume = propagate(lambda d, length: math.pi / 4 * d**2 * length, bore, length_m)
    velocity = propagate(_velocity, flow_m3_per_s, bore)
    water = _Water(density_kg_per_m3(temperature_k), viscosity_pa_s(temperature_k))
    reynolds = water.reynolds(velocity.value, bore.value)
    factor, loss = _loss(pipe, length_m, flow_m3_per_s, water)
    code = pipe.code_volume_m3_per_m
    return PipeRun(
        volume_m3=volume,
        volume_by_code_table_m3=None
        if code is None
        else propagate(lambda length: code * length, length_m),
        wait_s=propagate(
            lambda d, length, flow: math.pi / 4 * d**2 * length / flow,
            bore,
            length_m,
            flow_m3_per_s,
        ),
        pressure_loss_pa=loss,
        velocity_m_per_s=velocity,
        reynolds=reynolds,
        friction_factor=factor,
        formula=_FORMULA_LAMINAR if reynolds < LAMINAR_BELOW else _FORMULA,
        sources=(*pipe.sources, *_SOURCES, source_of(table("pipes")["friction_factor_accuracy"])),
        warnings=(
            *flow_doubts(flow_m3_per_s),
            *run_doubts(length_m.value, velocity.value, loss.value),
            *_loss_doubts(reynolds),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Water:
    density_kg_per_m3: float
    viscosity_pa_s: float

    def reynolds(self, velocity_m_per_s: float, inside_diameter_m: float) -> float:
        return self.density_kg_per_m3 * velocity_m_per_s * inside_diameter_m / self.viscosity_pa_s


def _velocity(flow_m3_per_s: float, inside_diameter_m: float) -> float:
    return flow_m3_per_s / (math.pi / 4 * inside_diameter_m**2)


def _friction(reynolds: float) -> Callable[[float, float], float]:
    """Return the law of friction that holds at a Reynolds number."""
    if reynolds < LAMINAR_BELOW:
        return lambda at, _relative_roughness: 64 / at
    from fluids.friction import Clamond

    return Clamond


def _loss(
    pipe: Pipe, length_m: Estimate, flow_m3_per_s: Estimate, water: _Water
) -> tuple[float, Estimate]:
    """Return the friction factor and the pressure lost, with the law's own error."""
    bore = pipe.inside_diameter_m
    middle = water.reynolds(_velocity(flow_m3_per_s.value, bore.value), bore.value)
    # One law for the whole of the slope: across the step between them there is none.
    law = _friction(middle)
    own = rectangular_error(
        "friction_factor",
        message("friction factor of a real pipe"),
        table("pipes")["friction_factor_accuracy"]["value"],
    )

    def model(d: float, length: float, flow: float, off: float) -> float:
        velocity = _velocity(flow, d)
        factor = law(water.reynolds(velocity, d), pipe.roughness_m / d) * off
        return friction_loss_pa(length, d, velocity, water.density_kg_per_m3, factor)

    loss = propagate(model, bore, length_m, flow_m3_per_s, Estimate(1.0, own))
    return law(middle, pipe.roughness_m / bore.value), loss


def run_doubts(length_m: float, velocity_m_per_s: float, loss_pa: float) -> tuple[Message, ...]:
    """Return what is odd about a length, a velocity and a loss; empty where nothing is.

    Args:
        length_m: length of the run, m.
        velocity_m_per_s: mean velocity of the water, m/s.
        loss_pa: pressure lost along the run, Pa.
    """
    doubts = []
    if length_m > _LONGEST_M:
        doubts.append(message("The run is longer than any in a house; look at its unit, ft or m."))
    if velocity_m_per_s > _FASTEST_M_PER_S:
        doubts.append(
            message("No tap draws water that fast; look at the size and at the unit of the flow.")
        )
    if loss_pa > _MOST_LOSS_PA:
        doubts.append(
            message("More pressure would be lost than a supply has; look at size, length and flow.")
        )
    return tuple(doubts)


def _loss_doubts(reynolds: float) -> tuple[Message, ...]:
    """Return what is odd about the loss alone; wait and velocity do not rest on it."""
    if not LAMINAR_BELOW <= reynolds < TURBULENT_FROM:
        return ()
    return (
        message(
            "The flow is between smooth and turbulent, where the pressure loss is known badly."
        ),
    )


_LOSS = "dp = f (L / d) rho v^2 / 2"
_GEOMETRY = "V = pi d^2 L / 4; t = V / Q; v = 4 Q / (pi d^2)"
_FORMULA_LAMINAR = f"{_GEOMETRY}; {_LOSS}; f = 64 / Re"
_FORMULA = f"{_GEOMETRY}; {_LOSS}; 1/sqrt(f) = -2 log10(e/(3.7 d) + 2.51/(Re sqrt(f)))"
_SOURCES = (
    message("Darcy and Weisbach; friction factor after Colebrook 1939, laminar 64/Re"),
    message(
        "wait by plug flow; a fifth longer at least after the EPA WaterSense New Home Specification"
        " 1.2 (2014), 3.3: 0.6 gal drawn where 0.5 gal stand"
    ),
)
