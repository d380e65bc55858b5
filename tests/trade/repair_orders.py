"""In which order repairs are tried, and what that takes: what the ranking is held to."""

from __future__ import annotations

from collections.abc import Sequence


def order_by_yield(probabilities: Sequence[float], minutes: Sequence[float]) -> tuple[int, ...]:
    """Order repairs so that the expected time to the mend is least.

    Optimal where each step tests and mends one cause perfectly, the steps are independent, and
    what one takes does not depend on the order.

    Args:
        probabilities: of the cause that each step mends; n values.
        minutes: what each step takes; n values above 0.

    Returns:
        The n positions, largest probability per minute first.

    Source:
        Kadane and Simon, Optimal strategies for a class of constrained sequential problems,
        Annals of Statistics 5, 1977; Heckerman, Breese and Rommelse, CACM 38(3), 1995.
    """
    return tuple(
        sorted(range(len(probabilities)), key=lambda i: (-probabilities[i] / minutes[i], i))
    )


def expected_minutes(
    order: Sequence[int],
    probabilities: Sequence[float],
    minutes: Sequence[float],
    *,
    otherwise_minutes: float = 0.0,
) -> float:
    """Return the expected time until the fault is mended when steps are tried in an order.

    Args:
        order: positions into the other two.
        probabilities: of the cause that each step mends; they sum to at most one.
        minutes: what each step takes.
        otherwise_minutes: what it takes when no step helped.
    """
    left, total = 1.0, 0.0
    for i in order:
        total += left * minutes[i]
        left -= probabilities[i]
    return total + max(0.0, left) * otherwise_minutes
