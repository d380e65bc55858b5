"""The shop's own page: letterhead and logo, licence, units and paper, charges, containers."""

from __future__ import annotations

from zoneinfo import available_timezones

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import DeskError
from desk.base.files import read_bytes
from desk.base.pictures import LARGEST_FILE
from desk.base.texts import _, say
from desk.records.actions import Command
from desk.records.actions.shop import (
    AddContainer,
    MendContainer,
    MendShop,
    PutLogo,
    SeeShop,
    TakeLogoOff,
    WithdrawContainer,
)
from desk.records.fields.address_fields import Address
from desk.records.fields.field import fields_of
from desk.records.views.shop import ContainerCard, ShopView
from desk.trade.readings.shop_thresholds import TIMING, USUAL_ACTIVATION
from desk.windows.back_office.charging_form import charging_form, charging_words
from desk.windows.forms.forms import EnterForm, FormDialog, MendForm
from desk.windows.forms.undo_bar import add_steps
from desk.windows.kit.fields import ChoiceLine, Field, TypedLine
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import TableColumn, TableModel
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.kit.table_views import fit_columns, table_of
from desk.windows.record.forms import Typed
from desk.windows.work.work_queue import WorkQueue

LOGO_WIDTH, LOGO_HEIGHT = 270, 90
SIDE_WIDTH = 360


