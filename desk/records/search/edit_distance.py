"""How far two words are apart, as fingers slip."""

from __future__ import annotations

from functools import lru_cache

_LONG = 8


def edits(one: str, other: str) -> int:
    """Return the fewest slips between two words: a letter more, less, wrong, or two swapped.

    Source: optimal string alignment (F. J. Damerau, Communications of the ACM 7 (1964) 171-176).
    """
    before: list[int] = []
    last = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        now = [row]
        for column, there in enumerate(other, 1):
            cost = min(last[column] + 1, now[-1] + 1, last[column - 1] + (letter != there))
            is_swap = row > 1 and column > 1 and one[row - 2] == there
            if is_swap and other[column - 2] == letter:
                cost = min(cost, before[column - 2] + 1)
            now.append(cost)
        before, last = last, now
    return last[-1]


@lru_cache(maxsize=10_000)  # the same few words stand in many rows
def is_slip_of(typed: str, word: str) -> bool:
    """Return whether a word may have been meant: one slip away, two where it is long."""
    allowed = 2 if len(typed) >= _LONG else 1
    return abs(len(typed) - len(word)) <= allowed and edits(typed, word) <= allowed
