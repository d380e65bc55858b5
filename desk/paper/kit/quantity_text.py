"""Quantities on paper: in the shop's units, with the other system's beside them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from desk.base.texts import _
from desk.records.views.parties import UnitSystem
from desk.trade.quantities.typed_quantity import QuantityKind, System, convert, show
from desk.trade.quantities.units import USUAL, shown

_DIFFERENCE_OF = {QuantityKind.TEMPERATURE: QuantityKind.TEMPERATURE_DIFFERENCE}
_NO_BREAK = "\N{NO-BREAK SPACE}"
_MOST_PLACES = 6
_TWO_FIGURES_BELOW = 2.95
_GROUP_FROM = 10_000
_TOLD_IN_PPM_BELOW = 1e-3
_SIGNED = {
    QuantityKind.TEMPERATURE,
    QuantityKind.TEMPERATURE_DIFFERENCE,
    QuantityKind.VOLTAGE,
    QuantityKind.CURRENT,
}


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity as it prints: in the shop's unit, and in the other system's ("" if the same)."""

    main: str
    other: str


def kind_of(quantity: str) -> QuantityKind | None:
    """Return the kind that a snapshot's ``quantity`` names, None for what has no unit."""
    return QuantityKind(quantity) if quantity in set(QuantityKind) else None


def in_shop_unit(si: float, kind: QuantityKind, system: UnitSystem) -> float:
    """Return the number of an SI value in the shop's unit.

    Args:
        si: the value, in the SI unit of its kind.
        kind: what it is a quantity of.
        system: whose usual units the shop goes by.
    """
    return convert(si, USUAL[kind].si, _unit(kind, system))


def unit_label(kind: QuantityKind, system: UnitSystem) -> str:
    """Return the shop's unit as a person writes it."""
    return shown(_unit(kind, system))


def amount(si: float, kind: QuantityKind, system: UnitSystem) -> Amount:
    """Show a quantity in both systems, rounded to what matters.

    Args:
        si: the value, in the SI unit of its kind.
        kind: what it is a quantity of; a small fraction is told in ppm.
        system: whose usual units come first.
    """
    if kind is QuantityKind.FRACTION and 0 < abs(si) < _TOLD_IN_PPM_BELOW:
        return Amount(f"{si * 1e6:.3g}{_NO_BREAK}ppm", "")
    return _both(kind, system, lambda one: _tidy(show(si, kind, System(one))))


def measured(
    si: float,
    expanded_si: float,
    kind: QuantityKind,
    system: UnitSystem,
    *,
    figures: int | None = None,
) -> Amount:
    """Show a quantity in both systems, to the places that its uncertainty leaves meaning in.

    Args:
        si: the value, in the SI unit of its kind.
        expanded_si: half the width of its 95 % interval, in the same unit.
        kind: what it is a quantity of.
        system: whose usual units come first.
        figures: how many figures of the uncertainty the places leave; None for one, or two where
            its first is a 1 or a 2.
    """

    def said(one: UnitSystem) -> str:
        places = _places(expanded_si, kind, one, figures=figures)
        number = _fixed(in_shop_unit(si, kind, one), places)
        return f"{number}{_NO_BREAK}{unit_label(kind, one)}"

    return _both(kind, system, said)


def half_width(
    si: float, kind: QuantityKind, system: UnitSystem, *, figures: int | None = None
) -> Amount:
    """Show an uncertainty of a quantity in both systems.

    Args:
        si: the uncertainty, in the SI unit of its kind.
        kind: of the quantity that is uncertain; a temperature's own is a difference.
        system: whose usual units come first.
        figures: as in :func:`measured`.
    """
    kind = _DIFFERENCE_OF.get(kind, kind)

    def said(one: UnitSystem) -> str:
        number = _fixed(in_shop_unit(si, kind, one), _places(si, kind, one, figures=figures))
        return f"{number}{_NO_BREAK}{unit_label(kind, one)}"

    return _both(kind, system, said)


