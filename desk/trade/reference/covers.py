"""Whether an appliance's cover seals its combustion chamber: the check that asks, its answers."""

from __future__ import annotations

COVER_SEALS = "cover_seals"
"""The check that asks it, and the column that keeps it."""
SEALS, DOES_NOT_SEAL = "seals", "does_not_seal"
COVERS = ("", SEALS, DOES_NOT_SEAL)
"""What may be known of a cover; "" where nothing is."""
