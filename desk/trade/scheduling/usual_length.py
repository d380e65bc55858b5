"""How long a visit is booked for, learnt from how long such visits took.

Half of the visits before took no longer than their median; it is rounded up to the quarter of an
hour that a day is booked in, so that at least half would have fitted. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from desk.base.texts import _, plural

DEFAULT_MINUTES = 60
"""What a visit is booked for until enough like it are finished; common practice, no source."""

LEAST_VISITS = 5
"""Of fewer the median says too little: all of four lie on one side of the true one in 1 of 8
shops, all of five in 1 of 16 (two sides, each visit a fair coin)."""

QUARTER_MINUTES = 15
_SHORTEST_MINUTES, _LONGEST_MINUTES = 5.0, 12 * 60.0
"""Outside of these somebody wrote down afterwards, or went on the next day."""


@dataclass(frozen=True, slots=True)
class UsualLength:
    """How long a visit is booked for where nobody says otherwise.

    Attributes:
        minutes: whole quarters of an hour.
        visits: how many finished visits it rests on; 0 where they are too few.
    """

    minutes: int = DEFAULT_MINUTES
    visits: int = 0


def usual_length(minutes_on_site: Sequence[float]) -> UsualLength:
    """Return how long the next visit is booked for.

    Args:
        minutes_on_site: from start to finish of each finished visit like it.

    Returns:
        The median rounded up to quarters of an hour; the default where fewer than
        :data:`LEAST_VISITS` lengths can be meant.
    """
    from statistics import median  # only here: start-up counts

    meant = [one for one in minutes_on_site if _SHORTEST_MINUTES <= one <= _LONGEST_MINUTES]
    if len(meant) < LEAST_VISITS:
        return UsualLength()
    quarters = math.ceil(median(meant) / QUARTER_MINUTES)
    return UsualLength(quarters * QUARTER_MINUTES, len(meant))


def say_usual_length(usual: UsualLength) -> str:
    """Say a length and what it rests on."""
    if not usual.visits:
        return _(
            "{minutes} minutes, until {least} visits like this are finished",
            minutes=usual.minutes,
            least=LEAST_VISITS,
        )
    return plural(
        "{minutes} minutes: half of {count} finished visit like this took no longer",
        "{minutes} minutes: half of {count} finished visits like this took no longer",
        usual.visits,
        minutes=usual.minutes,
    )
