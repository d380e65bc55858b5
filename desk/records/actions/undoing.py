"""Taking back what the counter did last, and doing it again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sqlalchemy.orm import Session

from desk.base.texts import Message, message
from desk.records.actions import belonging, counter, entering, shop, stock
from desk.records.exchange import IMPORTS
from desk.records.undo import undo
from desk.records.undo.undo_import import extent_of
from desk.records.views.changes import Extent

OF_THE_COUNTER = IMPORTS | frozenset(
    command.what.id
    for command in (
        counter.Book,
        entering.TakeCall,
        entering.MendCall,
        entering.CallOff,
        entering.WriteDangerOutcome,
        entering.AddCustomer,
        entering.MendCustomer,
        entering.AddPremises,
        entering.MendPremises,
        entering.AddAppliance,
        entering.MendAppliance,
        entering.AddPerson,
        entering.MendPerson,
        entering.AddPart,
        entering.MendPart,
        entering.MoveStock,
        belonging.JoinCustomers,
        belonging.JoinPremises,
        belonging.JoinAppliances,
        belonging.WithdrawCustomer,
        belonging.WithdrawPremises,
        belonging.WithdrawAppliance,
        belonging.BringBack,
        belonging.ChangeHands,
        belonging.EndTie,
        belonging.ReplaceAppliance,
        stock.AskForPart,
        stock.OrderPart,
        stock.PartCame,
        stock.WithdrawOrder,
        shop.MendShop,
        shop.PutLogo,
        shop.TakeLogoOff,
        shop.AddContainer,
        shop.MendContainer,
        shop.WithdrawContainer,
    )
)
"""What Ctrl+Z at the counter takes back; a visit's own commands are taken back on its sheet."""


@dataclass(frozen=True, slots=True)
class StepsView:
    """What would be taken back and done again next.

    Attributes:
        undo: message id; "" where there is nothing.
        redo: likewise.
        undo_extent: how many it brought in, where it brings in rows by the thousand.
        redo_extent: how many of them were taken away again.
    """

    undo: str
    redo: str
    undo_extent: Extent | None = None
    redo_extent: Extent | None = None


@dataclass(frozen=True, slots=True)
class SeeSteps:
    """Look at what the counter can take back and do again."""

    def run(self, session: Session) -> StepsView:
        """Return the next of each."""
        return _view(session)


@dataclass(frozen=True, slots=True)
class TakeBack:
    """Take back what the counter did last."""

    what: ClassVar[Message] = message("Taken back")

    def run(self, session: Session) -> StepsView:
        """Return what comes next."""
        undo.undo_at_counter(session, OF_THE_COUNTER)
        session.flush()  # what comes next is read back
        return _view(session)


@dataclass(frozen=True, slots=True)
class DoAgain:
    """Do again what was taken back last at the counter."""

    what: ClassVar[Message] = message("Done again")

    def run(self, session: Session) -> StepsView:
        """Return what comes next."""
        undo.redo_at_counter(session, OF_THE_COUNTER)
        session.flush()  # what comes next is read back
        return _view(session)


def _view(session: Session) -> StepsView:
    steps = undo.steps_at_counter(session, OF_THE_COUNTER)
    return StepsView(
        undo.what_was_done(session, steps.undo),
        undo.what_was_done(session, steps.redo),
        extent_of(session, steps.undo[-1]) if steps.undo else None,
        extent_of(session, steps.redo[-1]) if steps.redo else None,
    )
