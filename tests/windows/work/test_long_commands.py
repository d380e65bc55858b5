"""Commands and queries that take their time: told of, stopped, and what became of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import pytest
from PySide6.QtCore import QObject
from sqlalchemy.orm import Session

from desk.base.errors import DeskError, RuleError
from desk.base.texts import Message, message
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.office.office import Office
from desk.records.parties.customers import add_customer
from desk.records.tables import Customer
from desk.windows.work.thread_handoff import Progress, Stopped
from desk.windows.work.work_queue import InlineQueue
from tests.windows.hands import count

STEPS = 4
NO = message("This cannot be done.")


@dataclass(frozen=True)
class EnterMany:
    """Enter a customer at every step."""

    what: ClassVar[Message] = message("Many entered")
    watch: Progress
    fails: bool = False

    def run(self, session: Session) -> str:
        for step in range(STEPS):
            add_customer(session, CustomerDetails(f"Customer {step}"))
            self.watch(step + 1, STEPS)
        if self.fails:
            raise RuleError(NO)
        return "entered"


class Hearer:
    """Notes what it is told."""

    def __init__(self) -> None:
        self.heard: list[object] = []
        self.told: list[tuple[int, int]] = []

    def failed(self, error: DeskError) -> None:
        self.heard.append(str(error))

    def stopped(self) -> None:
        self.heard.append("stopped")

    def progressed(self, step: int, total: int) -> None:
        self.told.append((step, total))


@pytest.mark.parametrize(
    ("fails", "heard", "kept"), [(False, "entered", STEPS), (True, str(NO), 0)]
)
def test_a_long_command_is_kept_whole_or_not_at_all(
    queue: InlineQueue, office: Office, fails: bool, heard: str, kept: int
) -> None:
    hearer, changed = Hearer(), list[object]()
    queue.changed.connect(changed.append)
    queue.act_long(
        queue,
        lambda watch: EnterMany(watch, fails),
        hearer.heard.append,
        hearer.failed,
        stopped=hearer.stopped,
        progressed=hearer.progressed,
    )
    assert hearer.heard == [heard]
    assert hearer.told[-1] == (STEPS, STEPS)
    assert count(office, Customer) == kept
    assert len(changed) == bool(kept)


def test_a_long_command_that_is_stopped_keeps_nothing_and_says_so(
    queue: InlineQueue, office: Office
) -> None:
    hearer, changed = Hearer(), list[object]()
    queue.changed.connect(changed.append)

    def stopping(watch: Progress) -> EnterMany:
        def step(number: int, total: int) -> None:
            watch(number, total)
            if number == STEPS - 1:
                raise Stopped  # as the desk's own watch does once it is asked

        return EnterMany(step)

    queue.act_long(
        QObject(queue), stopping, hearer.heard.append, hearer.failed, stopped=hearer.stopped
    )
    assert (hearer.heard, changed) == (["stopped"], [])
    assert count(office, Customer) == 0


def test_a_wish_to_stop_that_comes_too_late_changes_nothing(
    queue: InlineQueue, office: Office
) -> None:
    hearer = Hearer()
    under_way = queue.act_long(
        queue, EnterMany, hearer.heard.append, hearer.failed, stopped=hearer.stopped
    )
    under_way.ask_to_stop()
    assert hearer.heard == ["entered"]
    assert count(office, Customer) == STEPS
