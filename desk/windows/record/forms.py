"""The forms that enter and mend customers, premises, appliances, people and parts."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from desk.base.texts import _
from desk.records.actions import Command
from desk.records.actions import entering as commands
from desk.records.fields.address_fields import Address
from desk.records.fields.appliance_fields import ApplianceDetails
from desk.records.fields.customer_fields import CustomerDetails
from desk.records.fields.field import fields_of
from desk.records.fields.part_fields import PartDetails
from desk.records.fields.person_fields import PersonDetails
from desk.records.fields.premises_fields import PremisesDetails
from desk.records.views.customer_record import (
    ApplianceCard,
    PremisesCard,
    RecordView,
)
from desk.records.views.shop import PartCard, PersonCard
from desk.trade.reference.sensing_kinds import NOT_KNOWN
from desk.windows.forms.field_lines import form_lines, put_details, some_lines, typed_details, whole
from desk.windows.forms.forms import EnterForm, Form, MendForm
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine, TypedText
from desk.windows.kit.words import APPLIANCE_KINDS, ROLES, options
from desk.windows.record.model_values import ModelValues
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

type Typed = Mapping[str, str]


def danger_outcome(queue: WorkQueue, visit_id: uuid.UUID) -> Form:
    """Return the form that says what became of a danger that a caller reported."""
    entries = [
        TypedText("danger_outcome", _("What became of it, and who has cleared the place")),
        TypedLine("danger_outcome_by", _("Who writes this")),
    ]

    def command(typed: Typed) -> Command[object]:
        return commands.WriteDangerOutcome(
            visit_id, typed["danger_outcome"], typed["danger_outcome_by"]
        )

    return EnterForm(
        queue,
        _("What became of the danger"),
        _("Write it"),
        entries,
        command,
        place=f"form/danger/{visit_id}",
    )


def new_customer(queue: WorkQueue, *, name: str = "", phone: str = "") -> Form:
    """Return the form that enters a customer.

    Args:
        queue: takes the command.
        name: stands in the form already.
        phone: stands in the form already.
    """
    named, *known = form_lines(CustomerDetails, queue.calendar(), "new")
    ways = [TypedLine("phone", _("Phone")), TypedLine("email", _("E-mail"))]
    named.put(name)
    ways[0].put(phone)

    def command(typed: Typed) -> Command[object]:
        details = typed_details(CustomerDetails(""), typed, queue.calendar())
        return commands.AddCustomer(details, phones=(typed["phone"],), emails=(typed["email"],))

    return EnterForm(
        queue,
        _("New customer"),
        _("Enter the customer"),
        [named, *ways, *known],
        command,
        place="form/customer",
    )


def mend_customer(queue: WorkQueue, view: RecordView) -> Form:
    """Return the form that mends a customer."""
    named, *known = form_lines(CustomerDetails, queue.calendar(), "mended")
    put_details([named, *known], view.details)
    ways = [
        TypedLine("add_phone", _("Another phone"), ", ".join(view.customer.phones)),
        TypedLine("add_email", _("Another e-mail"), ", ".join(view.customer.emails)),
    ]

    def command(typed: Typed) -> Command[object]:
        details = typed_details(view.details, typed, queue.calendar())
        return commands.MendCustomer(
            view.customer_id, details, add_phone=typed["add_phone"], add_email=typed["add_email"]
        )

    return MendForm(
        queue,
        _("Mend the customer"),
        [named, *ways, *known],
        command,
        place=f"form/customer/{view.customer_id}",
        once=frozenset({"add_phone", "add_email"}),
    )


def new_premises(queue: WorkQueue, customer_id: uuid.UUID) -> Form:
    """Return the form that enters premises of a customer."""
    entries = form_lines(PremisesDetails, queue.calendar(), "new")
    after_address = len(form_lines(Address, queue.calendar(), "new"))
    entries.insert(after_address, ChoiceLine("role", _("The customer is"), options(ROLES)))

    def command(typed: Typed) -> Command[object]:
        details = typed_details(PremisesDetails(), typed, queue.calendar())
        return commands.AddPremises(customer_id, details, typed["role"])

    return EnterForm(
        queue,
        _("New premises"),
        _("Enter the premises"),
        entries,
        command,
        place=f"form/premises/of/{customer_id}",
    )


def mend_premises(queue: WorkQueue, card: PremisesCard) -> Form:
    """Return the form that mends premises."""
    key, title = card.premises_id, _("Mend the premises {street}", street=card.line.address[0])
    mend = partial(commands.MendPremises, key)
    return _mending(queue, title, f"form/premises/{key}", card.details, mend)


def told_appliance_entries(queue: WorkQueue) -> list[Field]:
    """Return the lines of an appliance that a caller can tell of."""
    kinds = (("", _("Not known yet")), *options(APPLIANCE_KINDS))
    return [
        ChoiceLine("kind", _("What kind of appliance"), kinds),
        *some_lines(ApplianceDetails, queue.calendar(), "sensing_kind", "maker", "model", "serial"),
    ]


def told_appliance(typed: Typed, known: Mapping[str, str]) -> ApplianceDetails | None:
    """Return the appliance that a caller told of, None where nothing was told.

    Args:
        typed: the lines of :func:`told_appliance_entries`.
        known: what is known of its model beyond them.
    """
    sensing = typed["sensing_kind"] or NOT_KNOWN
    plate = (typed["maker"].strip(), typed["model"].strip(), typed["serial"].strip())
    if not typed["kind"] and sensing == NOT_KNOWN and not any(plate):
        return None
    maker, model, serial = plate
    details = ApplianceDetails(
        typed["kind"] or "other", sensing_kind=sensing, maker=maker, model=model, serial=serial
    )
    return replace(details, **known)  # type: ignore[arg-type]


def new_appliance(queue: WorkQueue, premises_id: uuid.UUID) -> Form:
    """Return the form that enters an appliance."""

    def command(typed: Typed) -> Command[object]:
        return commands.AddAppliance(
            premises_id, typed_details(ApplianceDetails(typed["kind"]), typed, queue.calendar())
        )

    form = EnterForm(
        queue,
        _("New appliance"),
        _("Enter the appliance"),
        form_lines(ApplianceDetails, queue.calendar(), "new"),
        command,
        place=f"form/appliance/at/{premises_id}",
    )
    ModelValues(queue, form.entries, form)
    return form


def mend_appliance(queue: WorkQueue, card: ApplianceCard) -> Form:
    """Return the form that mends an appliance."""
    key, title = card.appliance_id, _("Mend appliance {number}", number=card.line.number)
    mend = partial(commands.MendAppliance, key)
    return _mending(queue, title, f"form/appliance/{key}", card.details, mend)


def person_form(queue: WorkQueue, card: PersonCard | None = None) -> Form:
    """Return the form that enters somebody of the shop, or mends them."""
    if card is not None:
        key, title = card.person_id, _("Mend {name}", name=card.name)
        mend = partial(commands.MendPerson, key)
        return _mending(queue, title, f"form/person/{key}", card, mend)

    def command(typed: Typed) -> Command[object]:
        return commands.AddPerson(typed_details(PersonDetails(""), typed, queue.calendar()))

    entries = form_lines(PersonDetails, queue.calendar(), "new")
    return EnterForm(
        queue, _("New technician"), _("Enter them"), entries, command, place="form/person"
    )


def part_form(queue: WorkQueue, card: PartCard | None = None) -> Form:
    """Return the form that enters a part of the catalogue, or mends one."""
    if card is not None:
        key, title = card.part_id, _("Mend part {number}", number=card.number)
        mend = partial(commands.MendPart, key)
        return _mending(queue, title, f"form/part/{key}", card, mend)

    def command(typed: Typed) -> Command[object]:
        details = typed_details(PartDetails("", ""), typed, queue.calendar())
        return commands.AddPart(details, whole(typed["shelf"], "shelf"))

    entries = form_lines(PartDetails, queue.calendar(), "new")
    entries.append(TypedLine("shelf", _("On the shelf now")))
    return EnterForm(queue, _("New part"), _("Enter the part"), entries, command, place="form/part")


def _mending[D: DataclassInstance](
    queue: WorkQueue, title: str, place: str, details: D, mend: Callable[[D], Command[object]]
) -> Form:
    """Return the form that mends what has a table of fields."""
    entries = form_lines(type(details), queue.calendar(), "mended")
    put_details(entries, details)

    def command(typed: Typed) -> Command[object]:
        return mend(typed_details(details, typed, queue.calendar()))

    says = {one.name: one.as_typed for one in fields_of(type(details))}
    return MendForm(queue, title, entries, command, place=place, says=says)
