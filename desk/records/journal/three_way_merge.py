"""What two desks typed into the same row, put together field by field.

A form hands in everything that stands in it. What it did not change is left as the office has it
now; only a field that both have changed since it was shown is for a person to choose.
"""

from __future__ import annotations

from collections.abc import Mapping

from desk.base.errors import ConflictError
from desk.base.texts import message


def merged[V](
    shown: Mapping[str, V], mine: Mapping[str, V], theirs: Mapping[str, V]
) -> dict[str, V]:
    """Return the fields of ``mine``, with theirs where only they have changed one.

    Args:
        shown: what the form showed when it was typed into.
        mine: what stands in the form.
        theirs: what the office holds now.

    Raises:
        ConflictError: both have changed a field, each to something else.
    """
    return {field: _chosen(field, shown[field], mine[field], theirs[field]) for field in mine}


def _chosen[V](field: str, shown: V, mine: V, theirs: V) -> V:
    if _is_same(mine, shown):
        return theirs
    if _is_same(theirs, shown) or _is_same(theirs, mine):
        return mine
    raise ConflictError(
        message("Another desk has changed this since it was shown here. Choose which one stays."),
        field=field,
        theirs=theirs,
    )


def _is_same(one: object, other: object) -> bool:
    """Return whether two values are the same but for outer blanks, which are not kept."""
    if isinstance(one, str) and isinstance(other, str):
        return one.strip() == other.strip()
    return one == other
