"""A technician at the visit sheet: reads the question that is shown, and presses its answer."""

from __future__ import annotations

import time
from collections.abc import Mapping
from datetime import datetime
from difflib import SequenceMatcher
from zoneinfo import ZoneInfo

import numpy as np
import sqlalchemy as sa

from desk.base.texts import message
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.call_fields import CallDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.office.office import Office
from desk.records.parties import customers, places
from desk.records.tables import Person, Shop
from desk.records.visits import lifecycle
from desk.trade.content.loader import load_content
from desk.trade.content.model import Check, in_language
from desk.trade.diagnosis.walk import to_acknowledge
from sample_db.trial import answer_to
from tests.real.reading import UPRIGHTS, Part, Word, find
from tests.real.screen import PATIENCE_S, STILL_S, NotSeen, Screen

AT_THE_DOOR: Part = (20, 86, 690, 165)
QUESTION: Part = (20, 86, 866, 165)
"""Where on the sheet the question stands, from the corner of its window; at the door what was
reported stands beside it."""

ANSWERED_WITHIN_S = 5.0
TRIES = 4
LOOK_AGAIN_S = 1.0
SAME_LETTERS = 0.93
_ALIKE = UPRIGHTS | str.maketrans("f", "t")
TITLE_HIGH = 48


CALLER = "Olive Wexcombe"
"""Nobody in the sample office is ever called so, nor lives in that street."""


def add_to_the_day(office: Office) -> None:
    """Enter the customer who calls in the journeys, and put a visit there on the top of today."""
    at = {"street": "9 Cobbleway", "locality": "Larkmoor", "region": "NY"}
    with office.unit_of_work(message("A customer entered")) as session:
        details = CustomerDetails(name=CALLER, **at)
        customer = customers.add_customer(session, details, phones=["(212) 555-0142"])
        premises = places.add_premises(session, PremisesDetails(**at))
        places.link_customer(session, premises, customer, "owner")
        appliance = ApplianceDetails("combination_boiler", maker="Invented", model="Kestle 24")
        appliance_id = places.add_appliance(session, premises, appliance)
        details = CallDetails(
            "no_response",
            "No hot water since last night.",
            customer_id=customer,
            premises_id=premises,
            appliance_id=appliance_id,
        )
        visit = lifecycle.take_call(session, details)
        first = sa.select(Person.id).where(Person.is_technician).order_by(Person.name)
        today = datetime.now(ZoneInfo(session.scalars(sa.select(Shop.zone)).one()))
        start = today.replace(hour=9, minute=0, second=0, microsecond=0)
        lifecycle.book(session, visit, start=start, technician_id=session.scalars(first).first())
        lifecycle.arrive(session, visit)


def book_a_call(
    screen: Screen,
    *,
    words: str = "Nothing happens at any tap",
    when: str = "today 23 bram",
    number: str = "A-00013",
) -> None:
    """Write down a call of somebody who is known, and book it."""
    screen.write("wexcombe")
    screen.see("Cobbleway")
    screen.press("Return")
    screen.see("Visits")
    screen.click("New call")
    screen.see("Ask first")
    screen.press("alt+n")
    screen.write(words)
    screen.press("Tab", "Tab")
    screen.write(when)
    screen.press("Return")
    screen.see(number)


def _stands_in(words: list[Word], check: Check) -> bool:
    """Return whether the question of a check is read, also where spaces or a letter were lost."""
    title = in_language(check.title)
    wanted, read = _letters(title), _letters(" ".join(word.text for word in words))
    alike = SequenceMatcher(None, read[: 2 * len(wanted)], wanted, autojunk=False)
    same = sum(block.size for block in alike.get_matching_blocks())
    return find(words, title) is not None or same >= SAME_LETTERS * len(wanted)


def _letters(text: str) -> str:
    return "".join(filter(str.isalnum, text.casefold().translate(_ALIKE)))


class Technician:
    """Somebody who knows what they find at a few checks of a list; at all others all is well."""

    def __init__(self, screen: Screen, found: Mapping[str, str], checklist: str) -> None:
        self._screen, self._found = screen, found
        self._checklist = load_content().checklists[checklist]
        self._checks = self._checklist.checks
        self._answered: list[str] = []
        self._at = AT_THE_DOOR

    def work_to(self, last: str) -> list[str]:
        """Answer what is asked until a check is answered; return the checks in their order.

        Raises:
            NotSeen: something is asked that the list has not, or nothing more is.
        """
        while not self._answered or self._answered[-1] != last:
            self._answer(self._question())
        return self._answered

    def _question(self) -> Check:
        end = time.monotonic() + PATIENCE_S
        while True:
            words = list(self._screen.read(self._place(self._at)))
            seen = [one for one in self._checks.values() if _stands_in(words, one)]
            check = max(seen, key=lambda one: len(in_language(one.title)), default=None)
            if check is not None and check.id not in self._answered[-1:]:
                return check  # a title may stand within a longer one
            self._at = AT_THE_DOOR if self._at is QUESTION else QUESTION
            if time.monotonic() > end:
                self._screen.keep_picture("unknown question")
                raise NotSeen(f"no question that is known: {' '.join(w.text for w in words)}")
            self._screen.await_change(until=min(end, time.monotonic() + LOOK_AGAIN_S))

    def _answer(self, check: Check) -> None:
        """Press the answer, and again where nothing came of it: the sheet was busy."""
        answers = [answer.id for answer in check.answers]
        digit = str(1 + answers.index(answer_to(check, self._found)))
        for _try in range(TRIES):
            if to_acknowledge(self._checklist, check.id):
                self._screen.press("a")
                self._screen.rest(still=2 * STILL_S)  # before it is read nothing can be answered
            before = self._title()  # what was acknowledged may have moved it
            self._screen.press(digit)
            if self._goes_on_from(before) and not self._is_shown(check):
                self._answered.append(check.id)
                return
        self._screen.keep_picture("no answer is taken")
        raise NotSeen(f"the sheet stays at {check.id}")

    def _is_shown(self, check: Check) -> bool:
        """Return whether a question stands there, as where only its cautions have moved it."""
        return _stands_in(list(self._screen.read(self._place(self._at))), check)

    def _goes_on_from(self, before: np.ndarray[tuple[int, ...], np.dtype[np.uint8]]) -> bool:
        """Wait until another question stands there."""
        end = time.monotonic() + ANSWERED_WITHIN_S
        while np.array_equal(before, self._title()):
            if time.monotonic() > end:
                return False
            time.sleep(0.02)
        self._screen.rest()
        return True

    def _title(self) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
        left, top, right, _bottom = self._place(AT_THE_DOOR)
        return self._screen.pixels()[top : top + TITLE_HIGH, left:right]

    def _place(self, part: Part) -> Part:
        x, y = self._screen.corner()
        left, top, right, bottom = part
        return x + left, y + top, x + right, y + bottom
