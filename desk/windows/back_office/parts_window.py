"""Parts: the catalogue, what lies on the shelf and in each van, and what runs out."""

from __future__ import annotations

import uuid
from zoneinfo import ZoneInfo

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.records.actions import Command, Query
from desk.records.actions.entering import MoveStock
from desk.records.actions.shop import SeePeople
from desk.records.actions.stock import SeeParts
from desk.records.views.shop import PartCard, PersonCard
from desk.trade.charging.money import cents_typed
from desk.windows.forms.field_lines import whole
from desk.windows.forms.forms import EnterForm
from desk.windows.forms.list_window import ListWindow
from desk.windows.kit.fields import ChoiceLine, TypedLine
from desk.windows.kit.item_models import TableColumn
from desk.windows.kit.prompts import Prompts
from desk.windows.record import forms
from desk.windows.work.work_queue import WorkQueue


def _vans(part: PartCard) -> str:
    return ", ".join(f"{van} {pieces}" for van, pieces in part.vans)


def _price(part: PartCard) -> str:
    return cents_typed(part.price)


def _short(part: PartCard) -> str:
    return _("▼ order") if part.shelf < part.keep_at_least else ""


class PartsWindow(ListWindow[PartCard]):
    """The catalogue as a table; enter, mend, receive, load a van, see what was used."""

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        columns: tuple[TableColumn[PartCard], ...] = (
            TableColumn(_("Part"), lambda part: part.name),
            TableColumn(_("Number"), lambda part: part.number),
            TableColumn(_("Shelf"), lambda part: str(part.shelf), is_number=True),
            TableColumn(_("Keep at least"), lambda part: str(part.keep_at_least), is_number=True),
            TableColumn(_("Runs out"), _short),
            TableColumn(_("In the vans"), _vans),
            TableColumn(_("Price"), _price, is_number=True),
        )
        super().__init__(queue, "parts", _("Parts"), columns, parent)
        self._prompts = prompts
        self._people: tuple[PersonCard, ...] = ()
        self._build(
            _("Parts of the catalogue"),
            _("The catalogue is empty. New part enters the first."),
            (
                ("part_new", _("New part"), self._enter),
                ("part_mend", _("Mend the part"), self._mend),
                ("part_receive", _("Receive pieces"), self._receive),
                ("part_load", _("Load a van"), self._load),
                ("parts_used", _("Parts used"), self._open_used),
            ),
            QSize(920, 560),
        )
        queue.ask(self, SeePeople(), self._know_people, self._failed, key="people")

    def _question(self) -> Query[tuple[PartCard, ...]]:
        return SeeParts()

    def _know_people(self, people: tuple[PersonCard, ...]) -> None:
        self._people = tuple(person for person in people if person.is_technician)

    def _open_used(self) -> None:
        from desk.windows.back_office.parts_usage_window import UsedWindow

        today = self._queue.now().astimezone(ZoneInfo(self._queue.zone)).date()
        UsedWindow(self._queue, self._prompts, today, self).show()

    def _enter(self) -> None:
        self._open(forms.part_form(self._queue))

    def _mend(self) -> None:
        part = self.marked()
        if part is not None:
            self._open(forms.part_form(self._queue, part))

    def _receive(self) -> None:
        part = self.marked()
        if part is None:
            return

        def command(typed: forms.Typed) -> Command[object]:
            return MoveStock(part.part_id, whole(typed["pieces"], "pieces"))

        pieces = TypedLine("pieces", _("Pieces that came"))
        title = _("Receive {name}", name=part.name)
        self._open(
            EnterForm(
                self._queue,
                title,
                _("Put on the shelf"),
                [pieces],
                command,
                place=f"form/part/{part.part_id}/receive",
            )
        )

    def _load(self) -> None:
        part = self.marked()
        if part is None:
            return

        def command(typed: forms.Typed) -> Command[object]:
            van = uuid.UUID(typed["van"]) if typed["van"] else None
            return MoveStock(part.part_id, whole(typed["pieces"], "pieces"), van)

        entries = [
            ChoiceLine(
                "van", _("Whose van"),
                tuple((str(person.person_id), person.name) for person in self._people),
            ),
            TypedLine("pieces", _("Pieces from the shelf"), _("such as 3; -3 brings them back")),
        ]  # fmt: skip
        title = _("Load {name}", name=part.name)
        self._open(
            EnterForm(
                self._queue,
                title,
                _("Load the van"),
                entries,
                command,
                place=f"form/part/{part.part_id}/load",
            )
        )