class ShopWindow(QMainWindow):
    """Mends what the shop says of itself, line by line; the logo and the containers beside it."""

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("shop")
        self.setWindowTitle(_("Your shop"))
        self._queue, self._prompts = queue, prompts
        self._form: MendForm | None = None
        self._view: ShopView | None = None
        self._room = QVBoxLayout()
        row = QHBoxLayout()
        row.addLayout(self._room, 1)
        row.addWidget(self._beside())
        inside = QWidget()
        inside.setLayout(row)
        self.setCentralWidget(inside)
        self.resize(1120, 640)
        keep_geometry(self, "shop")
        self.steps = add_steps(self, queue)
        queue.changed.connect(self._look_again)
        self._look()

    def _beside(self) -> QWidget:
        self.logo = QLabel()
        self.logo.setObjectName("shop_logo")
        self.logo.setMinimumHeight(LOGO_HEIGHT)
        self.logo.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.choose = _button("logo_choose", _("Choose a picture"), self._choose_logo)
        self.take_off = _button("logo_off", _("Take it off"), self._take_logo_off)
        self.charges = text_label(name="shop_charges")
        self.charging = _button("shop_charging", _("How work is charged"), self._mend_charging)
        self.model = TableModel[ContainerCard](
            (
                TableColumn(_("Container"), lambda card: card.name),
                TableColumn(_("To its mark"), lambda card: card.volume, is_number=True),
                TableColumn(
                    _("Between marks"), lambda card: card.graduation or "–", is_number=True
                ),
            )
        )
        self.table = table_of(self.model, "containers_table", _("Containers of the shop"))
        self.table.activated.connect(self._mend_container)
        self.empty = text_label(
            _("No container is entered. New container enters the first; the visit offers it."),
            "containers_empty",
        )
        self.trouble = text_label(name="shop_trouble")
        self.trouble.hide()
        beside = QWidget()
        beside.setFixedWidth(SIDE_WIDTH)
        column = QVBoxLayout(beside)
        column.setContentsMargins(12, 0, 0, 0)
        column.addWidget(text_label(_("Logo on the letterhead"), rank="head"))
        column.addWidget(self.logo)
        column.addLayout(_row(self.choose, self.take_off))
        column.addWidget(text_label(_("Charges on reports"), rank="head"))
        column.addWidget(self.charges)
        column.addWidget(
            text_label(_("What is taxed, and how, is local law: ask whoever does your books."))
        )
        column.addLayout(_row(self.charging))
        column.addWidget(text_label(_("Containers that flows are timed with"), rank="head"))
        column.addLayout(
            _row(
                _button("container_new", _("New container"), self._new_container),
                _button("container_mend", _("Mend"), self._mend_container),
                _button("container_withdraw", _("Withdraw"), self._withdraw_container),
            )
        )
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        column.addWidget(self.trouble)
        column.addStretch(0)  # while there is no table to take the room
        return beside

    def _look(self) -> None:
        self._queue.ask(self, SeeShop(), self._show, self._failed, key="shop")

    def _look_again(self, _change: object) -> None:
        self._look()

    def _show(self, view: ShopView) -> None:
        self._view = view
        self._show_logo(view.logo)
        self.charges.setText(charging_words(view))
        self.model.show_rows(view.containers)
        fit_columns(self.table)
        self.empty.setVisible(not view.containers)
        self.table.setVisible(bool(view.containers))
        if view.containers and not self.table.currentIndex().isValid():
            self.table.selectRow(0)
        kept = {entry.key: getattr(view, entry.key) for entry in _entries()}
        if self._form is None:
            self._form = self._make_form(kept)
            self._room.addWidget(self._form)
            self._form.take_focus()
        else:
            self._form.show_kept(kept)

    def _make_form(self, kept: dict[str, str]) -> MendForm:
        entries = _entries()
        for entry in entries:
            entry.put(kept[entry.key])

        def command(typed: Typed) -> Command[object]:
            return MendShop(dict(typed))

        form = MendForm(
            self._queue, _("Your shop, as its paper says it"), entries, command, place="form/shop"
        )
        form.left.connect(self.close)
        return form

    def _show_logo(self, logo: bytes) -> None:
        picture = QPixmap()
        if logo and picture.loadFromData(logo):
            ratio = self.devicePixelRatioF()
            fitted = picture.scaled(
                round(LOGO_WIDTH * ratio),
                round(LOGO_HEIGHT * ratio),
                Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
            fitted.setDevicePixelRatio(ratio)
            self.logo.setPixmap(fitted)
        else:
            self.logo.setText(_("None: the name alone stands on the paper."))
        self.logo.setAccessibleName(_("The logo") if logo else _("No logo"))
        self.take_off.setEnabled(bool(logo))

    def _choose_logo(self) -> None:
        place = self._prompts.open_file(
            _("Picture for the letterhead"), _("Pictures (*.png *.jpg *.jpeg *.webp)")
        )
        if place is None:
            return
        try:
            picture = read_bytes(place, LARGEST_FILE)
        except DeskError as error:
            self._failed(error)
            return
        self._act(PutLogo(picture))

    def _take_logo_off(self) -> None:
        self._act(TakeLogoOff())

    def _mend_charging(self) -> None:
        if self._view is not None:
            FormDialog(charging_form(self._queue, self._view), self).open()

    def _new_container(self) -> None:
        def command(typed: Typed) -> Command[object]:
            return AddContainer(typed["name"], typed["volume"], typed["graduation"])

        FormDialog(
            EnterForm(
                self._queue,
                _("New container"),
                _("Enter it"),
                _container_entries(),
                command,
                place="form/container",
            ),
            self,
        ).open()

    def _mend_container(self) -> None:
        card = self._marked()
        if card is None:
            return
        entries = _container_entries()
        for entry in entries:
            entry.put(getattr(card, entry.key))

        def command(typed: Typed) -> Command[object]:
            return MendContainer(
                card.container_id, typed["name"], typed["volume"], typed["graduation"]
            )

        place = f"form/container/{card.container_id}"
        title = _("Mend {name}", name=card.name)
        FormDialog(MendForm(self._queue, title, entries, command, place=place), self).open()

    def _withdraw_container(self) -> None:
        card = self._marked()
        if card is not None:
            self._act(WithdrawContainer(card.container_id))

    def _marked(self) -> ContainerCard | None:
        index = self.table.currentIndex()
        return self.model.row(index.row()) if index.isValid() else None

    def _act(self, command: Command[object]) -> None:
        self.trouble.hide()
        self._queue.act(self, command, self._done, self._failed)

    def _done(self, _answer: object) -> None:
        self.trouble.hide()

    def _failed(self, error: DeskError) -> None:
        self.trouble.setText(f"{WRONG} {error}")
        self.trouble.show()


def _entries() -> list[Field]:
    """Return the lines of the shop's page, in the order of its paper."""
    zones = tuple((zone, zone.replace("_", " ")) for zone in sorted(available_timezones()))
    return [
        TypedLine("name", _("Name")),
        *(TypedLine(one.name, say(one.label)) for one in fields_of(Address)),
        TypedLine("phone", _("Phone")),
        TypedLine("emergency_phone", _("Emergency number"), _("said where everybody must leave")),
        TypedLine(
            "gas_supplier_phone", _("Gas supplier's number"), _("said where everybody must leave")
        ),
        TypedLine("email", _("E-mail")),
        TypedLine("licence", _("Licence of the shop")),
        ChoiceLine("zone", _("The clock here"), zones),
        ChoiceLine(
            "system", _("Units"),
            (("us", _("gallons, degrees Fahrenheit, psi")), ("si", _("litres, Celsius, kPa"))),
        ),
        ChoiceLine("paper", _("Paper"), (("letter", _("Letter")), ("a4", "A4"))),
        TypedLine("currency", _("Currency"), _("three letters, such as USD")),
        TypedLine(
            "usual_activation", _("Activation flow, where an appliance's own is not known"),
            _("{value} unless typed", value=USUAL_ACTIVATION),
        ),
        TypedLine(
            "timing", _("Start and stop of a fill are good to"),
            _("{value} unless typed", value=TIMING),
        ),
        TypedLine(
            "ceiling", _("Hottest water at an outlet"), _("{value} unless typed", value="120 F")
        ),
    ]  # fmt: skip


def _container_entries() -> list[Field]:
    return [
        TypedLine("name", _("What it is called"), _("such as blue bucket")),
        TypedLine("volume", _("Volume to its mark"), _("such as 5 gal or 10 L")),
        TypedLine("graduation", _("Between two marks"), _("such as 0.5 gal; empty if exact")),
    ]


def _button(name: str, words: str, slot: object) -> QPushButton:
    button = QPushButton(words)
    button.setObjectName(name)
    button.clicked.connect(slot)
    return button


def _row(*parts: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    for part in parts:
        row.addWidget(part)
    row.addStretch(1)
    return row
