"""Quantities as the invented technicians type them."""

from __future__ import annotations

from functools import cache

from desk.trade.quantities.typed_quantity import QuantityKind, TypedQuantity, parse


@cache
def typed(text: str, kind: QuantityKind) -> TypedQuantity:
    """Read a quantity; the texts repeat, so that each is read once."""
    return parse(text, kind, field="sample")
