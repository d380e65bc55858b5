"""The forms that join what was entered twice; the one that is open is the one that stays."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping

from desk.base.errors import DeskError, InputError
from desk.base.texts import _, message
from desk.records.actions import Command
from desk.records.actions.belonging import JoinAppliances, JoinCustomers, JoinPremises, SeeJoin
from desk.records.views.customer_record import (
    ApplianceCard,
    JoinView,
    PlaceView,
    PremisesCard,
    RecordView,
)
from desk.windows.forms.forms import EnterForm
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.record.chooser import Choosing, chosen_key
from desk.windows.record.phrases import appliance_words, join_words
from desk.windows.work.work_queue import WorkQueue

type Joining = Callable[[uuid.UUID, uuid.UUID], Command[uuid.UUID]]


class JoinForm(EnterForm):
    """Asks which other one is the same, and says what would come over from it.

    Args:
        queue: takes the command.
        title: says which one stays.
        entries: the last of them holds the other one.
        stays: the key of the one that stays.
        command: joins the other one into it.
    """

    def __init__(
        self,
        queue: WorkQueue,
        title: str,
        entries: list[Field],
        stays: uuid.UUID,
        command: Joining,
    ) -> None:
        self._other = entries[-1]

        def joined(typed: Mapping[str, str]) -> Command[object]:
            gone = chosen_key(typed["other"])
            if gone is None:
                raise InputError(message("Choose the one that is the same."), field="other")
            return command(gone, stays)

        super().__init__(queue, title, _("Join them"), entries, joined, place=f"form/join/{stays}")
        self._other.changed.connect(self._look)

    def _look(self) -> None:
        gone = chosen_key(self._other.text())
        if gone is None:
            self._other.show_understood("")
        else:
            self._queue.ask(self, SeeJoin(gone), self._show, self._failed, key="join")

    def _show(self, view: JoinView) -> None:
        self._other.show_understood(join_words(view))

    def _failed(self, error: DeskError) -> None:
        self._other.show_error(str(error))


def join_customer(queue: WorkQueue, view: RecordView) -> JoinForm:
    """Return the form that joins another customer into the one whose record is open."""
    typed, known = _searched(_("Name, phone or street of the other one"))
    Choosing(queue, typed, known, "customer", without=view.customer_id, takes_first=True)
    title = _("Join with {name}, who stays", name=view.customer.name)
    return JoinForm(queue, title, [typed, known], view.customer_id, JoinCustomers)


def join_premises(queue: WorkQueue, card: PremisesCard) -> JoinForm:
    """Return the form that joins other premises into these."""
    typed, known = _searched(_("Street of the other ones"))
    Choosing(queue, typed, known, "premises", without=card.premises_id, takes_first=True)
    title = _("Join with {street}, which stays", street=card.details.street)
    return JoinForm(queue, title, [typed, known], card.premises_id, JoinPremises)


def join_appliance(queue: WorkQueue, view: PlaceView, card: ApplianceCard) -> JoinForm:
    """Return the form that joins another appliance of the same premises into this one.

    Args:
        queue: takes the command.
        view: the premises; the others there can be chosen.
        card: the appliance that stays.
    """
    others = tuple(
        (str(one.appliance_id), appliance_words(one.line))
        for one in view.appliances
        if one.appliance_id != card.appliance_id
    )
    known = ChoiceLine("other", _("The same appliance"), others, none=_("Choose it"))
    title = _("Join with appliance {number}, which stays", number=card.line.number)
    return JoinForm(queue, title, [known], card.appliance_id, JoinAppliances)


def _searched(label: str) -> tuple[TypedLine, ChoiceLine]:
    return (
        TypedLine("search", label),
        ChoiceLine("other", _("The same one"), (), none=_("Nothing found yet")),
    )
