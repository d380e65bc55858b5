"""The forms that tell how people and appliances of premises change over time."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from desk.base.errors import InputError
from desk.base.texts import _, message
from desk.records.actions import Command
from desk.records.actions.belonging import ChangeHands, EndTie, ReplaceAppliance
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.views.customer_record import ApplianceCard, PlaceView, PremisesCard
from desk.windows.forms.forms import EnterForm, Form
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.kit.words import APPLIANCE_KINDS, ROLES, options
from desk.windows.record.chooser import Choosing, chosen_key
from desk.windows.record.phrases import appliance_words, day_words, tie_words
from desk.windows.work.work_queue import WorkQueue

type Typed = Mapping[str, str]


def change_hands(queue: WorkQueue, card: PremisesCard) -> Form:
    """Return the form that says who is owner, occupant or agent from a day on."""
    role = ChoiceLine("role", _("What changes"), options(ROLES))
    role.put("occupant")
    who = TypedLine("name", _("Who is it now"), _("name, phone or street"))
    known = ChoiceLine("customer", _("In the records"), (), none=_("Somebody new"))
    phone = TypedLine("phone", _("Phone, where they are new"))
    day = _day_line(queue, _("From when"))
    Choosing(queue, who, known, "customer")

    def command(typed: Typed) -> Command[object]:
        return ChangeHands(
            card.premises_id,
            typed["role"],
            _day(queue, typed["day"]),
            chosen_key(typed["customer"]),
            name=typed["name"],
            phone=typed["phone"],
        )

    title = _("Who has {street} now", street=card.details.street)
    place = f"form/hands/{card.premises_id}"
    entries = [role, who, known, phone, day]
    return EnterForm(queue, title, _("Write it down"), entries, command, place=place)


def moved_out(queue: WorkQueue, view: PlaceView) -> Form:
    """Return the form that ends a tie with nobody in its place.

    Raises:
        InputError: from the form's command, where no tie is chosen.
    """
    ties = tuple((str(tie.tie_id), tie_words(tie)) for tie in view.ties if tie.until is None)
    entries = [
        ChoiceLine("tie", _("Who it is no longer"), ties),
        _day_line(queue, _("Until when")),
    ]

    def command(typed: Typed) -> Command[object]:
        tie = chosen_key(typed["tie"])
        if tie is None:
            raise InputError(message("Nobody is written down here now."), field="tie")
        return EndTie(tie, _day(queue, typed["day"]))

    title = _("Who has left {street}", street=view.card.details.street)
    place = f"form/moved-out/{view.card.premises_id}"
    return EnterForm(queue, title, _("Write it down"), entries, command, place=place)


def replace_appliance(queue: WorkQueue, view: PlaceView, card: ApplianceCard) -> Form:
    """Return the form that says what came in place of an appliance.

    Args:
        queue: takes the command.
        view: the premises; the other appliances there can be chosen as what came.
        card: the appliance that was replaced; a new one is of its kind unless another is chosen.
    """
    others = tuple(
        (str(one.appliance_id), appliance_words(one.line))
        for one in view.appliances
        if one.appliance_id != card.appliance_id
    )
    entries: list[Field] = [
        ChoiceLine("new", _("What stands there now"), others, none=_("A new appliance")),
        _day_line(queue, _("Replaced when")),
        ChoiceLine("kind", _("Kind of the new one"), options(APPLIANCE_KINDS)),
        TypedLine("maker", _("Maker of the new one")),
        TypedLine("model", _("Model of the new one")),
        TypedLine("serial", _("Serial number of the new one")),
    ]
    entries[2].put(card.details.kind)

    def command(typed: Typed) -> Command[object]:
        day = _day(queue, typed["day"])
        details = ApplianceDetails(
            typed["kind"],
            maker=typed["maker"],
            model=typed["model"],
            serial=typed["serial"],
            installed=day,
        )
        new_id = chosen_key(typed["new"])
        return ReplaceAppliance(
            card.appliance_id,
            view.card.premises_id,
            day,
            new_id=new_id,
            details=None if new_id else details,
        )

    title = _("Appliance {number} was replaced", number=card.line.number)
    place = f"form/replace/{card.appliance_id}"
    return EnterForm(queue, title, _("Write it down"), entries, command, place=place)


def _day_line(queue: WorkQueue, label: str) -> TypedLine:
    def read(text: str) -> str:
        return day_words(_day(queue, text))

    return TypedLine("day", label, _("such as 3 nov; empty is today"), read=read)


def _day(queue: WorkQueue, text: str) -> date:
    """Return the day that was typed; today where nothing was."""
    calendar = queue.calendar()
    return calendar.read(text) or calendar.today