def with_uncertainty(
    si: float,
    expanded_si: float,
    kind: QuantityKind | None,
    system: UnitSystem,
    *,
    decimals: int = 2,
) -> Amount:
    """Show a figure with its give or take; the other system's value stands plain beside it.

    Args:
        si: the value, in the SI unit of its kind.
        expanded_si: half the width of its 95 % interval; 0 for none.
        kind: what it is a quantity of; None for a plain number.
        system: whose usual units come first.
        decimals: of a plain number.
    """
    if kind is None:
        number = _fixed(si, decimals)
        spread = f" ± {_fixed(expanded_si, decimals)}" if expanded_si else ""
        return Amount(f"{number}{spread}", "")
    if not expanded_si:
        return (
            Amount(probability(si), "")
            if kind is QuantityKind.FRACTION
            else amount(si, kind, system)
        )

    def said(one: UnitSystem) -> str:
        places = _places(expanded_si, kind, one)
        number = _fixed(in_shop_unit(si, kind, one), places)
        width = in_shop_unit(expanded_si, _DIFFERENCE_OF.get(kind, kind), one)
        spread = f" ± {_fixed(width, places)}" if one == system else ""
        return f"{number}{spread}{_NO_BREAK}{unit_label(kind, one)}"

    return _both(kind, system, said)


def interval(si: float, expanded_si: float, kind: QuantityKind, system: UnitSystem) -> Amount:
    """Show from where to where a measured quantity may lie, in both systems.

    What cannot be negative, such as a flow, is not said to reach below zero.

    Args:
        si: the value, in the SI unit of its kind.
        expanded_si: half the width of the interval, in the same unit.
        kind: what it is a quantity of.
        system: whose usual units come first.
    """
    low_si = si - expanded_si
    if kind not in _SIGNED:
        low_si = max(low_si, 0.0)

    def said(one: UnitSystem) -> str:
        places = _places(expanded_si, kind, one)
        low, high = (
            _fixed(in_shop_unit(bound, kind, one), places) for bound in (low_si, si + expanded_si)
        )
        return _(
            "{low} and {high}\N{NO-BREAK SPACE}{unit}",
            low=low,
            high=high,
            unit=unit_label(kind, one),
        )

    return _both(kind, system, said)


def probability(share: float) -> str:
    """Show a probability in per cent; never 0 or 100, which no measurement gives."""
    if share > 0.999:  # noqa: PLR2004 - where a tenth of a per cent ends
        return _("over 99.9 %")
    if share < 0.001:  # noqa: PLR2004
        return _("under 0.1 %")
    return _("{percent:.1f} %", percent=100 * share)


def plain_number(value: float, significant: int = 3) -> str:
    """Show a number without a unit."""
    return f"{value:,.0f}" if abs(value) >= 10**significant else f"{value:.{significant}g}"


def _both(kind: QuantityKind, system: UnitSystem, said: Callable[[UnitSystem], str]) -> Amount:
    main, other = said(system), said("si" if system == "us" else "us")
    return Amount(main, "" if _unit(kind, "us") == _unit(kind, "si") else other)


def _unit(kind: QuantityKind, system: UnitSystem) -> str:
    return USUAL[kind].in_system(System(system))


def _places(
    uncertainty_si: float, kind: QuantityKind, system: UnitSystem, *, figures: int | None = None
) -> int:
    """Return the decimals that leave ``figures`` of an uncertainty; below zero, whole tens.

    Unless told, one figure stays, and two where the first is a 1 or a 2, since rounding such a
    number to one figure would change it by up to a third. Common practice, no source.
    """
    width = abs(in_shop_unit(uncertainty_si, _DIFFERENCE_OF.get(kind, kind), system))
    if width == 0 or not math.isfinite(width):
        return _MOST_PLACES
    first = math.floor(math.log10(width))
    if figures is None:
        figures = 2 if width / 10**first < _TWO_FIGURES_BELOW else 1
    return min(figures - 1 - first, _MOST_PLACES)


def _fixed(value: float, places: int) -> str:
    if not math.isfinite(value):
        return str(value)
    rounded = round(value, places) or 0.0  # what rounds to nothing has no sign
    text = f"{rounded:,.{max(places, 0)}f}"
    # Long numbers are grouped as desk.trade.quantities.typed_quantity groups them.
    grouped = "\u202f" if abs(value) >= _GROUP_FROM else ""
    return text.replace(",", grouped).replace("-", "−")


def _tidy(text: str) -> str:
    """Leave out zeros after the last figure and give a negative number its sign."""
    number, space, unit = text.partition(" ")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number.replace('-', '−')}{_NO_BREAK * len(space)}{unit}"
