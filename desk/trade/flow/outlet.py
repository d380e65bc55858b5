"""The outlet at which a flow was measured, and what a verdict there says of the appliance."""

from __future__ import annotations

from dataclasses import dataclass

from desk.base.texts import Message, message


@dataclass(frozen=True, slots=True)
class Outlet:
    """What is known about the outlet where the flow was measured.

    Flow at an outlet is not flow through the appliance: a crossing or a mixing valve adds cold
    water, another open outlet takes hot water away. What is not known stays False.

    Attributes:
        full_hot: the tap stood full hot.
        no_mixing_valve: no mixing valve stands between the appliance and the outlet.
        crossing_passed: the crossing test found no cold water passing over.
        others_shut: every other hot outlet was shut.
        vouched: the technician says that all of it came through the appliance.
    """

    full_hot: bool = False
    no_mixing_valve: bool = False
    crossing_passed: bool = False
    others_shut: bool = False
    vouched: bool = False

    def unproven(self, *, enough: bool) -> tuple[Message, ...]:
        """Return what a verdict still rests on before it holds for the appliance.

        Args:
            enough: True for a flow that is enough, False for one that is too little.
        """
        if self.vouched:
            return ()
        asked = (
            (
                (self.full_hot, message("the tap stood full hot")),
                (self.no_mixing_valve, message("no mixing valve stands between")),
                (self.crossing_passed, message("the crossing test was passed")),
            )
            if enough
            else ((self.others_shut, message("every other hot outlet was shut")),)
        )
        return tuple(condition for known, condition in asked if not known)


NOT_VOUCHED = Outlet()
